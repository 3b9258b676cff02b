//! Folders that go, come, and get other names, with what is open in them.

use bellwire_tests::CATALOG;
use bellwire_tests::wire::uri;
use serde_json::{Value, json};

use super::client::{CREATED, Client, DELETED};
use super::open::edited;
use super::plans::{Folder, codes, site};

/// The names of sites among symbols, in order.
fn sites(symbols: &Value) -> Vec<&str> {
    let found = symbols.as_array().unwrap().iter();
    let outermost = found.filter(|one| one.get("containerName").is_none());
    let names = outermost.map(|one| one["name"].as_str().unwrap());
    let mut names: Vec<_> = names.filter_map(|name| name.split(' ').next()).collect();
    names.sort_unstable();
    names
}

fn has(found: &Value, code: &str) -> bool {
    codes(found).contains(&code)
}

#[test]
fn a_folder_that_goes_takes_its_files_along_and_brings_them_back() {
    let folder = Folder::new();
    folder.write("sites/quay.bell", &site(1));
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::ready(&folder.root());
    client.findings_until(&quay, |found| has(found, "address-taken"));
    // Of the folder alone the client is told, as some do.
    let (sites, elsewhere) = (folder.path("sites"), folder.path("elsewhere"));
    std::fs::rename(&sites, &elsewhere).unwrap();
    client.watched(&[(&folder.uri("sites"), DELETED)]);
    client.findings_until(&quay, |found| *found == json!([]));
    assert_eq!(
        client.request("workspace/symbol", json!({"query": "quay"})),
        json!([])
    );
    client.watched(&[(&folder.uri("elsewhere"), CREATED)]);
    client.findings_until(&folder.uri("elsewhere/quay.bell"), |found| {
        has(found, "address-taken")
    });
    client.finish();
}

#[test]
fn folders_are_read_whether_or_not_the_client_gives_its_settings() {
    let folder = Folder::new();
    folder.write("sites/quay.bell", &site(1));
    let quay = folder.uri("sites/quay.bell");
    let mut client = Client::silent();
    client.answering = false;
    let mut client = client.introduced(&folder.root(), json!({}));
    let asks = |method: &'static str| move |message: &Value| message["method"] == method;
    let settings = client.wait_for(asks("workspace/configuration"));
    let watching = client.wait_for(asks("client/registerCapability"));
    let answer =
        |to: &Value, result: Value| json!({"jsonrpc": "2.0", "id": to["id"], "result": result});
    client.send(&answer(&watching, Value::Null));
    client.findings_until(&quay, |found| has(found, "address-taken"));
    // They count whenever they come.
    client.send(&answer(&settings, json!([{"lenses": false}])));
    client.wait_for(asks("workspace/inlayHint/refresh"));
}

/// Of what changes before the client watches nobody tells.
#[test]
fn folders_are_read_at_once_and_what_changes_before_they_are_watched_is_read_again() {
    let folder = Folder::new();
    let [quay, mole, pier] = ["quay", "mole", "pier"].map(|name| {
        let file = format!("sites/{name}.bell");
        let text = site(1).replace("site quay", &format!("site {name}"));
        (folder.uri(&file), file, text)
    });
    folder.write(&quay.1, &quay.2);
    folder.write(&mole.1, &mole.2);
    let mut client = Client::silent();
    client.answering = false;
    let mut client = client.introduced(&folder.root(), json!({}));
    client.findings_until(&quay.0, |found| has(found, "address-taken"));
    client.findings_until(&mole.0, |found| has(found, "address-taken"));
    folder.write(&quay.1, &site(2));
    folder.remove(&mole.1);
    folder.write(&pier.1, &pier.2);
    let watching = client.wait_for(|message| message["method"] == "client/registerCapability");
    client.send(&json!({"jsonrpc": "2.0", "id": watching["id"], "result": null}));
    client.findings_until(&quay.0, |found| *found == json!([]));
    client.findings_until(&mole.0, |found| *found == json!([]));
    client.findings_until(&pier.0, |found| has(found, "address-taken"));
}

