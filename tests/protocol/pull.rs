//! Clients that ask for findings instead of being sent them.

use serde_json::json;

use super::client::{Client, introduction};
use super::plans::{Folder, codes, site};

#[test]
fn findings_are_given_when_asked_for_and_only_if_they_are_new() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::start_with(
        &folder.root(),
        json!({"initializationOptions": {"findings": "pull"}}),
    );
    client.settings = json!({"findings": "pull"});
    client.all_read();
    client.open(&quay, 1, &site(1));
    let document = json!({"uri": quay});
    let first = client.request("textDocument/diagnostic", json!({"textDocument": document}));
    assert_eq!(first["kind"], "full");
    assert!(codes(&first["items"]).contains(&"address-taken"), "{first}");
    let known = json!({"textDocument": document, "previousResultId": first["resultId"]});
    let again = client.request("textDocument/diagnostic", known.clone());
    assert_eq!(again["kind"], "unchanged");
    client.change(&quay, 2, json!([{"text": site(2)}]));
    let after = client.request("textDocument/diagnostic", known);
    assert_eq!(after["kind"], "full");
    assert!(
        !codes(&after["items"]).contains(&"address-taken"),
        "{after}"
    );
    let all = client.request(
        "workspace/diagnostic",
        json!({"previousResultIds": [{"uri": quay, "value": first["resultId"]}, {"uri": folder.uri("gone.bell"), "value": "x"}]}),
    );
    let of = |name: &str| {
        all["items"]
            .as_array()
            .unwrap()
            .iter()
            .find(|item| item["uri"] == json!(folder.uri(name)))
    };
    assert_eq!(of("sites/quay.bell").unwrap()["kind"], "full");
    assert_eq!(of("sites/quay.bell").unwrap()["version"], 2);
    assert_eq!(of("gone.bell").unwrap()["items"], json!([]));
    assert!(
        !client
            .came
            .iter()
            .any(|message| message["method"] == "textDocument/publishDiagnostics")
    );
    client.finish();
}

#[test]
fn who_cannot_be_told_to_ask_again_is_not() {
    let folder = Folder::new();
    let mut capabilities = introduction(&folder.root())["capabilities"].take();
    let _ = capabilities["workspace"]["diagnostics"].take();
    let pull = json!({"capabilities": capabilities, "initializationOptions": {"findings": "pull"}});
    let mut client = Client::start_with(&folder.root(), pull);
    client.all_read();
    client.open(&folder.uri("catalog.bell"), 1, "");
    // All that the edit of the catalog leads to goes out before.
    client.request("workspace/symbol", json!({"query": "a"}));
    let asks = |came: &serde_json::Value| came["method"] == "workspace/diagnostic/refresh";
    assert!(!client.came.iter().any(asks));
    client.finish();
}
