//! Files that come, change and go outside the editor; closing; folders.

use bellwire_tests::CATALOG;
use bellwire_tests::wire::uri;
use serde_json::json;

use super::client::{CHANGED, CREATED, Client, DELETED};
use super::plans::{Folder, codes, site};

#[test]
fn the_folder_is_read_at_the_start_and_its_findings_sent() {
    let folder = Folder::new();
    folder.write("sites/quay.bell", &site(1));
    let mut client = Client::start(&folder.root());
    let found = client.findings(&folder.uri("sites/quay.bell"));
    assert!(
        codes(&found["diagnostics"]).contains(&"address-taken"),
        "{found}"
    );
    assert!(found.get("version").is_none_or(serde_json::Value::is_null));
    client.all_read();
    let watching = client
        .came
        .iter()
        .find(|message| message["method"] == "client/registerCapability");
    let registered = &watching.unwrap()["params"]["registrations"][0];
    assert_eq!(registered["method"], "workspace/didChangeWatchedFiles");
    // Plans that change, and whatever comes or goes: of a folder alone some clients tell.
    assert_eq!(
        registered["registerOptions"]["watchers"],
        json!([
            {"globPattern": "**/*.bell", "kind": 2},
            {"globPattern": "**", "kind": 1 | 4},
        ])
    );
    client.finish();
}

#[test]
fn changes_on_disk_are_noticed() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    folder.write("sites/quay.bell", &site(1));
    client.watched(&[(&quay, CHANGED)]);
    let found = client.findings(&quay);
    assert!(
        codes(&found["diagnostics"]).contains(&"address-taken"),
        "{found}"
    );
    // What it uses goes.
    folder.remove("catalog.bell");
    client.watched(&[(&folder.uri("catalog.bell"), DELETED)]);
    let found = client.findings(&quay);
    assert!(
        codes(&found["diagnostics"]).contains(&"import-missing"),
        "{found}"
    );
    // And comes back.
    folder.write("catalog.bell", CATALOG);
    client.watched(&[(&folder.uri("catalog.bell"), CREATED)]);
    let found = client.findings(&quay);
    assert!(
        !codes(&found["diagnostics"]).contains(&"import-missing"),
        "{found}"
    );
    // The file itself goes, and its findings with it.
    folder.remove("sites/quay.bell");
    client.watched(&[(&quay, DELETED)]);
    let found = client.findings(&quay);
    assert_eq!(found["diagnostics"], json!([]));
    client.finish();
}

#[test]
fn an_open_document_counts_before_the_disk_and_the_disk_again_when_it_is_closed() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&quay, 1, &site(1));
    assert!(codes(&client.findings_of(&quay, 1)).contains(&"address-taken"));
    // The disk says otherwise, but the document is open.
    folder.write("sites/quay.bell", &site(3));
    client.watched(&[(&quay, CHANGED)]);
    client.change(&quay, 2, json!([{"text": site(1)}]));
    assert!(codes(&client.findings_of(&quay, 2)).contains(&"address-taken"));
    client.close(&quay);
    let found = client.findings(&quay);
    assert!(
        !codes(&found["diagnostics"]).contains(&"address-taken"),
        "{found}"
    );
    client.finish();
}

#[test]
fn a_document_that_was_never_saved_leaves_nothing_behind() {
    let folder = Folder::new();
    let new = folder.uri("sites/new.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&new, 1, "nonsense");
    assert!(!codes(&client.findings_of(&new, 1)).is_empty());
    client.close(&new);
    assert_eq!(client.findings(&new)["diagnostics"], json!([]));
    client.finish();
}

#[test]
fn files_that_git_ignores_are_left_out_also_when_they_come_later() {
    let folder = Folder::new();
    folder.write(".gitignore", "drafts/\n");
    folder.write("drafts/a.bell", "nonsense");
    let mut client = Client::ready(&folder.root());
    folder.write("drafts/b.bell", "nonsense");
    folder.write("c.bell", "nonsense");
    let (hidden, shown) = (folder.uri("drafts/b.bell"), folder.uri("c.bell"));
    client.watched(&[(&hidden, CREATED), (&shown, CREATED)]);
    client.findings(&shown);
    let about = |message: &serde_json::Value| {
        message["params"]["uri"]
            .as_str()
            .unwrap_or("")
            .contains("drafts")
    };
    assert!(!client.came.iter().any(about));
    client.finish();
}

#[test]
fn folders_can_be_added_and_removed() {
    let (folder, more) = (Folder::new(), Folder::new());
    more.write(
        "sites/quay.bell",
        &site(1).replace("site quay", "site mole"),
    );
    let quay = more.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    let this = json!([{"uri": uri(&more.root()), "name": "more"}]);
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": this, "removed": []}}),
    );
    let found = client.findings(&quay);
    assert!(
        codes(&found["diagnostics"]).contains(&"address-taken"),
        "{found}"
    );
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": [], "removed": this}}),
    );
    client.findings_until(&quay, |found| *found == json!([]));
    client.finish();
}

/// What was opened by itself once may still be read; that makes it no part of the workspace.
#[test]
fn a_folder_that_is_taken_out_is_so_also_where_a_file_of_it_was_opened_before() {
    let (folder, more) = (Folder::new(), Folder::new());
    let text = site(1).replace("site quay", "site mole");
    more.write("sites/quay.bell", &text);
    let quay = more.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&quay, 1, &text);
    client.findings_of(&quay, 1);
    client.close(&quay);
    client.findings_until(&quay, |found| *found == json!([]));
    let this = json!([{"uri": uri(&more.root()), "name": "more"}]);
    for (added, removed) in [(this.clone(), json!([])), (json!([]), this)] {
        let is_there = removed == json!([]);
        client.notify(
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": added, "removed": removed}}),
        );
        client.findings_until(&quay, |found| (*found != json!([])) == is_there);
    }
    client.finish();
}

