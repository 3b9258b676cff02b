//! A designer's day: one session that uses everything that the server offers.
//! What it offers and the session does not use is a failure.

use bellwire_tests::wire::uri;
use serde_json::{Value, json};

use super::open::{Open, edited, labels};
use super::plans::{Folder, codes, site};

/// The methods behind each capability, by its path. An option that only says how
/// something is done has none.
const METHODS: &[(&str, &[&str])] = &[
    ("bellwire/standing", &["bellwire/standing"]),
    (
        "callHierarchyProvider",
        &[
            "textDocument/prepareCallHierarchy",
            "callHierarchy/incomingCalls",
            "callHierarchy/outgoingCalls",
        ],
    ),
    ("codeActionProvider", &["textDocument/codeAction"]),
    ("codeLensProvider", &["textDocument/codeLens"]),
    (
        "completionProvider",
        &["textDocument/completion", "completionItem/resolve"],
    ),
    ("didCreate", &["workspace/didCreateFiles"]),
    ("didDelete", &["workspace/didDeleteFiles"]),
    ("didRename", &["workspace/didRenameFiles"]),
    ("declarationProvider", &["textDocument/declaration"]),
    ("definitionProvider", &["textDocument/definition"]),
    (
        "diagnosticProvider",
        &["textDocument/diagnostic", "workspace/diagnostic"],
    ),
    ("documentFormattingProvider", &["textDocument/formatting"]),
    (
        "documentHighlightProvider",
        &["textDocument/documentHighlight"],
    ),
    ("documentLinkProvider", &["textDocument/documentLink"]),
    (
        "documentOnTypeFormattingProvider",
        &["textDocument/onTypeFormatting"],
    ),
    (
        "documentRangeFormattingProvider",
        &["textDocument/rangeFormatting"],
    ),
    ("documentSymbolProvider", &["textDocument/documentSymbol"]),
    ("executeCommandProvider", &["workspace/executeCommand"]),
    ("foldingRangeProvider", &["textDocument/foldingRange"]),
    ("hoverProvider", &["textDocument/hover"]),
    ("inlayHintProvider", &["textDocument/inlayHint"]),
    (
        "linkedEditingRangeProvider",
        &["textDocument/linkedEditingRange"],
    ),
    ("positionEncoding", &[]),
    ("referencesProvider", &["textDocument/references"]),
    (
        "renameProvider",
        &["textDocument/prepareRename", "textDocument/rename"],
    ),
    ("selectionRangeProvider", &["textDocument/selectionRange"]),
    (
        "semanticTokensProvider",
        &[
            "textDocument/semanticTokens/full",
            "textDocument/semanticTokens/full/delta",
            "textDocument/semanticTokens/range",
        ],
    ),
    (
        "textDocumentSync",
        &[
            "textDocument/didOpen",
            "textDocument/didChange",
            "textDocument/didClose",
        ],
    ),
    ("typeDefinitionProvider", &["textDocument/typeDefinition"]),
    ("willRename", &["workspace/willRenameFiles"]),
    ("workspaceFolders", &["workspace/didChangeWorkspaceFolders"]),
    ("workspaceSymbolProvider", &["workspace/symbol"]),
];

/// The methods that a server with these capabilities offers.
fn offered(capabilities: &Value) -> Vec<&'static str> {
    let mut names: Vec<String> = Vec::new();
    for (name, value) in capabilities.as_object().unwrap() {
        // Those that only hold others.
        let inner = match name.as_str() {
            "workspace" | "experimental" => value.as_object().unwrap().clone(),
            _ => [(name.clone(), value.clone())].into_iter().collect(),
        };
        for (name, value) in inner {
            match name.as_str() {
                "fileOperations" => names.extend(value.as_object().unwrap().keys().cloned()),
                _ if value == json!(false) || value.is_null() => {}
                _ => names.push(name),
            }
        }
    }
    let methods = names.iter().flat_map(|name| {
        let mut known = METHODS.iter();
        let known = known.find(|(capability, _)| capability == name);
        known
            .unwrap_or_else(|| panic!("the session does not know of `{name}`"))
            .1
    });
    methods.copied().collect()
}

#[test]
fn a_day_with_findings_that_are_sent() {
    day("push");
}

#[test]
fn a_day_with_findings_that_are_asked_for() {
    day("pull");
}