#[test]
fn what_is_open_outlives_its_folder() {
    let folder = Folder::new();
    let (root, quay) = (folder.root(), folder.uri("sites/quay.bell"));
    let mut client = Client::ready(&root);
    client.open(&quay, 1, &site(1));
    client.findings_until(&quay, |found| has(found, "address-taken"));
    std::fs::remove_dir_all(&root).unwrap();
    client.watched(&[(&uri(&root), DELETED)]);
    client.findings_until(&quay, |found| has(found, "import-missing"));
    // It can be worked on.
    client.change(
        &quay,
        2,
        json!([{"text": site(2).replace("use ", "# use ")}]),
    );
    let found = client.findings_of(&quay, 2);
    assert!(!has(&found, "import-missing"), "{found}");
    let at = json!({"textDocument": {"uri": quay}, "position": {"line": 5, "character": 14}});
    assert!(
        client.request("textDocument/hover", at)["contents"].is_object(),
        "no hover"
    );
    client.change(&quay, 3, json!([{"text": site(2)}]));
    client.findings_until(&quay, |found| has(found, "import-missing"));
    // And the folder comes again.
    std::fs::create_dir(&root).unwrap();
    folder.write("catalog.bell", CATALOG);
    client.watched(&[(&uri(&root), CREATED)]);
    client.findings_until(&quay, |found| !has(found, "import-missing"));
    client.finish();
}

/// Some editors escape in a URI only what their own library would not read.
#[test]
fn folders_have_any_name_also_where_it_is_not_escaped() {
    let folder = Folder::empty();
    let (inner, plan) = ("a [1] 50% é|^", "a [1] 50% é|^/sites/quay.bell");
    folder.write(&format!("{inner}/catalog.bell"), CATALOG);
    folder.write(plan, &site(1));
    let mut client = Client::ready(&folder.path(inner));
    client.open(&folder.uri(plan), 1, &site(1));
    let escaped = "a%20%5B1%5D%2050%25%20%C3%A9%7C%5E/sites/quay.bell";
    let found = client.findings_of(&folder.uri(escaped), 1);
    assert!(has(&found, "address-taken") && !has(&found, "import-missing"));
    let outline = client.request(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": folder.uri(plan)}}),
    );
    assert!(!outline.is_null());
    client.finish();
}

#[test]
fn several_folders_come_and_go_at_once() {
    let folders: Vec<Folder> = (0..4).map(|_| Folder::new()).collect();
    let entry = |index: usize| json!({"uri": uri(&folders[index].root()), "name": format!("customer {index}")});
    for (index, folder) in folders.iter().enumerate() {
        let site = site(1).replace("site quay", &format!("site dock-{index}"));
        folder.write("sites/quay.bell", &site);
    }
    let both = json!({"workspaceFolders": [entry(0), entry(1)]});
    let mut client = Client::start_with(&folders[0].root(), both);
    client.all_read();
    let until = |client: &mut Client, wanted: &[&str]| {
        let docks = json!({"query": "dock-"});
        client.request_until("workspace/symbol", &docks, |found| sites(found) == wanted);
    };
    until(&mut client, &["dock-0", "dock-1"]);
    let gone = folders[0].uri("sites/quay.bell");
    client.findings_until(&gone, |found| has(found, "address-taken"));
    let change = |client: &mut Client, added: Value, removed: Value| {
        client.notify(
            "workspace/didChangeWorkspaceFolders",
            json!({"event": {"added": added, "removed": removed}}),
        );
    };
    change(&mut client, json!([entry(2), entry(3)]), json!([entry(0)]));
    until(&mut client, &["dock-1", "dock-2", "dock-3"]);
    client.findings_until(&gone, |found| *found == json!([]));
    change(
        &mut client,
        json!([entry(0)]),
        json!([entry(1), entry(2), entry(3)]),
    );
    until(&mut client, &["dock-0"]);
    client.findings_until(&gone, |found| has(found, "address-taken"));
    // A plan of one folder reaches into another only while both are there.
    let reaching = format!("use \"{}\"\n", folders[1].path("catalog.bell").display());
    let open = folders[0].uri("reaching.bell");
    client.open(&open, 1, &reaching);
    client.findings_until(&open, |found| has(found, "import-outside"));
    change(&mut client, json!([entry(1)]), json!([]));
    client.findings_until(&open, |found| !has(found, "import-outside"));
    change(&mut client, json!([]), json!([entry(1)]));
    client.findings_until(&open, |found| has(found, "import-outside"));
    client.finish();
}

