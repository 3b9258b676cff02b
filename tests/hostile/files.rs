//! Files and folders that change under a running server into what no plan is.

#![cfg(unix)]

use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown, symlink};
use std::os::unix::process::CommandExt as _;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

use crate::client::{CHANGED, Client, DELETED};
use crate::plans::{Folder, codes, site};
use bellwire_tests::CATALOG;

/// Somebody with no rights, where the tests run as root.
const NOBODY: u32 = 65534;

const QUAY: &str = "sites/quay.bell";

fn changed(client: &mut Client, folder: &Folder, name: &str, kind: u32) {
    client.watched(&[(&folder.uri(name), kind)]);
}

fn says(findings: &Value, words: &str) -> bool {
    let mut findings = findings.as_array().expect("a list").iter();
    findings.any(|finding| {
        finding["message"]
            .as_str()
            .is_some_and(|of| of.contains(words))
    })
}

fn is_well(findings: &Value) -> bool {
    !codes(findings).contains(&"import-missing") && !says(findings, "cannot")
}

/// The catalog becomes something else each time; the site that uses it says what, and is well again
/// when the catalog is back.
#[test]
fn a_used_file_may_become_anything_and_come_back() {
    let folder = Folder::new();
    let catalog = folder.path("catalog.bell");
    let quay = folder.uri(QUAY);
    let mut client = Client::ready(&folder.root());
    let large = vec![b' '; (16 << 20) + 1];
    let become_something: &[(&str, &str, &dyn Fn())] = &[
        ("nothing", "there is no file", &|| ()),
        ("a folder", "folder", &|| fs::create_dir(&catalog).unwrap()),
        ("Latin-1", "not UTF-8 text, first in line 2", &|| {
            fs::write(&catalog, b"# one\n# caf\xe9\n").unwrap();
        }),
        ("UTF-16", "UTF-16", &|| {
            fs::write(&catalog, b"\xff\xfes\0").unwrap()
        }),
        ("too much", "larger than 16 MiB", &|| {
            fs::write(&catalog, &large).unwrap()
        }),
        ("a pipe", "pipe", &|| {
            let made = Command::new("mkfifo").arg(&catalog).status();
            assert!(made.unwrap().success());
        }),
        ("a link to itself", "cannot be read", &|| {
            symlink("catalog.bell", &catalog).unwrap();
        }),
        ("a link to nothing", "there is no file", &|| {
            symlink("nowhere", &catalog).unwrap();
        }),
        ("a link outside", "outside the workspace", &|| {
            symlink("/etc/hostname", &catalog).unwrap();
        }),
        ("a link to a device", "outside the workspace", &|| {
            symlink("/dev/zero", &catalog).unwrap();
        }),
    ];
    let clear = || {
        let data = fs::symlink_metadata(&catalog);
        match data.map(|data| data.is_dir()) {
            Ok(true) => fs::remove_dir(&catalog).unwrap(),
            Ok(false) => fs::remove_file(&catalog).unwrap(),
            Err(_) => {}
        }
    };
    for (what, words, become_it) in become_something {
        clear();
        become_it();
        changed(&mut client, &folder, "catalog.bell", CHANGED);
        println!("{what}");
        client.findings_until(&quay, |found| says(found, words));
        clear();
        folder.write("catalog.bell", CATALOG);
        changed(&mut client, &folder, "catalog.bell", CHANGED);
        client.findings_until(&quay, is_well);
    }
    client.finish();
}

#[test]
fn a_file_may_become_a_folder_of_plans_and_its_folder_a_file() {
    let folder = Folder::new();
    let quay = folder.uri(QUAY);
    let mut client = Client::ready(&folder.root());
    folder.write(QUAY, &site(1));
    changed(&mut client, &folder, QUAY, CHANGED);
    client.findings_until(&quay, |found| codes(found).contains(&"address-taken"));
    // The plan is a folder now, with a plan in it.
    folder.remove(QUAY);
    let inner = format!("{QUAY}/inner.bell");
    folder.write(&inner, &site(1).replace("../catalog", "../../catalog"));
    changed(&mut client, &folder, QUAY, CHANGED);
    changed(&mut client, &folder, &inner, CHANGED);
    client.findings_until(&quay, |found| *found == json!([]));
    client.findings_until(&folder.uri(&inner), |found| {
        codes(found).contains(&"address-taken")
    });
    // All of it goes, and a file stands where its folder was.
    fs::remove_dir_all(folder.path("sites")).unwrap();
    folder.write("sites", "nonsense");
    changed(&mut client, &folder, "sites", DELETED);
    client.findings_until(&folder.uri(&inner), |found| *found == json!([]));
    client.finish();
}

