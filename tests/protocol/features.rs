//! What an editor shows, over the wire: that each request is answered, in places
//! that fit the text. What is answered is tested where it is made.

use bellwire_tests::CATALOG;
use bellwire_tests::wire::uri;
use serde_json::{Value, json};

use super::client::{Client, introduction};
use super::open::{Open, edited, labels};
use super::plans::{Folder, codes, site};

#[test]
fn hover_and_completion_know_the_place() {
    let mut open = Open::new(&site(2).replace("T2, address 2", "T2, address "));
    let hover = open
        .client
        .request("textDocument/hover", open.at("keypad fro"));
    assert!(
        hover["contents"]["value"]
            .as_str()
            .unwrap()
            .contains("Door"),
        "{hover}"
    );
    let list = open.client.request(
        "textDocument/completion",
        open.at("rear  \"Yard\" : T2, address "),
    );
    let found = labels(&list);
    assert!(found.contains(&"2") && !found.contains(&"1"), "{found:?}");
    let words = open
        .client
        .request("textDocument/completion", open.at("T2, address"));
    let mut items = words.as_array().unwrap().iter();
    let item = items.find(|item| item["label"] == "address").unwrap();
    let full = open.client.request("completionItem/resolve", item.clone());
    let meaning = full["documentation"]["value"].as_str().unwrap();
    assert!(meaning.contains("address"), "{meaning}");
    open.client.finish();
}

#[test]
fn names_lead_to_their_declarations_also_into_the_library() {
    let mut open = Open::new(&site(2));
    let model = open
        .client
        .request("textDocument/definition", open.at(": T"));
    assert_eq!(model[0]["uri"], json!(open.folder.uri("catalog.bell")));
    let cable = open
        .client
        .request("textDocument/definition", open.at("run a : copper"));
    let target = cable[0]["uri"].as_str().unwrap().to_string();
    let path = target.strip_prefix("file://").unwrap();
    let text = std::fs::read_to_string(path).unwrap();
    let line = cable[0]["range"]["start"]["line"].as_u64().unwrap() as usize;
    assert!(text.lines().nth(line).unwrap().contains("copper-4x22AWG"));
    assert!(std::fs::metadata(path).unwrap().permissions().readonly());
    // An editor opens it, and asks about it as about any file.
    open.client.open(&target, 1, &text);
    let at = json!({"textDocument": {"uri": target}, "position": cable[0]["range"]["start"]});
    let hover = open.client.request("textDocument/hover", at.clone());
    assert!(!hover.is_null());
    let references = json!({"textDocument": at["textDocument"], "position": at["position"], "context": {"includeDeclaration": false}});
    let users = open.client.request("textDocument/references", references);
    let users: Vec<_> = users
        .as_array()
        .unwrap()
        .iter()
        .map(|place| place["uri"].clone())
        .collect();
    assert!(users.contains(&json!(open.uri)), "{users:?}");
    open.client.close(&target);
    open.client.finish();
}

#[test]
fn a_name_is_changed_everywhere_or_refused_with_a_reason() {
    let mut open = Open::new(&site(2));
    let name = open
        .client
        .request("textDocument/prepareRename", open.at("keypad fron"));
    assert_eq!(name["placeholder"], "front");
    let mut params = open.at("keypad fron");
    params["newName"] = json!("porch");
    let edit = open.client.request("textDocument/rename", params.clone());
    let document = &edit["documentChanges"][0];
    assert_eq!(
        document["textDocument"],
        json!({"uri": open.uri, "version": 1})
    );
    let after = edited(&open.text, &document["edits"]);
    assert_eq!(after, open.text.replace("front", "porch"));
    params["newName"] = json!("not a name");
    let id = open.client.ask("textDocument/rename", params);
    let answer = open.client.answer(id);
    assert_eq!(answer["error"]["code"], -32803, "{answer}");
    open.client.finish();
}

#[test]
fn a_finding_comes_with_a_change_that_mends_it() {
    let mut open = Open::new(&site(1));
    let uri = open.uri.clone();
    let found = open.client.findings_of(&uri, 1);
    let taken = found
        .as_array()
        .unwrap()
        .iter()
        .rfind(|finding| finding["code"] == "address-taken");
    let finding = taken.unwrap();
    let page = finding["codeDescription"]["href"].as_str().unwrap();
    let page = std::fs::read_to_string(page.strip_prefix("file://").unwrap()).unwrap();
    assert!(page.starts_with("# address-taken"));
    let params = json!({"range": finding["range"], "context": {"diagnostics": found}});
    let actions = open.ask("textDocument/codeAction", params.clone());
    let action = &actions[0];
    assert_eq!(action["kind"], "quickfix", "{actions}");
    assert_eq!(action["diagnostics"], json!([finding]));
    let after = edited(&open.text, &action["edit"]["documentChanges"][0]["edits"]);
    open.client.change(&uri, 2, json!([{"text": after}]));
    let found = open.client.findings_of(&uri, 2);
    assert!(!codes(&found).contains(&"address-taken"), "{found}");
    let mut others = params;
    others["context"]["only"] = json!(["source.organizeImports"]);
    assert_eq!(open.ask("textDocument/codeAction", others), json!([]));
    open.client.finish();
}

