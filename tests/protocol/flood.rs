//! Thousands of edits and requests, sent without waiting. Each answer must be
//! the one for the version that the request followed, computed here from
//! scratch; findings must be those of the version that they name.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bellwire_assist as assist;
use bellwire_plan::checks::Day;
use bellwire_plan::source::{Encoding, File, FilePath, Text};
use bellwire_plan::workspace::{Entry, Files, Read, View, Workspace};
use serde_json::{Value, json};

use super::client::Client;
use super::plans::{Folder, site};

const EDITS: usize = 2000;

/// What is typed: words that make and break statements, and characters of
/// every width.
const FRAGMENTS: &[&str] = &[
    "",
    "",
    " ",
    "\n",
    "\r\n",
    "{",
    "}",
    "}\n",
    "\"",
    "#",
    ", ",
    "address 3",
    "keypad x : T2",
    "Ω",
    "🔔",
    "e\u{301}",
    "--",
    "12 m",
    "site b {\n}\n",
    "zone 1, input 1",
    "\t",
    "½",
];

/// Numbers that look random and are the same in every run (Knuth's MMIX generator).
struct Random(u64);

impl Random {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % end.max(1)
    }
}

/// Where the character boundary nearest to a random byte is.
fn boundary(text: &str, random: &mut Random) -> usize {
    let mut at = random.below(text.len() + 1);
    // Between CR and LF no position points.
    while !text.is_char_boundary(at) || text[..at].ends_with('\r') && text[at..].starts_with('\n') {
        at -= 1;
    }
    at
}

/// The position of a byte offset in UTF-16, counted by hand.
fn position(text: &str, offset: usize) -> Value {
    let before = text[..offset].replace("\r\n", "\n").replace('\r', "\n");
    let line = before.matches('\n').count();
    let column: usize = before
        .rsplit('\n')
        .next()
        .unwrap()
        .chars()
        .map(char::len_utf16)
        .sum();
    json!({"line": line, "character": column})
}

/// The folder, as the server may see it.
struct Disk(PathBuf);

impl Files for Disk {
    fn read(&self, path: &FilePath) -> Read {
        let path = Path::new(path.as_str());
        match std::fs::read_to_string(path) {
            _ if !path.starts_with(&self.0) => Read::Outside,
            Ok(text) => Read::Text(text),
            Err(_) if path.is_dir() => {
                Read::Unreadable("this is a folder, where a file is needed".into())
            }
            Err(_) => Read::Absent,
        }
    }
}

/// A version of the document, worked out from scratch.
struct Scratch {
    view: View,
    entry: Arc<Entry>,
}

impl Scratch {
    fn new(root: &Path, name: &str, text: &str) -> Scratch {
        // No battery in these plans has a date, so any day does.
        let day = Day {
            year: 2026,
            month: 1,
            day: 1,
        };
        let mut workspace = Workspace::new(Arc::new(Disk(root.to_path_buf())), day);
        let path = FilePath::new(name);
        workspace.put(vec![File::new(path.clone(), text)]);
        let view = workspace.view();
        let entry = view.entry(&path).unwrap();
        Scratch { view, entry }
    }

    fn range(&self, range: &std::ops::Range<usize>) -> Value {
        let text: &Text = self.entry.file.text();
        let at = |offset| {
            let position = text.position(offset, Encoding::Utf16);
            json!({"line": position.line, "character": position.column})
        };
        json!({"start": at(range.start), "end": at(range.end)})
    }

    fn outline(&self) -> Vec<Value> {
        fn flat(scratch: &Scratch, symbols: &[assist::Symbol], into: &mut Vec<Value>) {
            for symbol in symbols {
                into.push(json!([symbol.name, scratch.range(&symbol.range)]));
                flat(scratch, &symbol.children, into);
            }
        }
        let mut all = Vec::new();
        flat(self, &assist::outline(&self.entry), &mut all);
        all
    }

    fn folds(&self) -> Vec<Value> {
        let folds = assist::folds(&self.entry);
        folds
            .iter()
            .map(|fold| json!([fold.first, fold.last]))
            .collect()
    }

    fn highlights(&self, offset: usize) -> Vec<Value> {
        let found = assist::highlights(&self.entry, offset);
        found.iter().map(|found| self.range(&found.range)).collect()
    }

    fn findings(&self) -> Vec<Value> {
        let found = self.view.findings(&self.entry);
        found
            .iter()
            .map(|found| {
                // Tabs of a plan are shown as blanks.
                json!([
                    found.finding.code.name(),
                    self.range(&found.range),
                    found.finding.message.replace('\t', " ")
                ])
            })
            .collect()
    }
}

fn flat(symbols: &Value, into: &mut Vec<Value>) {
    for symbol in symbols.as_array().unwrap() {
        let name = match symbol["name"].as_str() {
            Some("(no name)") => json!(""),
            _ => symbol["name"].clone(),
        };
        into.push(json!([name, symbol["range"]]));
        if symbol["children"].is_array() {
            flat(&symbol["children"], into);
        }
    }
}

