//! What the program is built from: every crate comes from where it is said to, under a licence
//! that we may pass on, for a reason, and nothing is known against it.
//!
//! After a change of dependencies, `tests/advisories/take` and
//! `UPDATE_EXPECT=1 cargo test -p bellwire-tests --test supply`, which writes
//! `server/bellwire/LICENCES.md`.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use expect_test::expect_file;
use rustsec::advisory::Informational;
use rustsec::report::{Settings, find_warnings};
use rustsec::{Database, Lockfile};
use serde_json::Value;

/// SPDX names of licences that let anybody use, change and pass on, also with
/// works under other terms. Of a choice between several, one of these is enough.
const ALLOWED: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

fn metadata() -> Value {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{error}");
    serde_json::from_slice(&output.stdout).unwrap()
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_default()
}

fn all<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

/// Whether an SPDX expression can be met by allowed licences alone. Brackets
/// stand around a choice at most, as everywhere on crates.io.
fn is_allowed(expression: &str) -> bool {
    let flat = expression.replace('/', " OR ");
    let chosen = |choice: &str| {
        let one = choice.trim().trim_start_matches('(').trim_end_matches(')');
        // An exception only adds to what is permitted.
        let one = one.split(" WITH ").next().unwrap_or(one);
        one.split(" AND ").all(|name| {
            let name = name.trim().trim_start_matches('(').trim_end_matches(')');
            ALLOWED.contains(&name)
        })
    };
    let of_all = |part: &str| part.split(" OR ").any(chosen);
    // `(A OR B) AND C` asks for one of the first and for the second.
    match flat.split_once(") AND ") {
        Some((first, second)) => of_all(first) && of_all(second),
        None => of_all(&flat),
    }
}

#[test]
fn choices_and_sums_of_licences_are_told_apart() {
    for yes in [
        "MIT",
        "MIT/Apache-2.0",
        "MIT OR GPL-3.0-only",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "Apache-2.0 WITH LLVM-exception",
    ] {
        assert!(is_allowed(yes), "{yes}");
    }
    for no in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR Apache-2.0) AND GPL-3.0-only",
        "MPL-2.0",
    ] {
        assert!(!is_allowed(no), "{no}");
    }
}

#[test]
fn every_crate_may_be_passed_on_and_is_listed() {
    let metadata = metadata();
    let packages: BTreeMap<&str, &Value> = all(&metadata, "packages")
        .iter()
        .map(|package| (text(package, "id"), package))
        .collect();
    assert!(packages.len() > 50, "the list of crates is not whole");
    for package in packages.values() {
        let (name, source) = (text(package, "name"), package["source"].as_str());
        assert!(
            source.is_none_or(|source| source == REGISTRY),
            "{name} comes from {source:?}: take it from crates.io"
        );
        let licence = text(package, "license");
        assert!(
            is_allowed(licence),
            "{name} is under `{licence}`: take another crate, or allow that licence after reading it"
        );
    }
    let mut rows = BTreeSet::new();
    for id in shipped(&metadata, &packages) {
        let package = packages[id];
        if !package["source"].is_null() {
            let name = text(package, "name");
            rows.insert(format!(
                "| [{name}](https://crates.io/crates/{name}) | {} |",
                text(package, "license")
            ));
        }
    }
    let rows: Vec<String> = rows.into_iter().collect();
    expect_file!["../server/bellwire/LICENCES.md"].assert_eq(&format!(
        "# Licences\n\n\
         Bellwire is under MIT or Apache-2.0, as you like. The program holds code of these crates, on one\n\
         system or another; each may be used, changed and passed on by anybody under the licence beside it.\n\
         This page is written by `tests/supply.rs`.\n\n\
         | crate | licence |\n| --- | --- |\n{}\n",
        rows.join("\n")
    ));
}