#[test]
fn to_correct_all_slips_is_offered_at_one_and_to_who_asks_for_it() {
    let mut open = Open::new(&site(2).replace("T2, address 2", "T2, adress 2"));
    let (away, slip) = (open.behind("use"), open.behind("T2, adr"));
    let mut kinds = |at: &Value, context: Value| {
        let params = json!({"range": {"start": at, "end": at}, "context": context});
        let actions = open.ask("textDocument/codeAction", params);
        let actions = actions.as_array().unwrap().iter();
        let kinds = actions.map(|action| action["kind"].as_str().unwrap().to_string());
        kinds.collect::<Vec<_>>()
    };
    let any = json!({"diagnostics": []});
    let asked = json!({"diagnostics": [], "only": ["source.fixAll"]});
    assert_eq!(kinds(&away, any.clone()), [""; 0]);
    assert_eq!(kinds(&slip, any), ["quickfix", "source.fixAll.bellwire"]);
    assert_eq!(kinds(&away, asked), ["source.fixAll.bellwire"]);
    open.client.finish();
}

#[test]
fn a_plan_that_was_never_saved_is_given_a_use_that_leads_to_the_file() {
    let folder = Folder::new();
    let mut client = Client::ready(&folder.root());
    let (uri, text) = ("untitled:Untitled-1", "site new {\n  panel main : T1\n}\n");
    client.open(uri, 1, text);
    assert_eq!(codes(&client.findings_of(uri, 1)), ["unknown-name"]);
    let at = json!({"line": 1, "character": 16});
    let params = json!({"textDocument": {"uri": uri}, "range": {"start": at, "end": at}, "context": {"diagnostics": []}});
    let actions = client.request("textDocument/codeAction", params);
    let added = &actions[0]["edit"]["documentChanges"][0]["edits"];
    client.change(uri, 2, json!([{"text": edited(text, added)}]));
    assert_eq!(client.findings_of(uri, 2), json!([]), "{actions}");
    client.finish();
}

/// The protocol lets such a client be answered with commands alone.
#[test]
fn a_client_that_knows_only_commands_is_offered_no_changes() {
    let folder = Folder::new();
    let mut capabilities = introduction(&folder.root())["capabilities"].take();
    let _ = capabilities["textDocument"]["codeAction"].take();
    let mut client = Client::start_with(&folder.root(), json!({"capabilities": capabilities}));
    assert_eq!(client.capabilities.get("codeActionProvider"), None);
    let quay = folder.uri("sites/quay.bell");
    client.open(&quay, 1, &site(1));
    let found = client.findings_of(&quay, 1);
    let range = &found[0]["range"];
    let params =
        json!({"textDocument": {"uri": quay}, "range": range, "context": {"diagnostics": []}});
    assert_eq!(client.request("textDocument/codeAction", params), json!([]));
    client.finish();
}

#[test]
fn something_is_offered_behind_each_character_that_asks_for_it() {
    let text = site(2).replace("T2, address 2", "T2, address ").replace(
        "  run a",
        "  keypad k : \n  run b : copper-4x22AWG { main.aux + }\n  run a",
    );
    let mut open = Open::new(&text);
    let provider = &open.client.capabilities["completionProvider"];
    let mut asking = provider["triggerCharacters"].clone();
    let mut characters = Vec::new();
    for (before, offered) in [
        ("\"Yard\" : T2, address ", "2"),
        ("b : copper-4x22AWG { main.", "aux"),
        ("keypad k :", "T2"),
        ("use \"", "../catalog.bell"),
        ("use \"../", "../catalog.bell"),
        ("main.aux +", "main.keys"),
    ] {
        let list = open
            .client
            .request("textDocument/completion", open.at(before));
        let found = labels(&list);
        assert!(found.contains(&offered), "{before}: {found:?}");
        characters.push(json!(before.chars().next_back().unwrap().to_string()));
    }
    let order = |list: &mut Vec<Value>| list.sort_by_key(Value::to_string);
    order(asking.as_array_mut().unwrap());
    order(&mut characters);
    assert_eq!(asking, json!(characters));
    open.client.finish();
}