#[test]
fn paths_follow_a_folder_that_gets_another_name() {
    let folder = Folder::empty();
    folder.write("makers/t.bell", CATALOG);
    let text = site(1).replace("../catalog.bell", "../makers/t.bell");
    folder.write("sites/quay.bell", &text);
    let mut client = Client::ready(&folder.root());
    let quay = folder.uri("sites/quay.bell");
    client.open(&quay, 1, &text);
    client.findings_until(&quay, |found| has(found, "address-taken"));

    let files =
        json!({"files": [{"oldUri": folder.uri("makers"), "newUri": folder.uri("catalogs")}]});
    let edit = client.request("workspace/willRenameFiles", files.clone());
    let changes = edit["documentChanges"].as_array().unwrap();
    assert_eq!(changes.len(), 1, "{edit}");
    let text = edited(&text, &changes[0]["edits"]);
    assert!(text.contains("use \"../catalogs/t.bell\""), "{text}");
    client.change(&quay, 2, json!([{"text": text}]));
    std::fs::rename(folder.path("makers"), folder.path("catalogs")).unwrap();
    client.notify("workspace/didRenameFiles", files);
    client.findings_until(&quay, |found| {
        has(found, "address-taken") && !has(found, "import-missing")
    });

    // The folder of what is open: its own paths stay right, and it is open under its new name.
    let files = json!({"files": [{"oldUri": folder.uri("sites"), "newUri": folder.uri("customers/tidewheel")}]});
    let edit = client.request("workspace/willRenameFiles", files.clone());
    let text = edited(&text, &edit["documentChanges"][0]["edits"]);
    assert!(text.contains("use \"../../catalogs/t.bell\""), "{text}");
    client.change(&quay, 3, json!([{"text": text}]));
    std::fs::create_dir(folder.path("customers")).unwrap();
    std::fs::rename(folder.path("sites"), folder.path("customers/tidewheel")).unwrap();
    client.close(&quay);
    let moved = folder.uri("customers/tidewheel/quay.bell");
    client.open(&moved, 1, &text);
    client.notify("workspace/didRenameFiles", files);
    client.findings_until(&moved, |found| {
        has(found, "address-taken") && !has(found, "import-missing")
    });
    client.findings_until(&quay, |found| *found == json!([]));
    client.finish();
}

#[test]
fn a_file_that_is_open_gets_another_name() {
    let folder = Folder::new();
    let (old, new) = (folder.uri("catalog.bell"), folder.uri("merrow.bell"));
    let quay = folder.uri("sites/quay.bell");
    folder.write("sites/quay.bell", &site(1));
    let mut client = Client::ready(&folder.root());
    client.open(&old, 1, &format!("{CATALOG}nonsense\n"));
    client.findings_until(&old, |found| *found != json!([]));
    client.open(&quay, 1, &site(1));
    client.findings_until(&quay, |found| has(found, "address-taken"));
    // It is moved outside of the editor, which opens it under the new name.
    std::fs::rename(folder.path("catalog.bell"), folder.path("merrow.bell")).unwrap();
    client.close(&old);
    client.open(&new, 1, CATALOG);
    client.watched(&[(&old, DELETED)]);
    client.watched(&[(&new, CREATED)]);
    client.findings_until(&quay, |found| has(found, "import-missing"));
    client.findings_until(&old, |found| *found == json!([]));
    client.change(
        &quay,
        2,
        json!([{"text": site(1).replace("catalog", "merrow")}]),
    );
    client.findings_until(&quay, |found| {
        has(found, "address-taken") && !has(found, "import-missing")
    });
    // What is looked at is where it is now.
    let at = json!({"textDocument": {"uri": quay}, "position": {"line": 3, "character": 16}});
    let place = client.request("textDocument/definition", at);
    assert!(place.to_string().contains("merrow.bell"), "{place}");
    client.finish();
}

/// The folder has one name, the file is opened by another.
#[cfg(unix)]
fn opened_over_a_link(folder_name: &str, opened_in: &str) {
    let folder = Folder::empty();
    folder.write("real/catalog.bell", CATALOG);
    folder.write("real/sites/quay.bell", &site(2));
    std::os::unix::fs::symlink(folder.path("real"), folder.path("link")).unwrap();
    let named = folder.uri(&format!("{folder_name}/sites/quay.bell"));
    let opened = folder.uri(&format!("{opened_in}/sites/quay.bell"));
    let mut client = Client::ready(&folder.path(folder_name));
    // One site, not two of one name, and what is wrong with it is told where it is open.
    client.open(&opened, 1, &site(2));
    assert_eq!(client.findings_of(&opened, 1), json!([]));
    client.change(&opened, 2, json!([{"text": site(1)}]));
    let found = client.findings_of(&opened, 2);
    assert!(
        has(&found, "address-taken") && !has(&found, "name-taken"),
        "{found}"
    );
    let symbols = client.request("workspace/symbol", json!({"query": "quay"}));
    assert_eq!(sites(&symbols), ["quay"]);
    // Closed, it is as it is on disk, and has its folder's name.
    folder.write("real/sites/quay.bell", &site(1));
    client.notify(
        "textDocument/didClose",
        json!({"textDocument": {"uri": opened}}),
    );
    client.findings_until(&opened, |found| *found == json!([]));
    client.findings_until(&named, |found| has(found, "address-taken"));
    client.finish();
}

