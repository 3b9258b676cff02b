//! Labels, names, reasons and paths that would command a terminal, turn the
//! direction of writing, or become Markdown or HTML: nothing of it gets out.

use std::process::{Command, Output};

use pulldown_cmark::{Event, Options, Parser, Tag};
use serde_json::{Value, json};

use crate::client::Client;
use crate::plans::Folder;

/// Colours, clears and rings on a terminal; turns text around; becomes an
/// element, a link, an image, a heading or code in Markdown.
const EVIL: &str = "\u{1b}[31m\u{9b}2J\u{7}\u{202e}\u{2066}\u{200f}<img src=x onerror=a>[x](javascript:a)![y](javascript:a)**b** `c` | ~~d~~ <javascript:a> &lt;";

/// Whether a terminal, or whoever lays out a line, acts on a character.
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A plan with evil words wherever there may be any, and mistakes that quote them.
fn plan() -> String {
    r#"use "E.bell"
use "../catalog.bell"
# E
monitoring centre "E" {
  note "E"
}
# E
rules house "E" {
  standby 12 h
  source "E"
}
# E
model keypad evil-keypad "E" {
  standby 45 mA
  works 10.2 V .. 14.5 V
  sounds E
  note "E"
}
model battery evil-battery "E" {
  voltage 12 V
  capacity 7 Ah, over 20 h
}
model cable evil-cable "E" {
  cores 4
  conductor 22 AWG
  colours black "E" red
}
# E
site quay "E" {
  rules house
  report centre, account 4411
  note "E"
  accept battery-missing "E"
  accept E "E"
  # E
  panel main "E" : T1 {
    accept address-taken "E"
    partition 1 "E"
    bus keys {
      # E
      keypad front "E" : T2, address 1, partition 1
      keypad rear  "E" : evil-keypad, address 1, partition 1
      keypad third "E" : "E", address 99
    }
    zone 1 "E", input 1, from pir, partition 1, loop E
    battery : evil-battery
  }
  detector pir "E" : E
  joint j1 "E"
  supply psu "E" : E
  # E
  run a "E" : evil-cable {
    main.keys --12 m-- front --9 m-- rear --3 m-- j1 --E-- E
  }
  E E "E" { E "E" }
  keypad "E" : "E", E "E"
}
site quay "E" {
}
model panel T9 "E" {
}
"#
    .replace('E', EVIL)
}

fn folder() -> Folder {
    let folder = Folder::new();
    folder.write("sites/quay.bell", &plan());
    folder
}

/// Strings that are shown to people, with where they stand.
fn shown<'a>(value: &'a Value, key: &str, into: &mut Vec<(String, &'a str)>) {
    /// What goes into a text, or back to the server, must be exact.
    const EXACT: &[&str] = &[
        "newText",
        "text",
        "insertText",
        "filterText",
        "sortText",
        "uri",
        "targetUri",
        "target",
        "data",
        "arguments",
        "href",
        "placeholder",
    ];
    match value {
        Value::String(text) => into.push((key.to_string(), text)),
        Value::Array(all) => all.iter().for_each(|value| shown(value, key, into)),
        Value::Object(all) => {
            let all = all.iter().filter(|(key, _)| !EXACT.contains(&key.as_str()));
            all.for_each(|(key, value)| shown(value, key, into));
        }
        _ => {}
    }
}

fn harmless(what: &str, value: &Value) -> usize {
    let mut strings = Vec::new();
    shown(value, "", &mut strings);
    for (key, text) in &strings {
        let bad = text.chars().find(|c| *c != '\n' && acts(*c));
        assert_eq!(bad, None, "{what}: {key}: {text:?}");
        if key == "value" {
            marks_nothing_up(what, text);
        }
    }
    strings
        .iter()
        .filter(|(_, text)| text.contains("javascript"))
        .count()
}

/// That Markdown makes no element, link or image of a plan's words.
fn marks_nothing_up(what: &str, markdown: &str) {
    for event in Parser::new_ext(markdown, Options::all()) {
        let bad = match &event {
            Event::Html(_) | Event::InlineHtml(_) => true,
            Event::Start(Tag::Link { .. } | Tag::Image { .. } | Tag::Strikethrough) => true,
            Event::Text(text) => text.contains("&lt;") && !markdown.contains("\\&lt;"),
            _ => false,
        };
        assert!(!bad, "{what}: {event:?} in {markdown}");
    }
}