fn day(findings: &str) {
    let settings = json!({"findings": findings});
    let panel = "panel main : T1 {\n    battery : sealed-12V-7Ah";
    let text = site(1).replace("panel main : T1 {", panel);
    let mut open = Open::with(&text, json!({"initializationOptions": settings}));
    open.client.settings = settings;
    let mut version = 1;
    read(&mut open, findings);
    look_around(&mut open);
    see(&mut open);
    mend(&mut open, findings, &mut version);
    write(&mut open, &mut version);
    rename(&mut open);
    keep_house(&mut open);
    let used = &open.client.used;
    let offered = offered(&open.client.capabilities);
    let mut unused = offered.clone();
    unused.retain(|method| !used.contains(*method));
    assert!(unused.is_empty(), "offered, and not used: {unused:?}");
    assert!(offered.len() > 35, "{offered:?}");
    // What the server asks of the client.
    let came = |method: &str| open.client.came.iter().any(|came| came["method"] == method);
    for method in [
        "workspace/configuration",
        "client/registerCapability",
        "window/workDoneProgress/create",
        "$/progress",
        "window/showDocument",
        "workspace/inlayHint/refresh",
        "workspace/codeLens/refresh",
    ] {
        assert!(came(method), "{method}");
    }
    let (sent, asked) = (
        came("textDocument/publishDiagnostics"),
        came("workspace/diagnostic/refresh"),
    );
    assert_eq!((sent, asked), (findings == "push", findings == "pull"));
    open.client.finish();
}

/// The codes of the findings of the open plan, as it is.
fn found(open: &mut Open, findings: &str, version: i64) -> Vec<String> {
    let uri = open.uri.clone();
    let all = match findings {
        "push" => open.client.findings_of(&uri, version),
        _ => open.ask("textDocument/diagnostic", json!({}))["items"].take(),
    };
    codes(&all).into_iter().map(String::from).collect()
}

/// The morning: what is wrong, in the plan and in all plans.
fn read(open: &mut Open, findings: &str) {
    assert!(found(open, findings, 1).contains(&"address-taken".to_string()));
    if findings == "pull" {
        let all = json!({"previousResultIds": []});
        let all = open.client.request("workspace/diagnostic", all);
        assert!(!all["items"].as_array().unwrap().is_empty(), "{all}");
    }
}

/// From a name to all that it has to do with.
fn look_around(open: &mut Open) {
    let model = open.at(": T");
    let declared = open
        .client
        .request("textDocument/definition", model.clone());
    assert_eq!(declared[0]["uri"], json!(open.folder.uri("catalog.bell")));
    assert_eq!(
        open.client.request("textDocument/declaration", model),
        declared
    );
    let device = open.at("keypad fro");
    let product = open
        .client
        .request("textDocument/typeDefinition", device.clone());
    assert_eq!(product[0]["uri"], declared[0]["uri"]);
    let mut everywhere = device.clone();
    everywhere["context"] = json!({"includeDeclaration": true});
    let places = open.client.request("textDocument/references", everywhere);
    let marked = open
        .client
        .request("textDocument/documentHighlight", device.clone());
    let together = open
        .client
        .request("textDocument/linkedEditingRange", device.clone());
    let count = |list: &Value| list.as_array().unwrap().len();
    assert_eq!([&places, &marked, &together["ranges"]].map(count), [2; 3]);
    let fed = open
        .client
        .request("textDocument/prepareCallHierarchy", device);
    let item = json!({"item": fed[0]});
    let feeding = open
        .client
        .request("callHierarchy/incomingCalls", item.clone());
    assert_eq!(feeding[0]["from"]["name"], "main.keys", "{feeding}");
    let next = open.client.request("callHierarchy/outgoingCalls", item);
    assert_eq!(next[0]["to"]["name"], "rear", "{next}");
    let outline = open.ask("textDocument/documentSymbol", json!({}));
    assert_eq!(outline[0]["name"], "quay", "{outline}");
    let anywhere = open
        .client
        .request("workspace/symbol", json!({"query": "T2"}));
    assert_eq!(
        anywhere[0]["location"]["uri"], declared[0]["uri"],
        "{anywhere}"
    );
    let links = open.ask("textDocument/documentLink", json!({}));
    assert_eq!(links[0]["target"], declared[0]["uri"], "{links}");
    let positions = json!({"positions": [open.behind("address")]});
    let grown = open.ask("textDocument/selectionRange", positions);
    assert!(grown[0]["parent"]["parent"].is_object(), "{grown}");
    open.ask("textDocument/foldingRange", json!({}));
}