#[test]
fn folders_linked_in_circles_are_walked_once() {
    let folder = Folder::new();
    symlink("..", folder.path("sites/up")).unwrap();
    symlink("sites", folder.path("round")).unwrap();
    folder.write("a.bell", "use \"round/up/catalog.bell\"\nsite a {\n}\n");
    folder.write("b.bell", "use \"round/up/round/up/catalog.bell\"\n");
    let mut client = Client::ready(&folder.root());
    let found = client.findings_at_last(&folder.uri("a.bell"));
    // Read over the links, and needed by nobody.
    assert_eq!(codes(&found["diagnostics"]), ["unused"], "{found}");
    let found = client.findings_at_last(&folder.uri("b.bell"));
    assert!(says(&found["diagnostics"], "more than 2 links"), "{found}");
    let symbols = client.request("workspace/symbol", json!({"query": "quay"}));
    let symbols = symbols.as_array().unwrap();
    let quays = symbols
        .iter()
        .filter(|of| of["name"].as_str().unwrap().starts_with("quay"));
    assert_eq!(quays.count(), 1, "{symbols:?}");
    client.finish();
}

#[test]
fn the_whole_workspace_may_vanish() {
    let folder = Folder::new();
    let quay = folder.uri(QUAY);
    let gone = ["", "catalog.bell"].map(|name| folder.uri(name));
    let mut client = Client::ready(&folder.root());
    client.open(&quay, 1, &site(1));
    assert!(codes(&client.findings_of(&quay, 1)).contains(&"address-taken"));
    fs::remove_dir_all(folder.root()).unwrap();
    client.watched(&gone.each_ref().map(|uri| (uri.as_str(), DELETED)));
    // The open document is still there, and is told what is missing.
    client.findings_until(&quay, |found| codes(found).contains(&"import-missing"));
    client.change(&quay, 2, json!([{"text": site(3)}]));
    assert!(codes(&client.findings_of(&quay, 2)).contains(&"import-missing"));
    client.close(&quay);
    client.findings_until(&quay, |found| *found == json!([]));
    client.finish();
}

/// A server that may read what others let it, and nothing else: root may read everything.
fn powerless(folder: &Folder) -> Client {
    let root = folder.root();
    if fs::metadata(&root).unwrap().uid() != 0 {
        return Client::start(&root);
    }
    for path in ["", "sites", "catalog.bell", QUAY] {
        chown(folder.path(path), Some(NOBODY), Some(NOBODY)).unwrap();
    }
    // The program itself may lie where nobody else gets to.
    let program = folder.path("bellwire");
    fs::copy(env!("CARGO_BIN_EXE_bellwire"), &program).unwrap();
    let mut command = Command::new(program);
    command.uid(NOBODY).gid(NOBODY).stderr(Stdio::null());
    Client::by(command).introduced(&root, json!({}))
}

fn permit(folder: &Folder, name: &str, mode: u32) {
    fs::set_permissions(folder.path(name), Permissions::from_mode(mode)).unwrap();
}

#[test]
fn what_may_not_be_read_is_said_so_and_keeps_nothing_else_back() {
    let folder = Folder::new();
    let (quay, other) = (folder.uri(QUAY), folder.uri("other.bell"));
    folder.write("other.bell", "nonsense");
    folder.write("closed/a.bell", "nonsense");
    permit(&folder, "other.bell", 0o644);
    permit(&folder, "catalog.bell", 0);
    permit(&folder, "closed", 0);
    let mut client = powerless(&folder);
    // A folder that may not be entered hides its own plans alone.
    client.all_read();
    assert_ne!(client.findings_at_last(&other)["diagnostics"], json!([]));
    let found = client.findings_at_last(&quay);
    assert!(
        says(&found["diagnostics"], "you may not read this file"),
        "{found}"
    );
    permit(&folder, "catalog.bell", 0o644);
    changed(&mut client, &folder, "catalog.bell", CHANGED);
    client.findings_until(&quay, is_well);
    // And while the server runs.
    permit(&folder, "sites", 0);
    changed(&mut client, &folder, QUAY, CHANGED);
    client.request("workspace/symbol", json!({"query": "quay"}));
    permit(&folder, "sites", 0o755);
    folder.write(QUAY, &site(1));
    changed(&mut client, &folder, QUAY, CHANGED);
    client.findings_until(&quay, |found| codes(found).contains(&"address-taken"));
    permit(&folder, "closed", 0o755);
    client.finish();
}
