//! Clients that break the protocol. `tests/protocol/abuse.rs` and `slow.rs` have the milder ones.

use bellwire_tests::wire::framed;
use serde_json::{Value, json};

use crate::client::Client;
use crate::plans::{Folder, alive, codes, site};

#[test]
fn a_message_larger_than_any_is_the_end() {
    for length in ["99999999999999", "18446744073709551615"] {
        let folder = Folder::new();
        let mut client = Client::start(&folder.root());
        client.raw(format!("Content-Length: {length}\r\n\r\n{{").as_bytes());
        assert_eq!(client.ended().code(), Some(1));
    }
}

#[test]
fn headers_may_be_long_and_many() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    let long = vec![b'x'; 1 << 16];
    for _ in 0..100 {
        client.raw(&long);
    }
    client.raw(b"\r\n\r\n");
    client.raw("X-Header: y\r\n".repeat(20_000).as_bytes());
    client.raw(b"Content-Length: 18446744073709551616\r\nContent-Length: -1\r\n\r\n");
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn bodies_that_are_no_json_are_refused() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    let deep = format!(
        "{{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"textDocument/hover\",\"params\":{}{}}}",
        "[".repeat(5_000),
        "]".repeat(5_000)
    );
    for body in [
        b"{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"\xff\"}".as_slice(),
        b"{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"\xed\xa0\x80\"}",
        b"",
        b"{\"jsonrpc\":\"2.0\",\"id\":1e400,\"method\":\"a\"}",
        deep.as_bytes(),
    ] {
        client.raw(&framed(body));
        let refusal = client.wait_for(|message| message["error"]["code"] == -32700);
        assert_eq!(refusal["id"], Value::Null);
    }
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn cancellations_and_answers_that_nobody_waits_for_do_nothing() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    for params in [
        json!({"id": 99_999}),
        json!({"id": "x"}),
        json!({"id": null}),
        json!({}),
        json!([]),
        Value::Null,
    ] {
        client.notify("$/cancelRequest", params);
    }
    for answer in [
        json!({"jsonrpc": "2.0", "id": 99_999, "result": null}),
        json!({"jsonrpc": "2.0", "id": "x", "result": {"a": 1}}),
        json!({"jsonrpc": "2.0", "id": null, "result": 7}),
        json!({"jsonrpc": "2.0", "id": 99_999, "error": {"code": 1, "message": "no"}}),
    ] {
        client.send(&answer);
    }
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn every_request_is_answered_whatever_its_parameters_are() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    let document = json!({"uri": uri});
    for method in [
        "textDocument/hover",
        "textDocument/completion",
        "completionItem/resolve",
        "textDocument/definition",
        "textDocument/declaration",
        "textDocument/typeDefinition",
        "textDocument/references",
        "textDocument/documentHighlight",
        "textDocument/linkedEditingRange",
        "textDocument/documentSymbol",
        "textDocument/codeAction",
        "textDocument/codeLens",
        "textDocument/documentLink",
        "textDocument/formatting",
        "textDocument/rangeFormatting",
        "textDocument/onTypeFormatting",
        "textDocument/prepareRename",
        "textDocument/rename",
        "textDocument/foldingRange",
        "textDocument/selectionRange",
        "textDocument/semanticTokens/full",
        "textDocument/semanticTokens/full/delta",
        "textDocument/semanticTokens/range",
        "textDocument/inlayHint",
        "textDocument/diagnostic",
        "textDocument/prepareCallHierarchy",
        "callHierarchy/incomingCalls",
        "callHierarchy/outgoingCalls",
        "workspace/symbol",
        "workspace/diagnostic",
        "workspace/executeCommand",
        "workspace/willRenameFiles",
        "bellwire/standing",
    ] {
        let place = json!({"line": 4_294_967_295_u32, "character": 4_294_967_295_u32});
        let back = json!({"start": place, "end": {"line": 0, "character": 0}});
        for params in [
            json!(null),
            json!([]),
            json!({}),
            json!(7),
            json!({"textDocument": document, "position": place, "range": back, "newName": "\u{0}\n",
                   "context": {"diagnostics": [], "includeDeclaration": true}, "ch": "\u{0}",
                   "positions": [place, place], "options": {"tabSize": 0, "insertSpaces": false},
                   "previousResultId": "none", "previousResultIds": [], "query": "\u{0}",
                   "label": "x", "data": {"a": 1}, "command": "bellwire.go", "arguments": [7, null],
                   "files": [{"oldUri": "::", "newUri": ""}],
                   "item": {"name": "x", "kind": 1, "uri": uri, "range": back, "selectionRange": back}}),
            json!({"textDocument": document, "position": {"line": -1, "character": 4_294_967_296_u64}}),
        ] {
            let id = client.ask(method, params.clone());
            let answer = client.answer(id);
            let code = &answer["error"]["code"];
            assert_ne!(*code, -32603, "{method} {params}: {answer}");
            assert_ne!(*code, -32601, "{method} is not there");
        }
    }
    alive(&mut client, &folder);
    client.finish();
}

