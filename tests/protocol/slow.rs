//! Clients that read late, or not at all.

use std::collections::BTreeSet;
use std::io::{BufReader, Read, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use bellwire_tests::wire::{framed, read};
use serde_json::{Value, json};

use super::client::{ended, introduction, server};
use super::plans::{Folder, site};

/// Far more requests than a server may take in while nobody reads their answers.
const REQUESTS: usize = 5_000;

/// A request as it goes over the line.
fn call(id: usize, method: &str, params: Value) -> Vec<u8> {
    let call = json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params});
    framed(call.to_string())
}

/// A notification as it goes over the line.
fn tell(method: &str, params: Value) -> Vec<u8> {
    let told = json!({"jsonrpc": "2.0", "method": method, "params": params});
    framed(told.to_string())
}

/// What opens a document.
fn open(uri: &str) -> Vec<u8> {
    let document = json!({"uri": uri, "languageId": "bellwire", "version": 1, "text": site(2)});
    tell("textDocument/didOpen", json!({"textDocument": document}))
}

#[test]
fn a_client_that_reads_late_is_waited_for_and_gets_every_answer() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut server = server();
    let mut input = server.stdin.take().unwrap();
    let written = Arc::new(AtomicUsize::new(0));
    let (count, root) = (written.clone(), folder.root());
    let writer = std::thread::spawn(move || {
        input
            .write_all(&call(0, "initialize", introduction(&root)))
            .unwrap();
        input.write_all(&tell("initialized", json!({}))).unwrap();
        input.write_all(&open(&uri)).unwrap();
        let params = json!({"textDocument": {"uri": uri}});
        for id in 1..=REQUESTS {
            let outline = call(id, "textDocument/documentSymbol", params.clone());
            input.write_all(&outline).unwrap();
            count.store(id, Ordering::SeqCst);
        }
        input
    });
    // Until the server takes in no more.
    let (mut last, mut since) = (0, Instant::now());
    while since.elapsed() < Duration::from_secs(1) && !writer.is_finished() {
        std::thread::sleep(Duration::from_millis(10));
        let now = written.load(Ordering::SeqCst);
        if now != last {
            (last, since) = (now, Instant::now());
        }
    }
    assert!(!writer.is_finished(), "the server takes in everything");
    let mut output = BufReader::new(server.stdout.take().unwrap());
    let mut unanswered: BTreeSet<usize> = (0..=REQUESTS).collect();
    while !unanswered.is_empty() {
        let body = read(&mut output).expect("an answer to every request");
        let message: Value = serde_json::from_slice(&body).expect("JSON");
        if message.get("method").is_none() {
            assert!(message.get("error").is_none(), "{message}");
            let id = message["id"].as_u64().unwrap() as usize;
            assert!(unanswered.remove(&id), "{id} is answered again: {message}");
        }
    }
    drop(writer.join().unwrap());
    output.read_to_end(&mut Vec::new()).unwrap();
    server.wait().unwrap();
}

#[test]
fn a_client_that_hangs_up_without_reading_is_not_waited_for() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let params = json!({"textDocument": {"uri": uri}});
    for closes_all in [false, true] {
        let mut server = server();
        let mut input = server.stdin.take().unwrap();
        let hello = call(0, "initialize", introduction(&folder.root()));
        input.write_all(&hello).unwrap();
        input.write_all(&open(&uri)).unwrap();
        for id in 1..=100 {
            let outline = call(id, "textDocument/documentSymbol", params.clone());
            input.write_all(&outline).unwrap();
        }
        drop(input);
        // The pipe is full. Where it stays open, only the process itself can end this.
        if closes_all {
            drop(server.stdout.take());
        }
        ended(&mut server);
    }
}