#[derive(Clone, Copy)]
enum Question {
    Outline,
    Folds,
    Highlights(usize),
    Cancelled,
}

#[test]
fn every_answer_is_about_the_version_it_was_asked_for() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let name = folder.path("sites/quay.bell").display().to_string();
    let mut client = Client::start(&folder.root());
    client.all_read();
    let mut random = Random(1);
    let mut texts = vec![site(2)];
    client.open(&uri, 0, &texts[0]);
    let mut asked = Vec::new();
    for version in 1..=EDITS {
        let mut text = texts[version - 1].clone();
        let mut changes = Vec::new();
        for _ in 0..=random.below(3) {
            let (a, b) = (boundary(&text, &mut random), boundary(&text, &mut random));
            let (start, mut end) = (a.min(b), a.max(b));
            if end - start > 12 {
                end = start;
            }
            let typed = FRAGMENTS[random.below(FRAGMENTS.len())];
            changes.push(json!({"range": {"start": position(&text, start), "end": position(&text, end)}, "text": typed}));
            text.replace_range(start..end, typed);
        }
        if version.is_multiple_of(97) || text.len() > 4000 {
            // Begin again from something whole.
            text = site(2);
            changes = vec![json!({"text": text})];
        }
        client.change(&uri, version as i64, json!(changes));
        let document = json!({"uri": uri});
        for _ in 0..random.below(3) {
            let at = boundary(&text, &mut random);
            let (id, question) = match random.below(4) {
                0 => (
                    client.ask(
                        "textDocument/documentSymbol",
                        json!({"textDocument": document}),
                    ),
                    Question::Outline,
                ),
                1 => (
                    client.ask(
                        "textDocument/foldingRange",
                        json!({"textDocument": document}),
                    ),
                    Question::Folds,
                ),
                2 => {
                    let params = json!({"textDocument": document, "position": position(&text, at)});
                    (
                        client.ask("textDocument/documentHighlight", params),
                        Question::Highlights(at),
                    )
                }
                _ => {
                    let id = client.ask(
                        "textDocument/documentSymbol",
                        json!({"textDocument": document}),
                    );
                    client.notify("$/cancelRequest", json!({"id": id}));
                    (id, Question::Cancelled)
                }
            };
            asked.push((id, version, question));
        }
        texts.push(text);
    }
    // Answers are looked at in another order than the one of asking.
    let mut scratch: Option<(usize, Scratch)> = None;
    let mut of_version = |version: usize, check: &mut dyn FnMut(&Scratch)| {
        if scratch.as_ref().is_none_or(|(known, _)| *known != version) {
            scratch = Some((
                version,
                Scratch::new(&folder.root(), &name, &texts[version]),
            ));
        }
        check(&scratch.as_ref().unwrap().1);
    };
    assert!(asked.len() > EDITS / 2);
    for (id, version, question) in asked.into_iter().rev() {
        let answer = client.answer(id);
        if let (Question::Cancelled, Some(error)) = (question, answer.get("error")) {
            assert_eq!(error["code"], -32800, "{answer}");
            continue;
        }
        let result = &answer["result"];
        let list = || result.as_array().unwrap_or_else(|| panic!("{answer}"));
        of_version(version, &mut |scratch| match question {
            Question::Outline | Question::Cancelled => {
                let mut found = Vec::new();
                flat(result, &mut found);
                assert_eq!(
                    found,
                    scratch.outline(),
                    "version {version}: {}",
                    texts[version]
                );
            }
            Question::Folds => {
                let found: Vec<_> = list()
                    .iter()
                    .map(|fold| json!([fold["startLine"], fold["endLine"]]))
                    .collect();
                assert_eq!(
                    found,
                    scratch.folds(),
                    "version {version}: {}",
                    texts[version]
                );
            }
            Question::Highlights(at) => {
                let found: Vec<_> = list().iter().map(|found| found["range"].clone()).collect();
                assert_eq!(
                    found,
                    scratch.highlights(at),
                    "version {version}: {}",
                    texts[version]
                );
            }
        });
    }
    client.findings_of(&uri, EDITS as i64);
    let published: Vec<Value> = client
        .came
        .iter()
        .filter(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == json!(uri)
        })
        .map(|message| message["params"].clone())
        .filter(|params| params["version"].is_i64())
        .collect();
    let mut before = -1;
    for params in published {
        let version = params["version"].as_i64().unwrap();
        assert!(
            version >= before,
            "findings for {version} came behind those for {before}"
        );
        before = version;
        let found: Vec<_> = params["diagnostics"]
            .as_array()
            .unwrap()
            .iter()
            .map(|found| json!([found["code"], found["range"], found["message"]]))
            .collect();
        let version = version as usize;
        of_version(version, &mut |scratch| {
            assert_eq!(
                found,
                scratch.findings(),
                "version {version}: {}",
                texts[version]
            );
        });
    }
    assert_eq!(before, EDITS as i64);
    client.finish();
}