/// The service takes them for notifications, all of them; the protocol wants an error.
#[test]
fn a_request_that_one_need_not_know_is_answered_all_the_same() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    for method in ["$/nothing", "$/cancelRequest"] {
        let id = client.ask(method, json!({"id": 99_999}));
        assert_eq!(client.answer(id)["error"]["code"], -32601, "{method}");
    }
    alive(&mut client, &folder);
    client.finish();
}

/// An edit that is left out would leave the server with another text than the editor.
#[test]
fn edits_that_are_oddly_written_are_made() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    let document = json!({"uri": uri, "text": site(1)});
    client.notify("textDocument/didOpen", json!({"textDocument": document}));
    let at = |line: f64, character: f64| json!({"line": line, "character": character});
    let all = json!({"start": at(0.0, -1.0), "end": at(1e300, 5.0)});
    for (number, document) in [
        json!({"uri": uri}),
        json!({"uri": uri, "version": null}),
        json!({"uri": uri, "version": "7"}),
        json!({"uri": uri, "version": 1_u64 << 40}),
    ]
    .iter()
    .enumerate()
    {
        let text = format!("site s{number} {{\n}}\n");
        let change = json!({"range": all, "rangeLength": -1, "text": text});
        let params = json!({"textDocument": document, "contentChanges": [change]});
        client.notify("textDocument/didChange", params);
        let document = json!({"textDocument": {"uri": uri}});
        let symbols = client.request("textDocument/documentSymbol", document);
        assert_eq!(symbols[0]["name"], format!("s{number}"), "{symbols}");
    }
    client.finish();
}

#[test]
fn documents_may_have_any_address() {
    let folder = Folder::new();
    let mut client = Client::ready(&folder.root());
    let long = format!("file:///{}", "a/".repeat(5_000));
    for uri in [
        "untitled:Untitled-1",
        "git:/sites/quay.bell?%7B%22ref%22%3A%22~%22%7D",
        "http://example.org/a.bell",
        "vscode-notebook-cell:/a.bell#X",
        "file://host/share/a.bell",
        "file:///a%2Fb.bell",
        "file:///a%00b.bell",
        "file:///%FF%FE.bell",
        "file:///..%2f..%2fetc/passwd",
        "file:///c%3A/Plans/a.bell",
        "FILE:///a.bell",
        "file:///a/./../b//c.bell",
        "file:///",
        "urn:x",
        long.as_str(),
    ] {
        println!("{uri}");
        client.open(uri, 1, "nonsense\nuse \"../../../etc/passwd\"\n");
        assert!(!codes(&client.findings_of(uri, 1)).is_empty(), "{uri}");
        let document = json!({"textDocument": {"uri": uri}});
        client.request("textDocument/documentSymbol", document.clone());
        client.request("textDocument/documentLink", document);
        client.close(uri);
        assert_eq!(client.findings(uri)["diagnostics"], json!([]), "{uri}");
    }
    for uri in ["", "::", "no scheme", "file:///a b", "file:///%zz", "\u{0}"] {
        client.open(uri, 1, "nonsense");
        client.close(uri);
    }
    alive(&mut client, &folder);
    client.finish();
}

/// Ranges that end before they start, places that are nowhere, versions that go back: the text stays
/// one that can be worked on, and a whole new text puts everything right.
#[test]
fn edits_that_make_no_sense_are_survived() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&uri, 5, &site(2));
    let at = |line: u32, character: u32| json!({"line": line, "character": character});
    let edit = |start: Value, end: Value, text: &str| json!({"range": {"start": start, "end": end}, "text": text});
    client.change(&uri, 4, json!([edit(at(3, 9), at(1, 0), "x")]));
    client.change(
        &uri,
        i64::from(i32::MIN),
        json!([edit(at(9_999, 9_999), at(0, 0), "}\n")]),
    );
    client.change(&uri, 6, json!([edit(at(0, 0), at(u32::MAX, u32::MAX), "")]));
    let many: Vec<Value> = (0..5_000)
        .map(|line| edit(at(line, 0), at(line, 0), "a {\n"))
        .collect();
    client.change(&uri, 7, json!(many));
    client.findings_of(&uri, 7);
    client.change(&uri, 8, json!([{"text": site(1)}]));
    assert!(codes(&client.findings_of(&uri, 8)).contains(&"address-taken"));
    let symbols = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": uri}}),
    );
    assert_eq!(symbols[0]["name"], "quay");
    client.finish();
}