#[cfg(unix)]
#[test]
fn a_file_that_is_open_under_two_names_has_the_text_that_was_edited_last() {
    let folder = Folder::empty();
    folder.write("real/catalog.bell", CATALOG);
    folder.write("real/sites/quay.bell", &site(2));
    std::os::unix::fs::symlink(folder.path("real"), folder.path("link")).unwrap();
    let [real, link] = ["real", "link"].map(|name| folder.uri(&format!("{name}/sites/quay.bell")));
    let mut client = Client::ready(&folder.path("real"));
    client.open(&real, 1, &site(2));
    assert_eq!(client.findings_of(&real, 1), json!([]));
    // A line more above all, so that edits count from elsewhere.
    client.open(&link, 1, &format!("\n{}", site(1)));
    assert!(has(&client.findings_of(&link, 1), "address-taken"));
    // Each edit is one of the text that the client has under that name.
    let at = |line: u32, to: u32| json!({"start": {"line": line, "character": 0}, "end": {"line": line, "character": to}});
    client.change(&real, 2, json!([{"range": at(0, 0), "text": "# Here.\n"}]));
    assert_eq!(client.findings_of(&real, 2), json!([]));
    client.change(&link, 2, json!([{"range": at(0, 0), "text": "# There."}]));
    assert!(has(&client.findings_of(&link, 2), "address-taken"));
    // Closed under one name, it goes on under the other.
    client.close(&link);
    client.findings_until(&real, |found| *found == json!([]));
    client.change(&real, 3, json!([{"text": site(1)}]));
    assert!(has(&client.findings_of(&real, 3), "address-taken"));
    client.close(&real);
    client.findings_until(&real, |found| *found == json!([]));
    client.finish();
}

#[cfg(unix)]
#[test]
fn a_file_of_a_linked_folder_is_one_under_its_real_name_too() {
    opened_over_a_link("link", "real");
}

#[cfg(unix)]
#[test]
fn a_file_of_a_folder_is_one_over_a_link_to_it_too() {
    opened_over_a_link("real", "link");
}

#[cfg(unix)]
#[test]
fn two_folders_that_are_one_over_a_link_have_each_file_once() {
    let folder = Folder::empty();
    folder.write("real/catalog.bell", CATALOG);
    folder.write("real/sites/quay.bell", &site(1));
    std::os::unix::fs::symlink(folder.path("real"), folder.path("link")).unwrap();
    let [real, link] = ["real", "link"].map(|name| json!({"uri": folder.uri(name), "name": name}));
    let both = json!({"workspaceFolders": [real, link]});
    let mut client = Client::start_with(&folder.root(), both);
    client.all_read();
    let quay = folder.uri("real/sites/quay.bell");
    let once = |client: &mut Client| {
        let symbols = client.request("workspace/symbol", json!({"query": "quay"}));
        assert_eq!(sites(&symbols), ["quay"]);
        client.findings_until(&quay, |found| {
            has(found, "address-taken") && !has(found, "name-taken")
        });
    };
    once(&mut client);
    // Of the one that is left it is still a file.
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": [], "removed": [real]}}),
    );
    once(&mut client);
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": [], "removed": [link]}}),
    );
    client.findings_until(&quay, |found| *found == json!([]));
    client.finish();
}

#[test]
fn each_reading_of_folders_has_a_progress_of_its_own() {
    let (folder, other) = (Folder::new(), Folder::new());
    let mut client = Client::start(&folder.root());
    let end = |client: &mut Client| {
        let is_end = |message: &Value| {
            message["method"] == "$/progress" && message["params"]["value"]["kind"] == "end"
        };
        client.wait_for(is_end)["params"]["token"].clone()
    };
    let first = end(&mut client);
    let added = json!([{"uri": uri(&other.root()), "name": "other"}]);
    client.notify(
        "workspace/didChangeWorkspaceFolders",
        json!({"event": {"added": added, "removed": []}}),
    );
    assert_ne!(end(&mut client), first);
    client.finish();
}
