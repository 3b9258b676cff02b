//! Clients that do what they should not. The server answers with an error where
//! an answer is due, and goes on.

use std::process::Command;

use bellwire_tests::wire::framed;
use serde_json::{Value, json};

use super::client::{Client, introduction};
use super::plans::{Folder, alive, codes, site};

#[test]
fn what_is_no_message_is_refused_and_the_next_one_read() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    for body in [
        "{",
        "[]",
        "null",
        "\"x\"",
        "{\"jsonrpc\":\"2.0\"}",
        "{\"jsonrpc\":\"2.0\",\"id\":{},\"method\":\"a\"}",
        "\u{0}\u{1}",
    ] {
        client.raw(&framed(body));
        let refusal = client.wait_for(|message| message.get("method").is_none());
        assert_eq!(refusal["error"]["code"], -32700, "{body}: {refusal}");
        assert_eq!(refusal["id"], Value::Null);
    }
    client.raw(&framed(b"\xff\xfe"));
    client.wait_for(|message| message["error"]["code"] == -32700);
    client.raw(b"nonsense\r\n\r\nContent-Length: x\r\n\r\n");
    client.raw(&framed("[".repeat(100_000)));
    client.wait_for(|message| message["error"]["code"] == -32700);
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn unknown_methods_and_wrong_types_are_errors() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    let id = client.ask("bellwire/nothing", json!({}));
    assert_eq!(client.answer(id)["error"]["code"], -32601);
    client.notify("bellwire/nothing", json!({}));
    client.notify("$/nothing", json!([]));
    for params in [
        Value::Null,
        json!([]),
        json!(7),
        json!({"textDocument": 3}),
        json!({"textDocument": {"uri": "::"}}),
        json!({"textDocument": {"uri": folder.uri("a.bell")}, "position": {"line": -1, "character": 0}}),
        json!({"textDocument": {"uri": folder.uri("a.bell")}, "position": {"line": 1e30, "character": 0}}),
    ] {
        let id = client.ask("textDocument/documentHighlight", params.clone());
        assert_eq!(client.answer(id)["error"]["code"], -32602, "{params}");
        client.notify("textDocument/didOpen", params.clone());
        client.notify("textDocument/didChange", params.clone());
        client.notify("workspace/didChangeWatchedFiles", params);
    }
    client.notify(
        "workspace/didChangeConfiguration",
        json!({"settings": {"bellwire": {"lenses": "perhaps"}}}),
    );
    client.notify("workspace/didChangeConfiguration", json!({"settings": 7}));
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn documents_may_be_opened_twice_edited_unopened_and_closed_unopened() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.change(&folder.uri("never.bell"), 3, json!([{"text": "nonsense"}]));
    client.close(&folder.uri("never.bell"));
    client.open(&uri, 1, &site(2));
    client.open(&uri, 7, &site(1));
    assert!(codes(&client.findings_of(&uri, 7)).contains(&"address-taken"));
    // Versions that go back are the client's business; the text still follows.
    client.change(&uri, 4, json!([{"text": site(3)}]));
    assert!(!codes(&client.findings_of(&uri, 4)).contains(&"address-taken"));
    client.change(&uri, 4, json!([]));
    client.close(&uri);
    client.close(&uri);
    let nothing = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": folder.uri("never.bell")}}),
    );
    assert_eq!(nothing, Value::Null);
    let odd = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": "odd:thing?x#y"}}),
    );
    assert_eq!(odd, Value::Null);
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn plans_that_nobody_would_write_do_no_harm() {
    let folder = Folder::new();
    let uri = folder.uri("a.bell");
    let mut client = Client::start(&folder.root());
    let plans = [
        "{".repeat(20_000),
        "a {\n".repeat(5_000),
        "}".repeat(20_000),
        "site a { ".repeat(2_000),
        "\"".repeat(9_999),
        "\u{0}\u{feff}\u{202e}\r\r\n\n\u{2028}".repeat(500),
        "use \"a.bell\"\n".repeat(300),
        format!(
            "site a {{\n run r {{\n  {}\n }}\n}}\n",
            "x --1 m-- ".repeat(3_000)
        ),
        format!("model cable c {{ cores {} }}\n", "9".repeat(400)),
    ];
    for (version, text) in plans.iter().enumerate() {
        if version == 0 {
            client.open(&uri, 0, text);
        } else {
            client.change(&uri, version as i64, json!([{"text": text}]));
        }
        client.findings_of(&uri, version as i64);
        client.request(
            "textDocument/documentSymbol",
            json!({"textDocument": {"uri": uri}}),
        );
        let positions = json!([{"line": 0, "character": 5000}]);
        client.request(
            "textDocument/selectionRange",
            json!({"textDocument": {"uri": uri}, "positions": positions}),
        );
    }
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn nothing_is_done_before_the_introduction() {
    let folder = Folder::new();
    let mut client = Client::silent();
    let id = client.ask(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": folder.uri("a.bell")}}),
    );
    assert_eq!(client.answer(id)["error"]["code"], -32002);
    client.open(&folder.uri("a.bell"), 1, "");
    client.request("initialize", introduction(&folder.root()));
    let id = client.ask("initialize", introduction(&folder.root()));
    assert_eq!(client.answer(id)["error"]["code"], -32600);
    client.notify("initialized", json!({}));
    alive(&mut client, &folder);
    client.request("shutdown", Value::Null);
    let id = client.ask(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": folder.uri("a.bell")}}),
    );
    assert_eq!(client.answer(id)["error"]["code"], -32600);
    client.notify("exit", Value::Null);
    assert_eq!(client.ended().code(), Some(0));
}

#[test]
fn exit_directly_behind_shutdown_cuts_nothing_off() {
    let folder = Folder::new();
    let plan = folder.uri("a.bell");
    for round in 0..20 {
        let mut client = Client::start(&folder.root());
        // Nobody is there any longer to hear them.
        client.answering = false;
        if round % 2 == 0 {
            // There is work to be done when the end comes.
            client.open(&plan, 1, &"site a { panel p : Q }\n".repeat(100));
        }
        let id = client.ask("shutdown", Value::Null);
        client.notify("exit", Value::Null);
        assert_eq!(client.result(id), Value::Null, "{round}");
        assert_eq!(client.ended().code(), Some(0), "{round}");
    }
}

#[test]
fn exit_without_shutdown_ends_with_1() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    client.notify("exit", Value::Null);
    assert_eq!(client.ended().code(), Some(1));
}

