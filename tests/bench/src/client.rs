//! A client of the language server protocol that notes when each message came.
//!
//! A thread of its own reads what the server writes, so that neither side waits for the other;
//! a message's time is taken when its last byte has been read, before it is parsed.

use std::collections::HashMap;
use std::io::{BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use bellwire_tests::wire::{framed, read, uri};
use serde_json::{Value, json};

use crate::Failure;

/// Far more than any answer takes: reached only by a server that hangs.
const PATIENCE: Duration = Duration::from_secs(120);

/// How a server is started.
#[derive(Debug, Clone)]
pub struct Server {
    /// What it is called in the tables.
    pub name: String,
    /// Program and arguments.
    pub command: Vec<String>,
    /// Sent as its configuration; nothing, if null.
    pub settings: Value,
}

/// Findings of a file, as they came.
#[derive(Debug, Clone)]
pub struct Published {
    /// Of which file.
    pub uri: String,
    /// For which version of it.
    pub version: Option<i64>,
    /// When.
    pub at: Instant,
    /// The findings' codes, sorted.
    pub codes: Vec<String>,
}

/// A server and the client's end of its pipes.
pub struct Client {
    child: Child,
    input: ChildStdin,
    incoming: Receiver<(Instant, Vec<u8>)>,
    next_id: i64,
    answers: HashMap<i64, (Instant, Value)>,
    /// All findings that came and were not taken yet.
    pub published: Vec<Published>,
    /// When reported work began or ended last, and how much is under way.
    pub progress: (Option<Instant>, i32),
    /// What the server says that it can do.
    pub capabilities: Value,
}

impl Client {
    /// Starts a server on a folder and introduces itself.
    ///
    /// # Errors
    /// A program that cannot be started, or one that does not answer.
    pub fn start(server: &Server, folder: &Path) -> Result<Client, Failure> {
        let (program, arguments) = server
            .command
            .split_first()
            .ok_or_else(|| Failure("name a server to measure".into()))?;
        let mut child = Command::new(program)
            .args(arguments)
            .current_dir(folder)
            .env("XDG_CACHE_HOME", folder.join(".cache"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| Failure(format!("cannot start `{program}`: {error}")))?;
        let pipe = || Failure(format!("`{program}` has no pipes"));
        let input = child.stdin.take().ok_or_else(pipe)?;
        let mut output = BufReader::with_capacity(1 << 16, child.stdout.take().ok_or_else(pipe)?);
        let (sender, incoming) = channel();
        std::thread::spawn(move || {
            while let Some(body) = read(&mut output) {
                if sender.send((Instant::now(), body)).is_err() {
                    break;
                }
            }
        });
        let mut client = Client {
            child,
            input,
            incoming,
            next_id: 1,
            answers: HashMap::new(),
            published: Vec::new(),
            progress: (None, 0),
            capabilities: Value::Null,
        };
        let (_, mut answer) = client.request("initialize", introduction(folder))?;
        client.capabilities = answer["capabilities"].take();
        client.notify("initialized", json!({}))?;
        if !server.settings.is_null() {
            client.notify(
                "workspace/didChangeConfiguration",
                json!({"settings": server.settings}),
            )?;
        }
        Ok(client)
    }

    /// The server's process.
    pub fn process(&self) -> u32 {
        self.child.id()
    }

    fn send(&mut self, message: &Value) -> Result<Instant, Failure> {
        let whole = framed(message.to_string());
        let sent = Instant::now();
        self.input.write_all(&whole)?;
        self.input.flush()?;
        Ok(sent)
    }

    /// Tells the server something; when the first byte was written.
    ///
    /// # Errors
    /// A server that is gone.
    pub fn notify(&mut self, method: &str, params: Value) -> Result<Instant, Failure> {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}))
    }

    /// Asks and waits: when the answer came, and its result.
    ///
    /// # Errors
    /// An error for an answer, none in time, or a server that is gone.
    pub fn request(&mut self, method: &str, params: Value) -> Result<(Instant, Value), Failure> {
        let id = self.next_id;
        self.next_id += 1;
        let mut message = json!({"jsonrpc": "2.0", "id": id, "method": method});
        if !params.is_null() {
            message["params"] = params;
        }
        self.send(&message)?;
        let limit = Instant::now() + PATIENCE;
        loop {
            if let Some((at, mut answer)) = self.answers.remove(&id) {
                if let Some(error) = answer.get("error") {
                    return Err(Failure(format!("{method} was answered with {error}")));
                }
                return Ok((at, answer["result"].take()));
            }
            if !self.take_in(limit)? {
                return Err(Failure(format!(
                    "{method} was not answered in {PATIENCE:?}"
                )));
            }
        }
    }

    /// Waits for findings that fit, and takes them and those before them.
    ///
    /// # Errors
    /// None in time, or a server that is gone.
    pub fn findings(&mut self, fits: impl Fn(&Published) -> bool) -> Result<Published, Failure> {
        let limit = Instant::now() + PATIENCE;
        loop {
            if let Some(index) = self.published.iter().position(&fits) {
                self.published.drain(..index);
                return Ok(self.published.remove(0));
            }
            if !self.take_in(limit)? {
                return Err(Failure(format!("findings did not come in {PATIENCE:?}")));
            }
        }
    }

    /// Takes in one message; false if none came before `limit`.
    ///
    /// # Errors
    /// A server that is gone.
    pub fn take_in(&mut self, limit: Instant) -> Result<bool, Failure> {
        let wait = limit.saturating_duration_since(Instant::now());
        let (at, body) = match self.incoming.recv_timeout(wait) {
            Ok(message) => message,
            Err(RecvTimeoutError::Timeout) => return Ok(false),
            Err(RecvTimeoutError::Disconnected) => {
                return Err(Failure("the server is gone".into()));
            }
        };
        let message: Value = serde_json::from_slice(&body).map_err(|error| {
            Failure(format!(
                "the server wrote something that is not JSON: {error}"
            ))
        })?;
        match (message["method"].as_str(), message["id"].as_i64()) {
            (None, Some(id)) => {
                self.answers.insert(id, (at, message));
            }
            (Some(_), Some(_)) => {
                self.send(&json!({"jsonrpc": "2.0", "id": message["id"], "result": null}))?;
            }
            (Some("textDocument/publishDiagnostics"), None) => {
                self.published.push(published(at, &message["params"]))
            }
            (Some("$/progress"), None) => {
                let change = match message["params"]["value"]["kind"].as_str() {
                    Some("begin") => 1,
                    Some("end") => -1,
                    _ => 0,
                };
                self.progress = (Some(at), self.progress.1 + change);
            }
            _ => {}
        }
        Ok(true)
    }

    /// Takes in what comes until nothing has come for so long.
    ///
    /// # Errors
    /// A server that is gone.
    pub fn settle(&mut self, quiet: Duration) -> Result<(), Failure> {
        while self.take_in(Instant::now() + quiet)? {}
        Ok(())
    }

    /// Opens a document as version 1.
    ///
    /// # Errors
    /// A server that is gone.
    pub fn open(&mut self, uri: &str, language: &str, text: &str) -> Result<Instant, Failure> {
        let document = json!({"uri": uri, "languageId": language, "version": 1, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document}))
    }

    /// An orderly end.
    ///
    /// # Errors
    /// A server that does not end.
    pub fn finish(mut self) -> Result<(), Failure> {
        self.request("shutdown", Value::Null)?;
        self.notify("exit", Value::Null)?;
        let limit = Instant::now() + Duration::from_secs(10);
        while self.child.try_wait()?.is_none() {
            if Instant::now() > limit {
                return Err(Failure("the server does not end".into()));
            }
            std::thread::sleep(Duration::from_millis(2));
        }
        Ok(())
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        // After an orderly end there is nothing left to kill.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn published(at: Instant, params: &Value) -> Published {
    let findings = params["diagnostics"].as_array();
    let code = |finding: &Value| finding["code"].as_str().unwrap_or("").to_string();
    let mut codes: Vec<String> = findings.into_iter().flatten().map(code).collect();
    codes.sort();
    Published {
        uri: params["uri"].as_str().unwrap_or("").to_string(),
        version: params["version"].as_i64(),
        at,
        codes,
    }
}

fn introduction(folder: &Path) -> Value {
    let kinds = [
        "keyword", "type", "variable", "property", "string", "number", "comment", "operator",
    ];
    json!({
        "processId": std::process::id(),
        "rootUri": uri(folder),
        "workspaceFolders": [{"uri": uri(folder), "name": "bench"}],
        "capabilities": {
            "workspace": {"workspaceFolders": true},
            "textDocument": {
                "synchronization": {},
                "publishDiagnostics": {"versionSupport": true, "relatedInformation": true},
                "completion": {"completionItem": {"snippetSupport": true}},
                "hover": {"contentFormat": ["markdown"]},
                "definition": {"linkSupport": true},
                "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
                "formatting": {},
                "semanticTokens": {
                    "requests": {"full": true, "range": true},
                    "tokenTypes": kinds, "tokenModifiers": [], "formats": ["relative"],
                },
            },
            "window": {"workDoneProgress": true},
            "general": {"positionEncodings": ["utf-16"]},
        },
    })
}
