//! A client of the protocol. What the server sends is read by a thread of its
//! own, so that neither side ever waits for the other to read.

use std::collections::{BTreeSet, HashMap};
use std::io::{BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use bellwire_tests::wire::{framed, read, uri};
use serde_json::{Value, json};

/// What has happened to a file, by the protocol's numbers.
pub const CREATED: u32 = 1;
pub const CHANGED: u32 = 2;
pub const DELETED: u32 = 3;

/// Far more than any answer takes: reached only by a server that hangs.
const PATIENCE: Duration = Duration::from_secs(120);

/// A server of which only the pipes are there. It logs to nobody.
pub fn server() -> Child {
    let mut program = Command::new(env!("CARGO_BIN_EXE_bellwire"));
    program.stderr(Stdio::null());
    serve(program)
}

/// The same, of a program that is yet to be told what to do.
fn serve(mut program: Command) -> Child {
    let cache = std::env::temp_dir().join("bellwire-tests");
    program
        .args(["serve", "--log", "warn"])
        .env("XDG_CACHE_HOME", cache)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Waits for the end of a process.
pub fn ended(child: &mut Child) -> ExitStatus {
    let began = Instant::now();
    while began.elapsed() < PATIENCE {
        if let Some(status) = child.try_wait().unwrap() {
            return status;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("the server does not end");
}

/// The position of a byte offset in UTF-16, counted by hand.
pub fn position(text: &str, offset: usize) -> Value {
    let before = text[..offset].replace("\r\n", "\n").replace('\r', "\n");
    let line = before.matches('\n').count();
    let column = before.rsplit('\n').next().unwrap().encode_utf16().count();
    json!({"line": line, "character": column})
}

/// A server and the client's end of its pipes.
pub struct Client {
    child: Child,
    input: Option<ChildStdin>,
    incoming: Receiver<Value>,
    next_id: i64,
    answers: HashMap<i64, Value>,
    /// The methods of requests that are under way.
    asked: HashMap<i64, String>,
    /// What the server has introduced itself with.
    pub capabilities: Value,
    /// The methods that were used: requests that gave something, and notifications.
    pub used: BTreeSet<String>,
    /// What came in, except answers, in order: notifications and the server's requests.
    pub came: Vec<Value>,
    /// How many of those have been looked at by `wait_for`.
    seen: usize,
    /// What the server is told when it asks for settings.
    pub settings: Value,
    /// Whether the server's requests are answered.
    pub answering: bool,
}

#[allow(dead_code, reason = "each test program uses a part of it")]
impl Client {
    /// Starts a server; nothing is said to it yet.
    pub fn silent() -> Client {
        Client::of(server())
    }

    /// The same, of a program that is yet to be told what to do.
    pub fn by(program: Command) -> Client {
        Client::of(serve(program))
    }

    fn of(mut child: Child) -> Client {
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let (sender, incoming) = channel();
        std::thread::spawn(move || {
            while let Some(body) = read(&mut output) {
                let message = serde_json::from_slice(&body).unwrap();
                if sender.send(message).is_err() {
                    break;
                }
            }
        });
        Client {
            input: child.stdin.take(),
            child,
            incoming,
            next_id: 1,
            answers: HashMap::new(),
            asked: HashMap::new(),
            capabilities: Value::Null,
            used: BTreeSet::new(),
            came: Vec::new(),
            seen: 0,
            settings: Value::Null,
            answering: true,
        }
    }

    /// Starts a server on a folder, with a client that can do everything.
    pub fn start(folder: &Path) -> Client {
        Client::start_with(folder, json!({}))
    }

    /// The same, once the folder has been read.
    pub fn ready(folder: &Path) -> Client {
        let mut client = Client::start(folder);
        client.all_read();
        client
    }

    /// Starts one with members of `initialize` replaced.
    pub fn start_with(folder: &Path, params: Value) -> Client {
        Client::silent().introduced(folder, params)
    }

    /// Introduces the client, with members of `initialize` replaced.
    pub fn introduced(self, folder: &Path, params: Value) -> Client {
        let mut client = self;
        let mut all = introduction(folder);
        for (key, value) in params.as_object().unwrap() {
            all[key] = value.clone();
        }
        let answer = client.request("initialize", all);
        assert!(answer["capabilities"].is_object(), "{answer}");
        client.capabilities = answer["capabilities"].clone();
        client.notify("initialized", json!({}));
        client
    }

    /// Sends bytes as they are.
    pub fn raw(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().unwrap();
        input.write_all(bytes).unwrap();
        input.flush().unwrap();
    }

    /// Sends a message.
    pub fn send(&mut self, message: &Value) {
        self.raw(&framed(message.to_string()));
    }

    pub fn notify(&mut self, method: &str, params: Value) {
        self.used.insert(method.to_string());
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Sends a request and does not wait: its id.
    pub fn ask(&mut self, method: &str, params: Value) -> i64 {
        let id = self.next_id;
        self.next_id += 1;
        self.asked.insert(id, method.to_string());
        let mut message = json!({"jsonrpc": "2.0", "id": id, "method": method});
        if !params.is_null() {
            message["params"] = params;
        }
        self.send(&message);
        id
    }

    /// The whole answer to a request, error or not.
    pub fn answer(&mut self, id: i64) -> Value {
        loop {
            if let Some(answer) = self.answers.remove(&id) {
                return answer;
            }
            self.take_in();
        }
    }

    /// The result of a request.
    pub fn result(&mut self, id: i64) -> Value {
        let mut answer = self.answer(id);
        assert!(answer.get("error").is_none(), "{answer}");
        let result = answer["result"].take();
        if !result.is_null() && result != json!([]) {
            self.used.extend(self.asked.remove(&id));
        }
        result
    }

    /// Sends a request and waits for its result.
    pub fn request(&mut self, method: &str, params: Value) -> Value {
        let id = self.ask(method, params);
        self.result(id)
    }

    /// Sends a request over and over until its result is as `fits` says.
    pub fn request_until(&mut self, method: &str, params: &Value, fits: impl Fn(&Value) -> bool) {
        let began = Instant::now();
        loop {
            let result = self.request(method, params.clone());
            if fits(&result) {
                return;
            }
            assert!(began.elapsed() < PATIENCE, "{method}: still {result}");
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Takes in one message; answers it, if it is a request.
    fn take_in(&mut self) {
        let message = match self.incoming.recv_timeout(PATIENCE) {
            Ok(message) => message,
            Err(RecvTimeoutError::Timeout) => panic!("the server hangs"),
            Err(RecvTimeoutError::Disconnected) => panic!("the server is gone"),
        };
        self.sort(message);
    }

    fn sort(&mut self, message: Value) {
        match (message["method"].as_str(), message["id"].as_i64()) {
            (None, Some(id)) => {
                self.answers.insert(id, message);
            }
            (Some(method), Some(_)) if self.answering => {
                let result = match method {
                    "workspace/configuration" => json!([self.settings]),
                    "window/showDocument" => json!({"success": true}),
                    _ => Value::Null,
                };
                self.send(&json!({"jsonrpc": "2.0", "id": message["id"], "result": result}));
                self.came.push(message);
            }
            _ => self.came.push(message),
        }
    }

    /// The first message from now on, or since the last call, that fits.
    pub fn wait_for(&mut self, fits: impl Fn(&Value) -> bool) -> Value {
        loop {
            while self.seen < self.came.len() {
                let message = &self.came[self.seen];
                self.seen += 1;
                if fits(message) {
                    return message.clone();
                }
            }
            self.take_in();
        }
    }

    /// The next findings of a file, in any version.
    pub fn findings(&mut self, uri: &str) -> Value {
        self.wait_for(|message| is_findings(message, uri))["params"].take()
    }

    /// The findings of a file, whether they have come already or not.
    pub fn findings_at_last(&mut self, uri: &str) -> Value {
        loop {
            let sent = self.came.iter().rfind(|message| is_findings(message, uri));
            if let Some(sent) = sent {
                return sent["params"].clone();
            }
            self.take_in();
        }
    }

    /// Waits until the newest findings of a file are as `fits` says.
    pub fn findings_until(&mut self, uri: &str, fits: impl Fn(&Value) -> bool) {
        let newest = |client: &Client| {
            let mut came = client.came.iter();
            let sent = came.rfind(|message| is_findings(message, uri));
            sent.is_some_and(|sent| fits(&sent["params"]["diagnostics"]))
        };
        while !newest(self) {
            self.take_in();
        }
    }

    /// The findings for a version of a document; those of other versions are passed over.
    pub fn findings_of(&mut self, uri: &str, version: i64) -> Value {
        let message = self.wait_for(|message| {
            is_findings(message, uri) && message["params"]["version"] == version
        });
        message["params"]["diagnostics"].clone()
    }

    /// Waits until the folders have been read: the server reports that as progress.
    pub fn all_read(&mut self) {
        let is_end = |message: &Value| {
            message["method"] == "$/progress" && message["params"]["value"]["kind"] == "end"
        };
        while !self.came.iter().any(is_end) {
            self.take_in();
        }
    }

    pub fn open(&mut self, uri: &str, version: i64, text: &str) {
        let document =
            json!({"uri": uri, "languageId": "bellwire", "version": version, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document}));
    }

    pub fn change(&mut self, uri: &str, version: i64, changes: Value) {
        let params =
            json!({"textDocument": {"uri": uri, "version": version}, "contentChanges": changes});
        self.notify("textDocument/didChange", params);
    }

    pub fn close(&mut self, uri: &str) {
        self.notify(
            "textDocument/didClose",
            json!({"textDocument": {"uri": uri}}),
        );
    }

    /// Tells that files or folders were created, changed or deleted outside of the editor.
    pub fn watched(&mut self, events: &[(&str, u32)]) {
        let change = |(uri, kind): &(&str, u32)| json!({"uri": uri, "type": kind});
        let changes: Vec<Value> = events.iter().map(change).collect();
        let params = json!({"changes": changes});
        self.notify("workspace/didChangeWatchedFiles", params);
    }

    /// The server's process.
    pub fn process(&self) -> u32 {
        self.child.id()
    }

    /// Forgets what came in and was not asked for.
    pub fn forget(&mut self) {
        self.came.clear();
        self.seen = 0;
    }

    /// Closes the client's end, as an editor that crashes.
    pub fn hang_up(&mut self) {
        self.input = None;
    }

    /// Waits for the end of the process.
    pub fn ended(&mut self) -> ExitStatus {
        ended(&mut self.child)
    }

    /// An orderly end, which must come with code 0.
    pub fn finish(mut self) {
        assert_eq!(self.request("shutdown", Value::Null), Value::Null);
        self.notify("exit", Value::Null);
        assert_eq!(self.ended().code(), Some(0));
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        // A failed test must not leave its server behind.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn is_findings(message: &Value, uri: &str) -> bool {
    message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == uri
}

/// What a client that can do everything says of itself.
pub fn introduction(folder: &Path) -> Value {
    json!({
        "processId": std::process::id(),
        "rootUri": uri(folder),
        "workspaceFolders": [{"uri": uri(folder), "name": "plans"}],
        "capabilities": {
            "workspace": {
                "configuration": true,
                "didChangeWatchedFiles": {"dynamicRegistration": true},
                "inlayHint": {"refreshSupport": true},
                "codeLens": {"refreshSupport": true},
                "diagnostics": {"refreshSupport": true},
                "workspaceEdit": {"documentChanges": true},
            },
            "textDocument": {
                "rename": {"prepareSupport": true},
                "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix"]}}},
                "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
                "publishDiagnostics": {"versionSupport": true, "relatedInformation": true, "codeDescriptionSupport": true},
                "hover": {"contentFormat": ["markdown", "plaintext"]},
                "completion": {"completionItem": {"snippetSupport": true, "documentationFormat": ["markdown"]}},
            },
            "window": {"workDoneProgress": true, "showDocument": {"support": true}},
            "general": {"positionEncodings": ["utf-16"]},
        },
    })
}
