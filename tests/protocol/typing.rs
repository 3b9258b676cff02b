//! Findings while somebody types.

use serde_json::json;

use super::client::Client;
use super::plans::{Folder, codes, site};
use bellwire_tests::CATALOG;

#[test]
fn findings_come_for_every_version_that_the_client_waits_for() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::start(&folder.root());
    let text = site(2);
    client.open(&uri, 1, &text);
    let before = client.findings_of(&uri, 1);
    assert!(!codes(&before).contains(&"address-taken"), "{before}");
    let line = text.lines().position(|line| line.contains("rear")).unwrap();
    let column = text.lines().nth(line).unwrap().chars().count();
    // The last digit of the address goes, and comes back as another one.
    let digit = json!({"start": {"line": line, "character": column - 1}, "end": {"line": line, "character": column}});
    let gap = json!({"start": {"line": line, "character": column - 1}, "end": {"line": line, "character": column - 1}});
    let mut version = 1;
    for (typed, taken) in [("1", true), ("3", false), ("1", true), ("4", false)] {
        version += 1;
        client.change(&uri, version, json!([{"range": digit, "text": ""}]));
        let found = client.findings_of(&uri, version);
        assert!(!codes(&found).contains(&"address-taken"), "{found}");
        version += 1;
        client.change(&uri, version, json!([{"range": gap, "text": typed}]));
        let found = client.findings_of(&uri, version);
        assert_eq!(codes(&found).contains(&"address-taken"), taken, "{found}");
        if taken {
            let finding = found
                .as_array()
                .unwrap()
                .iter()
                .find(|finding| finding["code"] == "address-taken");
            let finding = finding.unwrap();
            assert_eq!(finding["severity"], 1);
            assert_eq!(finding["source"], "bellwire");
            let other = &finding["relatedInformation"][0]["location"];
            assert_eq!(other["uri"], json!(uri));
            assert_ne!(other["range"], finding["range"]);
        }
    }
    client.finish();
}

#[test]
fn several_changes_in_one_message_apply_one_after_the_other() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::start(&folder.root());
    client.open(&uri, 1, "");
    client.change(
        &uri,
        2,
        json!([
            {"range": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}}, "text": "site a\nsite b\n"},
            {"range": {"start": {"line": 0, "character": 5}, "end": {"line": 1, "character": 6}}, "text": "c"},
            {"range": {"start": {"line": 0, "character": 6}, "end": {"line": 0, "character": 6}}, "text": "d \"🔔\""},
        ]),
    );
    let outline = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": uri}}),
    );
    assert_eq!(outline.as_array().unwrap().len(), 1, "{outline}");
    assert_eq!(outline[0]["name"], "cd");
    client.change(&uri, 3, json!([{"text": "site e"}]));
    let outline = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": uri}}),
    );
    assert_eq!(outline[0]["name"], "e");
    client.finish();
}

#[test]
fn an_edit_of_the_catalog_reaches_the_sites_that_use_it() {
    let folder = Folder::new();
    let (catalog, quay) = (folder.uri("catalog.bell"), folder.uri("sites/quay.bell"));
    let mut client = Client::ready(&folder.root());
    client.open(&catalog, 1, CATALOG);
    client.change(
        &catalog,
        2,
        json!([{"text": CATALOG.replace("keypad 1 .. 8", "keypad 1 .. 1")}]),
    );
    let found = client.findings(&quay);
    assert!(
        codes(&found["diagnostics"]).contains(&"address-out-of-range"),
        "{found}"
    );
    client.change(&catalog, 3, json!([{"text": CATALOG}]));
    let found = client.findings(&quay);
    assert!(
        !codes(&found["diagnostics"]).contains(&"address-out-of-range"),
        "{found}"
    );
    client.finish();
}

/// As an editor may that sends each edit from a task of its own.
#[test]
fn edits_that_overtook_each_other_on_the_way_are_made_in_the_order_of_their_versions() {
    let folder = Folder::new();
    let uri = folder.uri("sites/quay.bell");
    let mut client = Client::start(&folder.root());
    let typed = |column: u32, text: &str| {
        let at = json!({"line": 0, "character": column});
        json!([{"range": {"start": at, "end": at}, "text": text}])
    };
    client.open(&uri, 1, "site \n");
    // Version 5 is one that the editor made and took back without a word.
    client.change(&uri, 6, typed(8, "d"));
    client.change(&uri, 4, typed(7, "c"));
    client.change(&uri, 3, typed(6, "b"));
    client.change(&uri, 2, typed(5, "a"));
    client.change(&uri, 7, typed(9, "e"));
    let outline = json!({"textDocument": {"uri": uri}});
    let found = client.request("textDocument/documentSymbol", outline.clone());
    assert_eq!(found[0]["name"], "abcde");
    // A version that was there is made again as it comes.
    client.change(&uri, 3, typed(5, "x"));
    let found = client.request("textDocument/documentSymbol", outline);
    assert_eq!(found[0]["name"], "xabcde");
    client.finish();
}
