//! The program over folders of spoilt plans: it ends as it should, and writes
//! what it says it writes.

use std::process::{Command, Output};

use serde_json::Value;

use super::plan::only_numbers;
use crate::common::demo;
use crate::mutate::Mutator;
use crate::plans::Folder;
use crate::random::{Rounds, chance};
use crate::shorten::holds;

/// How many spoilt plans lie in a folder.
const TOGETHER: usize = 30;

#[test]
fn folders_of_plans_gone_wrong_are_got_through() {
    let mutator = Mutator::new();
    let mut random = chance(4);
    for _ in Rounds::new(1) {
        let plans: Vec<String> = (0..TOGETHER).map(|_| mutator.spoilt(&mut random)).collect();
        holds(&plans, &mut |plans| check(plans));
    }
}

fn check(plans: &[String]) {
    let folder = Folder::empty();
    for (name, text) in demo() {
        folder.write(&name, &text);
    }
    for (number, text) in plans.iter().enumerate() {
        folder.write(&format!("sites/spoilt-{number}.bell"), text);
    }
    for arguments in [
        &["check"][..],
        &["check", "--format", "json"],
        &["check", "--format", "sarif"],
        &["figures"],
        &["figures", "--format", "json"],
        &["format", "--check"],
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_bellwire"))
            .args(arguments)
            .current_dir(folder.root())
            .output()
            .expect("the program");
        ended_well(arguments, &output);
        let shown = String::from_utf8_lossy(&output.stdout);
        only_numbers(&plans.concat(), &shown);
    }
}

fn ended_well(arguments: &[&str], output: &Output) {
    let code = output.status.code();
    let told = std::str::from_utf8(&output.stderr).expect("UTF-8");
    // Figures say beside them which used files could not be read.
    let is_told = |line: &str| line.starts_with("bellwire: cannot read `");
    assert!(
        matches!(code, Some(0 | 1)) && told.lines().all(is_told),
        "{arguments:?}: {code:?}: {told}"
    );
    let text = std::str::from_utf8(&output.stdout).expect("UTF-8");
    let commands = |c: char| c != '\n' && (c.is_control() || matches!(c, '\u{202a}'..='\u{202e}'));
    let is_json = matches!(arguments, [_, "--format", "json" | "sarif"]);
    match is_json {
        true => assert!(serde_json::from_str::<Value>(text).is_ok_and(|all| all.is_object())),
        false => assert!(!text.contains(commands), "{arguments:?}: {text}"),
    }
    assert!(!told.contains(commands), "{arguments:?}: {told}");
}