#[test]
fn what_is_offered_and_folded_is_of_the_kind_that_it_is() {
    let text = format!(
        "# Two\n# lines.\nuse \"a.bell\"\n{}",
        site(2).replace("T2, address 2", "T2, address ")
    );
    let mut open = Open::new(&text);
    let (number, word, model, file) = (12, 14, 7, 17);
    for (before, label, kind) in [
        ("rear  \"Yard\" : T2, address ", "2", number),
        ("rear  \"Yard\" : T2, addr", "address", word),
        ("rear  \"Yard\" : ", "T2", model),
        ("a.bell\"\nuse \"", "../catalog.bell", file),
    ] {
        let list = open
            .client
            .request("textDocument/completion", open.at(before));
        let mut items = list.as_array().unwrap().iter();
        let item = items.find(|item| item["label"] == label);
        let item = item.unwrap_or_else(|| panic!("no {label} in {list}"));
        assert_eq!(item["kind"], kind, "{item}");
        // What has a place to fill in is a snippet.
        let new = item["textEdit"]["newText"].as_str().unwrap();
        let is_snippet = item["insertTextFormat"] == 2;
        assert_eq!(is_snippet, new.contains("${1"), "{item}");
        assert_eq!(is_snippet, kind == word, "{item}");
    }
    let folds = open.ask("textDocument/foldingRange", json!({}));
    let folds = folds.as_array().unwrap().iter();
    let folds: Vec<_> = folds
        .map(|fold| (fold["startLine"].as_u64(), fold["kind"].as_str()))
        .collect();
    for fold in [
        (Some(0), Some("comment")),
        (Some(2), Some("imports")),
        (Some(5), None),
    ] {
        assert!(folds.contains(&fold), "{fold:?} in {folds:?}");
    }
    open.client.finish();
}

#[test]
fn a_finding_says_how_much_it_weighs_and_whether_anybody_needs_what_it_is_about() {
    let text = format!("use \"quay.bell\"\n{}", site(1));
    let mut open = Open::new(&text);
    let uri = open.uri.clone();
    let found = open.client.findings_of(&uri, 1);
    let weight = |code: &str| {
        let mut all = found.as_array().unwrap().iter();
        let one = all.find(|of| of["code"] == code);
        let one = one.unwrap_or_else(|| panic!("no {code} in {found}"));
        (one["severity"].clone(), one["tags"].clone())
    };
    assert_eq!(weight("address-taken"), (json!(1), Value::Null));
    assert_eq!(weight("import-cycle"), (json!(2), Value::Null));
    assert_eq!(weight("unused"), (json!(3), json!([1])));
    open.client.finish();
}

#[test]
fn figures_stand_in_the_text_and_can_be_turned_off() {
    let mut open = Open::new(&site(2));
    let whole = json!({"range": {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}});
    let hints = open.ask("textDocument/inlayHint", whole.clone());
    let volts = |hints: &Value| {
        labels(hints)
            .iter()
            .filter(|label| label.contains(" V"))
            .count()
    };
    assert!(volts(&hints) >= 2, "{hints}");
    let lenses = open.ask("textDocument/codeLens", json!({}));
    assert!(!lenses.as_array().unwrap().is_empty());
    // Following a lens shows the place that it speaks of.
    let command = &lenses[0]["command"];
    assert_eq!(command["command"], "bellwire.go");
    open.client.request(
        "workspace/executeCommand",
        json!({"command": "bellwire.go", "arguments": command["arguments"]}),
    );
    let shown = open
        .client
        .wait_for(|message| message["method"] == "window/showDocument");
    assert_eq!(shown["params"]["uri"], json!(open.uri));
    let id = open.client.ask(
        "workspace/executeCommand",
        json!({"command": "bellwire.nothing"}),
    );
    assert_eq!(open.client.answer(id)["error"]["code"], -32602);

    open.client.settings =
        json!({"hints": {"devices": false, "legs": false, "zones": false}, "lenses": false});
    open.client.notify(
        "workspace/didChangeConfiguration",
        json!({"settings": null}),
    );
    open.client
        .wait_for(|message| message["method"] == "workspace/inlayHint/refresh");
    let mut all = whole;
    all["textDocument"] = json!({"uri": open.uri});
    open.client
        .request_until("textDocument/inlayHint", &all, |hints| *hints == json!([]));
    assert_eq!(open.ask("textDocument/codeLens", json!({})), json!([]));
    open.client.finish();
}