/// Figures and meanings.
fn see(open: &mut Open) {
    let device = open.at("keypad re");
    let hover = open.client.request("textDocument/hover", device.clone());
    assert_eq!(hover["contents"]["kind"], "markdown");
    assert!(
        hover["contents"]["value"]
            .as_str()
            .unwrap()
            .contains("battery, alarm")
    );
    let standing = open.client.request("bellwire/standing", device);
    assert_eq!(
        (&standing["site"], &standing["device"]),
        (&json!("quay"), &json!("rear"))
    );
    assert_eq!(standing["location"]["uri"], json!(open.uri));
    let (volts, spare) = (
        standing["volts"].as_f64().unwrap(),
        standing["spare"].as_f64().unwrap(),
    );
    assert!(
        (volts - 10.2 - spare).abs() < 1e-9,
        "the keypad works from 10.2 V: {standing}"
    );
    assert_eq!(standing["works"], json!(spare >= 0.0));
    assert_eq!(standing["state"], "battery-alarm");
    let whole = json!({"range": {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}});
    let hints = open.ask("textDocument/inlayHint", whole.clone());
    assert!(
        labels(&hints).iter().any(|label| label.contains(" mA")),
        "{hints}"
    );
    let lenses = open.ask("textDocument/codeLens", json!({}));
    let worst = lenses.as_array().unwrap().iter().find(|lens| {
        let title = lens["command"]["title"].as_str().unwrap();
        title == standing["text"].as_str().unwrap()
    });
    // The lens and the status line say the same, and both lead to the device.
    let go = worst.unwrap_or_else(|| panic!("{lenses}"))["command"]["arguments"].clone();
    assert_eq!(go[0], standing["location"]);
    let follow = json!({"command": "bellwire.go", "arguments": go});
    open.client.ask("workspace/executeCommand", follow.clone());
    let shown = open
        .client
        .wait_for(|came| came["method"] == "window/showDocument");
    assert_eq!(shown["params"]["selection"], standing["location"]["range"]);
    // Its answer is empty; that it was followed is what counts.
    open.client.used.insert("workspace/executeCommand".into());
    let full = open.ask("textDocument/semanticTokens/full", json!({}));
    assert!(!full["data"].as_array().unwrap().is_empty());
    let part = open.ask("textDocument/semanticTokens/range", whole);
    assert_eq!(part["data"], full["data"]);
    let known = json!({"previousResultId": full["resultId"]});
    let same = open.ask("textDocument/semanticTokens/full/delta", known);
    assert_eq!(same["edits"], json!([]), "{same}");
}

/// Gives the document another text; the new version.
fn put(open: &mut Open, version: &mut i64, text: String) {
    *version += 1;
    open.client
        .change(&open.uri, *version, json!([{"text": text}]));
    open.text = text;
}

/// The edits of the open document in an edit of the workspace.
fn edits(edit: &Value) -> &Value {
    &edit["documentChanges"][0]["edits"]
}

/// What is wrong is mended: a finding by its fix, slips all at once.
fn mend(open: &mut Open, findings: &str, version: &mut i64) {
    let at = open.behind("\"Yard\" : T2, address ");
    let context = json!({"range": {"start": at, "end": at}, "context": {"diagnostics": []}});
    let fixes = open.ask("textDocument/codeAction", context);
    let text = edited(&open.text, edits(&fixes[0]["edit"]));
    assert!(text.contains("\"Yard\" : T2, address 2"), "{fixes}");
    put(open, version, text.replace("address 1", "adress 1"));
    assert!(found(open, findings, *version).contains(&"unknown-word".to_string()));
    let all = json!({
        "range": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}},
        "context": {"diagnostics": [], "only": ["source.fixAll"]},
    });
    let fixes = open.ask("textDocument/codeAction", all);
    assert_eq!(fixes[0]["kind"], "source.fixAll.bellwire", "{fixes}");
    assert_eq!(edited(&open.text, edits(&fixes[0]["edit"])), text);
    put(open, version, text);
    let left = found(open, findings, *version);
    assert!(!left.contains(&"address-taken".to_string()), "{left:?}");
    assert!(!left.contains(&"unknown-word".to_string()), "{left:?}");
}

