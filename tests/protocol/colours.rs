//! Colours over the wire: numbers whose meaning the server gives beforehand.

use serde_json::{Value, json};

use super::open::Open;
use super::plans::site;

#[test]
fn colours_are_the_same_as_a_difference_and_as_a_whole() {
    let mut open = Open::new(&site(2));
    let uri = open.uri.clone();
    let first = open.ask("textDocument/semanticTokens/full", json!({}));
    let mut data: Vec<Value> = first["data"].as_array().unwrap().clone();
    assert!(data.len() > 50 && data.len().is_multiple_of(5));
    let mut known = first["resultId"].clone();
    for (version, text) in [
        (2, site(3)),
        (3, format!("# above\n{}", site(3))),
        (4, site(12)),
        (5, String::new()),
    ] {
        open.client.change(&uri, version, json!([{"text": text}]));
        let delta = open.ask(
            "textDocument/semanticTokens/full/delta",
            json!({"previousResultId": known}),
        );
        assert!(delta["resultId"].is_string(), "{delta}");
        for edit in delta["edits"].as_array().unwrap().iter().rev() {
            let start = edit["start"].as_u64().unwrap() as usize;
            let end = start + edit["deleteCount"].as_u64().unwrap() as usize;
            let new = edit["data"].as_array().cloned().unwrap_or_default();
            data.splice(start..end, new);
        }
        let whole = open.ask("textDocument/semanticTokens/full", json!({}));
        assert_eq!(
            &data,
            whole["data"].as_array().unwrap(),
            "version {version}"
        );
        known = whole["resultId"].clone();
    }
    let forgotten = open.ask(
        "textDocument/semanticTokens/full/delta",
        json!({"previousResultId": "long ago"}),
    );
    assert!(forgotten["data"].is_array(), "{forgotten}");
    open.client.finish();
}

#[test]
fn colours_are_numbered_as_the_server_says() {
    let mut open = Open::new(&site(2));
    let legend = open.client.capabilities["semanticTokensProvider"]["legend"].clone();
    let tokens = open.ask("textDocument/semanticTokens/full", json!({}));
    let data = tokens["data"].as_array().unwrap().iter();
    let data: Vec<usize> = data.map(|n| n.as_u64().unwrap() as usize).collect();
    let (mut line, mut column) = (0, 0);
    let mut found = Vec::new();
    for token in data.chunks(5) {
        if token[0] > 0 {
            (line, column) = (line + token[0], 0);
        }
        column += token[1];
        let units: Vec<u16> = open
            .text
            .lines()
            .nth(line)
            .unwrap()
            .encode_utf16()
            .collect();
        let text = String::from_utf16(&units[column..column + token[2]]).unwrap();
        let mut kind = legend["tokenTypes"][token[3]].as_str().unwrap().to_string();
        for (bit, name) in legend["tokenModifiers"]
            .as_array()
            .unwrap()
            .iter()
            .enumerate()
        {
            if token[4] >> bit & 1 == 1 {
                kind += &format!(" {}", name.as_str().unwrap());
            }
        }
        found.push((text, kind));
    }
    for (text, kind) in [
        ("keypad", "keyword"),
        ("front", "variable declaration"),
        ("front", "variable"),
        ("\"Door 🔔\"", "string"),
        ("T2", "class"),
        ("address", "property"),
        ("copper-4x22AWG", "class defaultLibrary"),
    ] {
        let wanted = (text.to_string(), kind.to_string());
        assert!(found.contains(&wanted), "{wanted:?} in {found:?}");
    }
    open.client.finish();
}