#[test]
fn nothing_that_an_editor_shows_is_taken_for_more_than_words() {
    let folder = folder();
    let uri = folder.uri("sites/quay.bell");
    let text = plan();
    let mut client = Client::ready(&folder.root());
    client.open(&uri, 1, &text);
    let found = client.findings_of(&uri, 1);
    let mut evil = harmless("findings", &found);
    let document = json!({"uri": uri});
    let end = json!({"line": 9_999, "character": 0});
    let all = json!({"start": {"line": 0, "character": 0}, "end": end});
    for (method, params) in [
        (
            "textDocument/documentSymbol",
            json!({"textDocument": document}),
        ),
        ("textDocument/codeLens", json!({"textDocument": document})),
        (
            "textDocument/inlayHint",
            json!({"textDocument": document, "range": all}),
        ),
        (
            "textDocument/codeAction",
            json!({"textDocument": document, "range": all, "context": {"diagnostics": []}}),
        ),
        ("workspace/symbol", json!({"query": ""})),
        ("workspace/symbol", json!({"query": "a"})),
        (
            "textDocument/documentLink",
            json!({"textDocument": document}),
        ),
    ] {
        evil += harmless(method, &client.request(method, params));
    }
    // Every word, once.
    for (line, words) in text.lines().enumerate() {
        let starts = words.char_indices().filter(|(at, c)| {
            let before = words[..*at].chars().next_back();
            c.is_alphanumeric() && !before.is_some_and(char::is_alphanumeric)
        });
        for (start, _) in starts {
            let column = words[..start].encode_utf16().count();
            let at =
                json!({"textDocument": document, "position": {"line": line, "character": column}});
            evil += harmless("hover", &client.request("textDocument/hover", at.clone()));
            let fed = client.request("textDocument/prepareCallHierarchy", at.clone());
            evil += harmless("feeds", &fed);
            harmless("standing", &client.request("bellwire/standing", at.clone()));
            if !words[..start].contains("javascript") {
                let offered = client.request("textDocument/completion", at);
                evil += harmless("completion", &offered);
                for item in offered.as_array().into_iter().flatten().take(20) {
                    let whole = client.request("completionItem/resolve", item.clone());
                    evil += harmless("completion", &whole);
                }
            }
        }
    }
    assert!(
        evil > 100,
        "the words were shown {evil} times, which tests little"
    );
    client.finish();
}

fn run(folder: &Folder, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .args(arguments)
        .current_dir(folder.root())
        .output()
        .unwrap()
}

#[test]
fn nothing_that_the_program_prints_commands_a_terminal() {
    let folder = folder();
    let name = "sites/e\u{1b}[31m\u{202e}\u{9b}vil.bell";
    folder.write(name, &plan());
    folder.write("ragged\u{7}.bell", "site   a {\n}\n");
    let mut printed = 0;
    for arguments in [
        &["check"][..],
        &["check", "--color", "never"],
        &["check", "--format", "json"],
        &["check", "--format", "sarif"],
        &["figures"],
        &["figures", "--format", "json"],
        &["figures", "--explain", "front"],
        &["figures", "--explain", EVIL],
        &["explain", EVIL],
        &["check", EVIL],
        &["format", "--check"],
        &["format"],
    ] {
        let output = run(&folder, arguments);
        for text in [&output.stdout, &output.stderr] {
            let text = std::str::from_utf8(text).unwrap();
            let bad = text.chars().find(|c| *c != '\n' && acts(*c));
            assert_eq!(bad, None, "{arguments:?}: {text}");
            printed += text.matches("javascript").count();
        }
    }
    assert!(
        printed > 50,
        "the words were printed {printed} times, which tests little"
    );
    // In JSON they are escaped, and still the same words.
    let json = run(&folder, &["figures", "--format", "json"]).stdout;
    assert!(serde_json::from_slice::<Value>(&json).is_ok());
    let json = run(&folder, &["check", "--format", "json"]).stdout;
    let report: Value = serde_json::from_slice(&json).unwrap();
    let findings = report["findings"].as_array().unwrap();
    assert!(findings.iter().any(|of| of["accepted"] == EVIL));
    assert!(
        findings.iter().any(|of| of["file"] == name),
        "{findings:#?}"
    );
}

#[test]
fn the_log_commands_no_terminal() {
    let folder = folder();
    let log = folder.path("log");
    let mut program = Command::new(env!("CARGO_BIN_EXE_bellwire"));
    program.stderr(std::fs::File::create(&log).unwrap());
    let mut client = Client::by(program).introduced(&folder.root(), json!({}));
    let uri = folder.uri("a%1B%5B31m%C2%9B%07.bell");
    client.open(&uri, 1, &plan());
    client.open(&uri, 2, &plan());
    client.close(&format!("{uri}x"));
    client.change(&format!("{uri}x"), 1, json!([]));
    client.notify("\u{1b}[31m", json!({}));
    let id = client.ask("\u{9b}31m", json!({}));
    client.answer(id);
    client.finish();
    let log = std::fs::read_to_string(log).unwrap();
    assert!(log.contains("opened twice"), "{log}");
    let bad = log.chars().find(|c| c.is_control() && *c != '\n');
    assert_eq!(bad, None, "{log:?}");
}
