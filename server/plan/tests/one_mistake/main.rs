//! A mistake gives one finding, at its place, and none elsewhere: a value that
//! cannot be read makes what hangs on it unknown, not wrong.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

#[path = "../common/mod.rs"]
mod common;

mod figures;
mod mistakes;

use std::collections::{BTreeMap, BTreeSet};

use bellwire_plan::source::File;
use bellwire_plan::workspace::Workspace;
use mistakes::*;

/// The demo, and plans of what it has none of: a device with a trigger; a supply without much
/// to give, goods, and rules of its own; what is enough by little, so that less would be at
/// hand if a value were what is usual, or what the rule set has that another is built on.
fn plans() -> BTreeMap<String, String> {
    let mut plans = common::demo();
    for (name, text) in [
        ("held", include_str!("plans/held.bell")),
        ("goods", include_str!("plans/goods.bell")),
        ("tight", include_str!("plans/tight.bell")),
    ] {
        plans.insert(format!("sites/{name}.bell"), text.to_string());
    }
    plans
}

/// What is found: file, line, code.
fn found(plans: &BTreeMap<String, String>) -> BTreeSet<(String, usize, String)> {
    let workspace: Workspace = common::workspace(plans);
    let view = workspace.view();
    let mut all = BTreeSet::new();
    for name in plans.keys() {
        let entry = view.entry(&common::path(name)).expect("the file");
        for found in view.findings(&entry) {
            let line = entry.file.text().line_of(found.range.start);
            all.insert((name.clone(), line, found.finding.code.to_string()));
        }
    }
    all
}

#[test]
fn a_value_that_cannot_be_read_is_told_once() {
    each_is_told_once(mistakes, 300);
}

#[test]
fn a_word_that_means_nothing_is_told_once() {
    each_is_told_once(words_that_mean_nothing, 150);
}

#[test]
fn a_range_that_is_written_otherwise_is_told_once() {
    each_is_told_once(ranges_written_otherwise, 80);
}

#[test]
fn a_number_below_none_is_told_once() {
    each_is_told_once(negatives, 100);
}

#[test]
fn a_number_out_of_bounds_is_told_once() {
    each_is_told_once(out_of_bounds, 15);
}

#[test]
fn a_block_whose_name_is_missing_is_told_once() {
    each_is_told_once(names_left_out, 20);
}

#[test]
fn a_model_whose_name_is_missing_is_told_once() {
    each_is_told_once(names_of_models_left_out, 20);
}

#[test]
fn what_goes_on_below_its_line_is_told_once() {
    let mut plans = common::demo();
    let blocks = include_str!("plans/blocks.bell");
    plans.insert("sites/blocks.bell".to_string(), blocks.to_string());
    // Each file's findings by their codes: those below the break stand elsewhere now.
    let codes = |plans: &BTreeMap<String, String>| {
        let codes = found(plans).into_iter().map(|of| (of.0, of.2));
        codes.collect::<Vec<_>>()
    };
    let before = codes(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        for mark in breaks(&File::new(common::path(name), text)) {
            let mut broken = plans.clone();
            let mut text = text.clone();
            text.insert(mark, '\n');
            broken.insert(name.clone(), text.clone());
            let mut new = codes(&broken);
            for known in &before {
                if let Some(same) = new.iter().position(|of| of == known) {
                    new.remove(same);
                }
            }
            tried += 1;
            if new != [(name.clone(), "syntax".to_string())] {
                let line = text[..mark].lines().next_back().unwrap_or_default();
                wrong.push(format!("{name}: {line} / {} {new:?}", &text[mark..][..9]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 200, "{tried}");
}

fn each_is_told_once(mistakes: fn(&File) -> Vec<Mistake>, least: usize) {
    let plans = plans();
    let before = found(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        let file = File::new(common::path(name), text);
        for (range, mistake) in mistakes(&file) {
            let line = file.text().line_of(range.start);
            let mut broken = plans.clone();
            let mut text = text.clone();
            text.replace_range(range.clone(), &mistake);
            let shown = text.lines().nth(line).unwrap_or("").trim().to_string();
            broken.insert(name.clone(), text);
            let after = found(&broken);
            let new: Vec<_> = after.difference(&before).collect();
            let here = |of: &&&(String, usize, String)| of.0 == *name && of.1 == line;
            tried += 1;
            let own: Vec<_> = new.iter().filter(here).map(|(.., code)| code).collect();
            if own.len() != 1 {
                wrong.push(format!("{name}:{}: `{shown}` gives {own:?}", line + 1));
            }
            // Whether a line that means nothing uses something, nobody asks.
            let follows = |of: &&&(String, usize, String)| !here(of) && of.2 != "unused";
            for (file, at, message) in new.iter().filter(follows) {
                wrong.push(format!(
                    "{name}:{}: `{shown}` also gives {file}:{} {message}",
                    line + 1,
                    at + 1
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > least, "{tried}");
}

#[test]
fn a_line_that_is_written_as_a_clause_of_the_one_before_is_told_once() {
    let plans = common::demo();
    let before = found(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        let file = File::new(common::path(name), text);
        for [end, start, last] in neighbours(&file) {
            let (gap, own) = (&text[end..start], &text[start..last]);
            if !gap.trim().is_empty() {
                continue;
            }
            let breaks = gap.matches('\n').count();
            let line = file.text().line_of(end);
            let mut joined = text.clone();
            joined.replace_range(end..last, &format!(", {own}{}", "\n".repeat(breaks)));
            let mut broken = plans.clone();
            broken.insert(name.clone(), joined);
            let after = found(&broken);
            let new: Vec<_> = after.difference(&before).collect();
            tried += 1;
            if new.len() != 1 || new.iter().any(|of| of.0 != *name || of.1 != line) {
                wrong.push(format!("{name}:{}: `, {own}` gives {new:?}", line + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 60, "{tried}");
}