#[test]
fn what_is_open_outlives_the_folder_that_is_taken_out() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&quay, 1, &site(2));
    let this = json!([{"uri": uri(&folder.root()), "name": "plans"}]);
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": [], "removed": this}}),
    );
    client.findings_until(&quay, |found| codes(found).contains(&"import-outside"));
    // Its text is what it was, so that an edit finds its place.
    let start = json!({"line": 0, "character": 0});
    let end = json!({"line": 1, "character": 0});
    let line = json!([{"range": {"start": start, "end": end}, "text": CATALOG}]);
    client.change(&quay, 2, line);
    assert_eq!(client.findings_of(&quay, 2), json!([]));
    client.finish();
}

#[test]
fn folders_count_before_the_one_root_that_older_clients_have() {
    let (folder, other) = (Folder::new(), Folder::new());
    other.write("sites/quay.bell", &site(1));
    let params = json!({"rootUri": uri(&other.root())});
    let mut client = Client::start_with(&folder.root(), params);
    client.all_read();
    let found = client.request("workspace/symbol", json!({"query": "quay"}));
    assert_eq!(found[0]["location"]["uri"], folder.uri("sites/quay.bell"));
    client.finish();
}

#[test]
fn a_single_file_without_a_folder_has_its_findings_too() {
    let folder = Folder::new();
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::silent();
    client.request("initialize", json!({"capabilities": {}}));
    client.notify("initialized", json!({}));
    client.open(&quay, 1, &site(1));
    // Its folder may be read, the one above may not.
    let found = client.findings_of(&quay, 1);
    assert!(codes(&found).contains(&"import-outside"), "{found}");
    client.open("untitled:Untitled-2", 1, "use \"catalog.bell\"\n");
    let found = client.findings_of("untitled:Untitled-2", 1);
    assert!(found.to_string().contains("save the plan first"), "{found}");
    client.open("untitled:Untitled-1", 1, "nonsense");
    assert!(!codes(&client.findings_of("untitled:Untitled-1", 1)).is_empty());
    client.finish();
}

#[test]
fn a_plan_that_is_opened_outside_the_folders_lets_others_use_what_lies_beside_it() {
    let folder = Folder::empty();
    folder.write("lib/catalog.bell", CATALOG);
    folder.write("lib/notes.bell", "# Notes.\n");
    folder.write("in/a.bell", "use \"../lib/catalog.bell\"\n");
    let outside = |found: &serde_json::Value| codes(found).contains(&"import-outside");
    let mut client = Client::start(&folder.path("in"));
    client.findings_until(&folder.uri("in/a.bell"), outside);
    client.open(&folder.uri("lib/notes.bell"), 1, "# Notes.\n");
    client.findings_until(&folder.uri("in/a.bell"), |found| !outside(found));
    client.finish();
}

#[test]
fn a_plan_cannot_reach_outside_its_folders() {
    let folder = Folder::empty();
    folder.write("secret.bell", CATALOG);
    folder.write("in/a.bell", "use \"../secret.bell\"\n");
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(folder.path("secret.bell"), folder.path("in/link.bell"))
            .unwrap();
        folder.write("in/b.bell", "use \"link.bell\"\n");
    }
    let mut client = Client::start(&folder.path("in"));
    let found = client.findings(&folder.uri("in/a.bell"));
    assert!(
        codes(&found["diagnostics"]).contains(&"import-outside"),
        "{found}"
    );
    #[cfg(unix)]
    {
        let found = client.findings_at_last(&folder.uri("in/b.bell"));
        assert!(
            codes(&found["diagnostics"]).contains(&"import-outside"),
            "{found}"
        );
    }
    client.finish();
}

/// A quote ends the text of a `use`, and a line break its line.
#[cfg(unix)]
#[test]
fn a_file_that_no_use_can_name_is_offered_to_nobody() {
    let folder = Folder::empty();
    for name in ["zz\"1\".bell", "zz\n2.bell"] {
        folder.write(name, CATALOG);
    }
    let text = "site quay {\n  panel main : T1\n}\n";
    folder.write("quay.bell", text);
    let quay = folder.uri("quay.bell");
    let mut client = Client::ready(&folder.root());
    client.open(&quay, 1, text);
    assert!(codes(&client.findings_of(&quay, 1)).contains(&"unknown-name"));
    let at = |line: u32, character: u32| json!({"line": line, "character": character});
    let all = json!({
        "textDocument": {"uri": quay},
        "range": {"start": at(0, 0), "end": at(3, 0)},
        "context": {"diagnostics": []},
    });
    let model = json!({"textDocument": {"uri": quay}, "position": at(1, 17)});
    let actions = client.request("textDocument/codeAction", all);
    let models = client.request("textDocument/completion", model);
    client.change(&quay, 2, json!([{"text": format!("{text}use \"\"\n")}]));
    let path = json!({"textDocument": {"uri": quay}, "position": at(3, 5)});
    let paths = client.request("textDocument/completion", path);
    for offered in [actions, models, paths] {
        assert!(!offered.to_string().contains("zz"), "{offered}");
    }
    client.finish();
}
