//! A long day of edits, over the protocol: the server's memory stays what it was.
//! `BELLWIRE_EDITS=100000` is a long day indeed. `../memory` counts more closely.

use serde_json::{Value, json};

use super::client::{Client, position};
use super::common::demo;
use super::mutate::Mutator;
use super::plans::Folder;
use super::random::{chance, edits};

/// Kilobytes of memory that a process holds.
fn resident(process: u32) -> usize {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).expect("a status");
    let line = status.lines().find(|line| line.starts_with("VmRSS:"));
    let number = line.and_then(|line| line.split_whitespace().nth(1));
    number
        .and_then(|number| number.parse().ok())
        .expect("VmRSS")
}

#[test]
fn the_server_stays_as_large_as_it_is_over_many_edits() {
    let folder = Folder::empty();
    for (name, text) in demo() {
        folder.write(&name, &text);
    }
    let mutator = Mutator::new();
    let mut random = chance(3);
    let mut client = Client::ready(&folder.root());
    let plans: Vec<(String, String)> = demo().into_iter().collect();
    for (name, text) in &plans {
        client.open(&folder.uri(name), 0, text);
    }
    let edits = edits(2000);
    let mut samples = Vec::new();
    let mut version = 0;
    while version < edits {
        let (name, original) = random.of(&plans);
        let uri = folder.uri(name);
        // Some edits, each on top of the one before, and back to the start.
        let mut text = original.clone();
        for _ in 0..8 {
            let mut piece = mutator.piece(&mut random);
            // A position cannot stand between the two halves of a line break.
            piece.text = piece.text.replace('\r', " ");
            let before = text.clone();
            let range = piece.put(&mut text);
            let (start, end) = (position(&before, range.start), position(&before, range.end));
            let change = json!({"range": {"start": start, "end": end}, "text": piece.text});
            version += 1;
            client.change(&uri, version as i64, json!([change]));
        }
        ask(&mut client, &uri, &position(&text, random.place(&text)));
        version += 1;
        client.change(&uri, version as i64, json!([{"text": original}]));
        // A file of its own name comes and goes.
        if random.below(10) == 0 {
            let other = folder.uri(&format!("sites/new-{version}.bell"));
            client.open(&other, 1, &text);
            ask(&mut client, &other, &position(&text, random.place(&text)));
            client.close(&other);
        }
        client.forget();
        if version * 20 / edits > samples.len() {
            client.request("workspace/symbol", json!({"query": "a"}));
            samples.push(resident(client.process()));
        }
    }
    println!("{version} edits; kilobytes: {samples:?}");
    let most = |part: &[usize]| part.iter().copied().max().unwrap_or(0);
    // At first, everything is new. The allocator keeps what it has had; how
    // much, depends on which threads there were.
    let warm = &samples[samples.len() / 4..];
    let (early, late) = warm.split_at(warm.len() / 2);
    assert!(
        most(late) < most(early) + most(early) / 8,
        "memory grows: {samples:?} kB"
    );
    client.finish();
}

/// What an editor asks for after a change.
fn ask(client: &mut Client, uri: &str, position: &Value) {
    let document = json!({"uri": uri});
    let end = json!({"line": 9999, "character": 0});
    let range = json!({"start": {"line": 0, "character": 0}, "end": end});
    let at = json!({"textDocument": document, "position": position});
    let whole = json!({"textDocument": document});
    let in_range = json!({"textDocument": document, "range": range});
    let ids = [
        client.ask("textDocument/completion", at.clone()),
        client.ask("textDocument/hover", at),
        client.ask("textDocument/semanticTokens/full", whole.clone()),
        client.ask("textDocument/codeLens", whole.clone()),
        client.ask("textDocument/foldingRange", whole),
        client.ask("textDocument/inlayHint", in_range),
    ];
    for id in ids {
        client.result(id);
    }
}