/// A line is written, with what is offered, and laid out.
fn write(open: &mut Open, version: &mut i64) {
    let line = "      keypad yard : T2, address ";
    let text = open
        .text
        .replace("    }\n  }\n  run", &format!("{line}\n    }}\n  }}\n  run"));
    put(open, version, text);
    let list = open
        .client
        .request("textDocument/completion", open.at(line));
    assert_eq!(labels(&list)[0], "3");
    let words = open
        .client
        .request("textDocument/completion", open.at("keypad yard : T2, addr"));
    let item = words
        .as_array()
        .unwrap()
        .iter()
        .find(|item| item["label"] == "address");
    let full = open
        .client
        .request("completionItem/resolve", item.unwrap().clone());
    assert_eq!(full["documentation"]["kind"], "markdown");
    let text = open.text.replace(line, "   keypad yard : T2,  address 3");
    put(open, version, text);
    let options = json!({"tabSize": 2, "insertSpaces": true});
    let all = json!({"options": options});
    let edits = open.ask("textDocument/formatting", all);
    let laid_out = edited(&open.text, &edits);
    assert!(laid_out.contains("\n      keypad yard "), "{laid_out}");
    let at = open.behind("   keypad yard");
    let some = json!({"options": options, "range": {"start": at, "end": at}});
    let edits = open.ask("textDocument/rangeFormatting", some);
    assert!(
        edited(&open.text, &edits).contains("\n      keypad yard "),
        "{edits}"
    );
    put(open, version, laid_out);
    let broken = open.text.replace("  run a", "  joint j {\n}\n  run a");
    put(open, version, broken);
    let typed = json!({"position": open.behind("joint j {\n}"), "ch": "}", "options": options});
    let edits = open.ask("textDocument/onTypeFormatting", typed);
    assert!(
        edited(&open.text, &edits).contains("joint j {\n  }"),
        "{edits}"
    );
}

/// Another name for a device, and another place for a file.
fn rename(open: &mut Open) {
    let mut at = open.at("keypad fron");
    let name = open
        .client
        .request("textDocument/prepareRename", at.clone());
    assert_eq!(name["placeholder"], "front");
    at["newName"] = json!("porch");
    let edit = open.client.request("textDocument/rename", at);
    assert_eq!(edits(&edit).as_array().unwrap().len(), 2, "{edit}");
    let files = json!([{"oldUri": open.folder.uri("catalog.bell"), "newUri": open.folder.uri("makers/merrow.bell")}]);
    let edit = open
        .client
        .request("workspace/willRenameFiles", json!({"files": files}));
    let text = edited(&open.text, edits(&edit));
    assert!(text.contains("use \"../makers/merrow.bell\""), "{text}");
    // It comes, moves and goes.
    let client = &mut open.client;
    for (method, files) in [
        (
            "workspace/didCreateFiles",
            json!([{"uri": open.folder.uri("new.bell")}]),
        ),
        (
            "workspace/didRenameFiles",
            json!([{"oldUri": open.folder.uri("new.bell"), "newUri": open.folder.uri("old.bell")}]),
        ),
        (
            "workspace/didDeleteFiles",
            json!([{"uri": open.folder.uri("old.bell")}]),
        ),
    ] {
        client.notify(method, json!({"files": files}));
    }
}

/// Other settings, other folders; the plan is closed.
fn keep_house(open: &mut Open) {
    open.client.settings["lenses"] = json!(false);
    let changed = json!({"settings": null});
    open.client
        .notify("workspace/didChangeConfiguration", changed);
    open.client
        .wait_for(|came| came["method"] == "workspace/codeLens/refresh");
    let document = json!({"textDocument": {"uri": open.uri}});
    open.client
        .request_until("textDocument/codeLens", &document, |of| *of == json!([]));
    let more = Folder::new();
    more.write(
        "sites/quay.bell",
        &site(1).replace("site quay", "site mole"),
    );
    let this = json!([{"uri": uri(&more.root()), "name": "more"}]);
    let event = json!({"event": {"added": this, "removed": []}});
    open.client
        .notify("workspace/didChangeWorkspaceFolders", event);
    let mole = json!({"query": "mole"});
    open.client
        .request_until("workspace/symbol", &mole, |of| *of != json!([]));
    open.client.close(&open.uri.clone());
}