/// The table of DEVELOPERS.md has every crate that a manifest asks for, and no other.
#[test]
fn every_crate_has_its_reason() {
    let metadata = metadata();
    let ours = all(&metadata, "packages").iter();
    let ours = ours.filter(|package| package["source"].is_null());
    let asked: BTreeSet<&str> = ours
        .flat_map(|package| all(package, "dependencies"))
        .filter(|dependency| !dependency["source"].is_null())
        .map(|dependency| match dependency["rename"].as_str() {
            Some(name) => name,
            None => text(dependency, "name"),
        })
        .collect();
    let page = include_str!("../DEVELOPERS.md");
    let (_, table) = page.split_once("| crate | for |").unwrap();
    let rows = table.lines().filter_map(|line| line.split('|').nth(1));
    let names = rows
        .skip_while(|cell| !cell.contains("---"))
        .skip(1)
        .flat_map(|cell| cell.split(" (").next().unwrap_or(cell).split(','));
    let given: BTreeSet<&str> = names.map(str::trim).collect();
    assert_eq!(asked, given);
}

/// The crates that end up in the program: what it needs, and what that needs;
/// not what tests and build scripts need.
fn shipped<'a>(metadata: &'a Value, packages: &BTreeMap<&'a str, &'a Value>) -> BTreeSet<&'a str> {
    let nodes: BTreeMap<&str, &Value> = all(&metadata["resolve"], "nodes")
        .iter()
        .map(|node| (text(node, "id"), node))
        .collect();
    let program = packages
        .iter()
        .find(|(_, of)| text(of, "name") == "bellwire");
    let mut next: Vec<&str> = program.map(|(id, _)| *id).into_iter().collect();
    let mut found = BTreeSet::new();
    while let Some(id) = next.pop() {
        if !found.insert(id) {
            continue;
        }
        let dependencies = nodes.get(id).map_or(&[][..], |node| all(node, "deps"));
        let normal = dependencies.iter().filter(|of| {
            let mut kinds = all(of, "dep_kinds").iter();
            kinds.any(|kind| kind["kind"].is_null())
        });
        next.extend(normal.map(|of| text(of, "pkg")));
    }
    found
}

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The advisories against any crate of a lock file: holes, and what is unsound,
/// given up by its makers or otherwise warned of.
fn advisories(lock: &Lockfile) -> Vec<String> {
    let known = Database::open(&here().join("advisories")).unwrap();
    let settings = Settings {
        informational_warnings: vec![
            Informational::Notice,
            Informational::Unmaintained,
            Informational::Unsound,
        ],
        ..Settings::default()
    };
    let warned = find_warnings(&known, lock, &settings).into_values();
    let warned = warned.flatten().filter_map(|warning| {
        let advisory = warning.advisory?;
        Some((advisory, warning.package))
    });
    let holes = known.vulnerabilities(lock).into_iter();
    holes
        .map(|hole| (hole.advisory, hole.package))
        .chain(warned)
        .map(|(advisory, package)| {
            let (id, title) = (&advisory.id, &advisory.title);
            format!("{} {}: {id}, {title}", package.name, package.version)
        })
        .collect()
}

#[test]
fn nothing_is_known_against_any_crate() {
    let lock = Lockfile::load(here().join("../Cargo.lock")).unwrap();
    assert_eq!(advisories(&lock), [] as [String; 0]);
}

#[test]
fn the_advisories_are_about_the_crates_that_are_used() {
    let asked = std::fs::read_to_string(here().join("advisories/asked.txt")).unwrap();
    let asked: BTreeSet<&str> = asked.lines().collect();
    let lock = Lockfile::load(here().join("../Cargo.lock")).unwrap();
    let new: BTreeSet<&str> = lock
        .packages
        .iter()
        .map(|package| package.name.as_str())
        .filter(|name| !asked.contains(name))
        .collect();
    assert!(
        new.is_empty(),
        "nobody has looked for advisories about {new:?}: run tests/advisories/take"
    );
}

#[test]
fn advisories_against_old_versions_are_found() {
    let old = "version = 4\n\n".to_owned()
        + &[("tokio", "1.7.1"), ("mimalloc", "0.1.38")]
            .map(|(name, version)| {
                format!("[[package]]\nname = \"{name}\"\nversion = \"{version}\"\nsource = \"{REGISTRY}\"\n")
            })
            .join("\n");
    let found = advisories(&old.parse().unwrap());
    for id in ["RUSTSEC-2021-0072", "RUSTSEC-2022-0094"] {
        assert!(found.iter().any(|one| one.contains(id)), "{id}: {found:?}");
    }
}
