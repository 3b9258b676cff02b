//! Thousands of edits and requests, sent without waiting. Each answer must be
//! the one for the version that the request followed, computed here from
//! scratch; findings must be those of the version that they name.

use bellwire_tests::random::Random;
use serde_json::{Value, json};

use super::client::{Client, position};
use super::plans::{Folder, site};
use super::scratch::Scratch;

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

/// Where the character boundary nearest to a random byte is.
fn boundary(text: &str, random: &mut Random) -> usize {
    let mut at = random.below(text.len() + 1);
    // Between CR and LF no position points.
    while !text.is_char_boundary(at) || text[..at].ends_with('\r') && text[at..].starts_with('\n') {
        at -= 1;
    }
    at
}

fn flat(symbols: &Value, into: &mut Vec<Value>) {
    for symbol in symbols.as_array().unwrap() {
        into.push(json!([symbol["name"], symbol["range"]]));
        if symbol["children"].is_array() {
            flat(&symbol["children"], into);
        }
    }
}

/// What a request asks; each is asked of the version that came before it.
#[derive(Clone, Copy)]
enum Question {
    Outline,
    Folds,
    Highlights(usize),
    Cancelled,
}

/// A conversation about one document.
struct Flood {
    folder: Folder,
    uri: String,
    client: Client,
    random: Random,
    /// The document's text in each version.
    texts: Vec<String>,
    /// Requests: their ids, and the version that each is about.
    asked: Vec<(i64, usize, Question)>,
}

impl Flood {
    fn begin() -> Flood {
        let folder = Folder::new();
        let uri = folder.uri("sites/quay.bell");
        let mut client = Client::ready(&folder.root());
        let texts = vec![site(2)];
        client.open(&uri, 0, &texts[0]);
        Flood {
            folder,
            uri,
            client,
            random: Random::new(0, 1),
            texts,
            asked: Vec::new(),
        }
    }

    /// Sends the next version of the document.
    fn edit(&mut self) {
        let version = self.texts.len();
        let mut text = self.texts[version - 1].clone();
        let random = &mut self.random;
        let mut changes = Vec::new();
        for _ in 0..=random.below(3) {
            let (a, b) = (boundary(&text, random), boundary(&text, random));
            let (start, mut end) = (a.min(b), a.max(b));
            if end - start > 12 {
                end = start;
            }
            let typed = FRAGMENTS[random.below(FRAGMENTS.len())];
            let range = json!({"start": position(&text, start), "end": position(&text, end)});
            changes.push(json!({"range": range, "text": typed}));
            text.replace_range(start..end, typed);
        }
        if version.is_multiple_of(97) || text.len() > 4000 {
            // Begin again from something whole.
            text = site(2);
            changes = vec![json!({"text": text})];
        }
        self.client
            .change(&self.uri, version as i64, json!(changes));
        self.texts.push(text);
    }

    /// Asks something about the newest version.
    fn ask(&mut self) {
        let version = self.texts.len() - 1;
        let text = &self.texts[version];
        let at = boundary(text, &mut self.random);
        let document = json!({"uri": self.uri});
        let whole = json!({"textDocument": document});
        let (method, params, question) = match self.random.below(4) {
            0 => ("textDocument/documentSymbol", whole, Question::Outline),
            1 => ("textDocument/foldingRange", whole, Question::Folds),
            2 => {
                let params = json!({"textDocument": document, "position": position(text, at)});
                let question = Question::Highlights(at);
                ("textDocument/documentHighlight", params, question)
            }
            _ => ("textDocument/documentSymbol", whole, Question::Cancelled),
        };
        let id = self.client.ask(method, params);
        if let Question::Cancelled = question {
            self.client.notify("$/cancelRequest", json!({"id": id}));
        }
        self.asked.push((id, version, question));
    }

    fn scratch(&self, version: usize) -> Scratch {
        let name = self.folder.path("sites/quay.bell").display().to_string();
        Scratch::new(&self.folder.root(), &name, &self.texts[version])
    }

    /// Holds every answer against its version. They are looked at in another order than the one
    /// of asking.
    fn check_answers(&mut self) {
        let mut known: Option<(usize, Scratch)> = None;
        for (id, version, question) in std::mem::take(&mut self.asked).into_iter().rev() {
            let answer = self.client.answer(id);
            if let (Question::Cancelled, Some(error)) = (question, answer.get("error")) {
                assert_eq!(error["code"], -32800, "{answer}");
                continue;
            }
            if known.as_ref().is_none_or(|(of, _)| *of != version) {
                known = Some((version, self.scratch(version)));
            }
            let (_, scratch) = known.as_ref().unwrap();
            let result = &answer["result"];
            let list = || result.as_array().unwrap_or_else(|| panic!("{answer}"));
            let (found, expected): (Vec<Value>, _) = match question {
                Question::Outline | Question::Cancelled => {
                    let mut found = Vec::new();
                    flat(result, &mut found);
                    (found, scratch.outline())
                }
                Question::Folds => {
                    let found = list().iter();
                    let found = found.map(|fold| json!([fold["startLine"], fold["endLine"]]));
                    (found.collect(), scratch.folds())
                }
                Question::Highlights(at) => {
                    let found = list().iter().map(|found| found["range"].clone());
                    (found.collect(), scratch.highlights(at))
                }
            };
            assert_eq!(
                found, expected,
                "version {version}: {}",
                self.texts[version]
            );
        }
    }

    /// Holds all findings that came against the version that they name; the last are those of
    /// the last version.
    fn check_findings(&mut self) {
        let last = self.texts.len() as i64 - 1;
        self.client.findings_of(&self.uri, last);
        let came = self.client.came.iter().filter(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == json!(self.uri)
        });
        let mut before = -1;
        for params in came.map(|message| &message["params"]) {
            let Some(version) = params["version"].as_i64() else {
                continue;
            };
            assert!(
                version >= before,
                "findings for {version} came behind those for {before}"
            );
            before = version;
            let found = params["diagnostics"].as_array().unwrap().iter();
            let found: Vec<_> = found
                .map(|found| json!([found["code"], found["range"], found["message"]]))
                .collect();
            let version = version as usize;
            let expected = self.scratch(version).findings();
            assert_eq!(
                found, expected,
                "version {version}: {}",
                self.texts[version]
            );
        }
        assert_eq!(before, last);
    }
}

#[test]
fn every_answer_is_about_the_version_it_was_asked_for() {
    let mut flood = Flood::begin();
    for _ in 0..EDITS {
        flood.edit();
        for _ in 0..flood.random.below(3) {
            flood.ask();
        }
    }
    assert!(flood.asked.len() > EDITS / 2);
    flood.check_answers();
    flood.check_findings();
    flood.client.finish();
}