#[test]
fn a_client_that_is_gone_is_not_waited_for() {
    let folder = Folder::new();
    let mut client = Client::start(&folder.root());
    client.hang_up();
    client.ended();
    // In the middle of a message.
    let mut client = Client::start(&folder.root());
    client.raw(b"Content-Length: 500\r\n\r\n{\"jsonrpc\":");
    client.hang_up();
    client.ended();
    // Before the first one.
    let mut client = Client::silent();
    client.hang_up();
    client.ended();
}

#[test]
fn a_log_that_nobody_reads_any_longer_ends_nothing() {
    let folder = Folder::new();
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let mut program = Command::new(env!("CARGO_BIN_EXE_bellwire"));
    program.stderr(writer);
    let mut client = Client::by(program).introduced(&folder.root(), json!({}));
    // Each is worth a line in the log.
    client.raw(&framed("{"));
    client.close(&folder.uri("never.bell"));
    alive(&mut client, &folder);
    client.finish();
}

#[test]
fn a_client_that_never_answers_is_served_all_the_same() {
    let folder = Folder::new();
    let mut client = Client::silent();
    client.answering = false;
    client.request("initialize", introduction(&folder.root()));
    client.notify("initialized", json!({}));
    alive(&mut client, &folder);
    client.finish();
}