/// The example in the editors' page is of the demo.
#[test]
fn a_status_line_is_told_what_the_editors_page_says() {
    let page = include_str!("../../editors/README.md");
    let (_, example) = page.split_once("```json\n").unwrap();
    let (example, _) = example.split_once("```").unwrap();
    let mut example: Value = serde_json::from_str(example).unwrap();
    let folder = Folder::empty();
    let harbour = include_str!("../plans/sites/harbour.bell");
    folder.write("sites/harbour.bell", harbour);
    let catalog = include_str!("../plans/catalog/merrow.bell");
    folder.write("catalog/merrow.bell", catalog);
    let mut client = Client::ready(&folder.root());
    let uri = folder.uri("sites/harbour.bell");
    client.open(&uri, 1, harbour);
    let mut ask = |line: u32| {
        let at = json!({"textDocument": {"uri": uri}, "position": {"line": line, "character": 0}});
        client.request("bellwire/standing", at)
    };
    let mut standing = ask(12);
    assert_eq!(ask(0), standing, "between sites it is that of the file");
    for number in ["volts", "spare"] {
        let rounded = format!("{:.2}", standing[number].as_f64().unwrap());
        standing[number] = json!(rounded.parse::<f64>().unwrap());
    }
    example["location"]["uri"] = json!(uri);
    assert_eq!(standing, example);
    let catalog = json!({"uri": folder.uri("catalog/merrow.bell")});
    let at = json!({"textDocument": catalog, "position": {"line": 0, "character": 0}});
    assert_eq!(client.request("bellwire/standing", at), Value::Null);
    client.finish();
}

#[test]
fn formatting_gives_the_text_that_the_command_gives() {
    let ragged = site(2).replace("    bus keys {", "  bus    keys {");
    let mut open = Open::new(&ragged);
    let options = json!({"options": {"tabSize": 2, "insertSpaces": true}});
    let edits = open.ask("textDocument/formatting", options.clone());
    let after = edited(&ragged, &edits);
    assert_ne!(after, ragged);
    open.folder.write("sites/quay.bell", &ragged);
    let ran = std::process::Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .args(["format", "sites/quay.bell"])
        .current_dir(open.folder.root())
        .output()
        .unwrap();
    assert!(ran.status.success(), "{ran:?}");
    assert_eq!(
        std::fs::read_to_string(open.folder.path("sites/quay.bell")).unwrap(),
        after
    );
    let uri = open.uri.clone();
    open.client.change(&uri, 2, json!([{"text": after}]));
    assert_eq!(open.ask("textDocument/formatting", options), json!([]));
    open.client.finish();
}

#[test]
fn a_client_that_can_do_little_is_given_little() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::silent();
    let introduction = client.request(
        "initialize",
        json!({"rootUri": uri(&folder.root()), "capabilities": {}}),
    );
    let offered = &introduction["capabilities"];
    assert_eq!(offered["renameProvider"], json!(true), "{offered}");
    client.notify("initialized", json!({}));
    client.open(&quay, 1, &site(1));
    let found = client.findings_of(&quay, 1);
    assert!(codes(&found).contains(&"address-taken"), "{found}");
    assert!(found[0].get("codeDescription").is_none());
    let document = json!({"uri": quay});
    let hover = client.request(
        "textDocument/hover",
        json!({"textDocument": document, "position": {"line": 5, "character": 14}}),
    );
    assert_eq!(hover["contents"]["kind"], "plaintext");
    let text = hover["contents"]["value"].as_str().unwrap();
    assert!(text.contains("front Door 🔔\nkeypad T2"), "{text}");
    assert!(!text.contains(['*', '`', '|', '\\']), "{text}");
    let list = client.request(
        "textDocument/completion",
        json!({"textDocument": document, "position": {"line": 5, "character": 6}}),
    );
    assert!(
        list.as_array()
            .unwrap()
            .iter()
            .all(|item| item.get("insertTextFormat").is_none())
    );
    let full = client.request("completionItem/resolve", list[0].clone());
    assert_eq!(full["documentation"]["kind"], "plaintext");
    let rename = json!({"textDocument": document, "position": {"line": 5, "character": 14}, "newName": "porch"});
    let edit = client.request("textDocument/rename", rename);
    assert!(edit["changes"][&quay].is_array(), "{edit}");
    let outline = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": document}),
    );
    let flat = outline.as_array().unwrap().iter();
    let flat: Vec<_> = flat
        .filter(|symbol| symbol["location"]["uri"] == quay)
        .map(|symbol| (symbol["name"].as_str(), symbol["containerName"].as_str()))
        .collect();
    assert!(flat.contains(&(Some("front"), Some("keys"))), "{outline}");
    // It cannot be taken to a place, so the figures above a panel are mere text.
    let lenses = client.request("textDocument/codeLens", json!({"textDocument": document}));
    let commands = lenses.as_array().unwrap().iter();
    let mut commands = commands.map(|lens| &lens["command"]["command"]);
    assert!(commands.all(|command| command == ""), "{lenses}");
    assert_ne!(lenses, json!([]));
    // Nor is it asked for anything, not even to look again when another file changes what it shows.
    client.open(&folder.uri("catalog.bell"), 1, &CATALOG.replace("45", "46"));
    client.findings(&quay);
    client.request("workspace/symbol", json!({"query": "a"}));
    let asked = client.came.iter().filter(|came| came.get("id").is_some());
    assert_eq!(asked.collect::<Vec<_>>(), [&json!(null); 0]);
    client.finish();
}
