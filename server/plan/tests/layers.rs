//! The folders of the crate import one way, as the table in DEVELOPERS.md says.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "the test reads the sources on the disk, and fails by panicking"
)]

use std::fs::{read_dir, read_to_string};
use std::path::Path;

/// The folders, in the order of the table.
fn folders() -> Vec<String> {
    let page = read_to_string(root().join("../../DEVELOPERS.md")).unwrap();
    let rows = page
        .lines()
        .skip_while(|line| !line.starts_with("| folder |"));
    let rows = rows.skip(2).take_while(|line| line.starts_with('|'));
    rows.map(|row| row.split('`').nth(1).unwrap().to_string())
        .collect()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What the sources at a path import from the crate, each with the line that does. Tests may
/// look anywhere.
fn imports(at: &Path, found: &mut Vec<(String, String)>) {
    if at.is_dir() {
        if at.ends_with("tests") {
            return;
        }
        for entry in read_dir(at).unwrap() {
            imports(&entry.unwrap().path(), found);
        }
        return;
    }
    if at.extension().is_none_or(|extension| extension != "rs") {
        return;
    }
    let text = read_to_string(at).unwrap();
    for line in text.lines().filter(|line| !line.trim().starts_with("//")) {
        for rest in line.split("crate::").skip(1) {
            let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
            let name = rest.get(..end.unwrap_or(rest.len())).unwrap();
            found.push((name.to_string(), format!("{}: {line}", at.display())));
        }
    }
}

#[test]
fn the_table_of_folders_has_each() {
    let mut listed = folders();
    listed.sort();
    let all = read_dir(root().join("src"))
        .unwrap()
        .map(|entry| entry.unwrap());
    let mut all: Vec<String> = all
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    all.sort();
    assert_eq!(listed, all);
}

#[test]
fn a_folder_imports_only_from_those_above_it() {
    let folders = folders();
    for (index, folder) in folders.iter().enumerate() {
        let mut found = Vec::new();
        imports(&root().join("src").join(folder), &mut found);
        assert!(!found.is_empty(), "{folder} has sources");
        let below = folders.get(index + 1..).unwrap();
        for (name, line) in found {
            assert!(!below.contains(&name), "{folder} imports {name}\n{line}");
        }
    }
}

/// `day`, `decimal`, `sentence`, `table`: all may use them.
#[test]
fn a_file_beside_the_folders_imports_nothing() {
    let folders = folders();
    for entry in read_dir(root().join("src")).unwrap() {
        let path = entry.unwrap().path();
        let mut found = Vec::new();
        if path.is_file() {
            imports(&path, &mut found);
        }
        for (name, line) in found {
            assert!(!folders.contains(&name), "{line}");
        }
    }
}
