//! Every finding is explained, and the plan that shows it has it.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod common;

use std::collections::BTreeMap;

use bellwire_plan::finding::{Code, Severity};
use common::{path, workspace};

/// What is found in a workspace that has the example and nothing else.
fn found(example: &str) -> Vec<(Code, String)> {
    let files = BTreeMap::from([("example.bell".to_string(), example.to_string())]);
    let view = workspace(&files).view();
    let entry = view.entry(&path("example.bell")).expect("the example");
    view.findings(&entry)
        .into_iter()
        .map(|located| (located.finding.code, located.finding.message))
        .collect()
}

#[test]
fn every_example_has_its_finding_and_no_other() {
    let mut wrong = String::new();
    for code in Code::ALL {
        let found = found(code.explanation().example);
        let others = found.iter().any(|(other, _)| other != code);
        if found.is_empty() || others {
            wrong += &format!("{code}: {found:#?}\n");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn what_mends_an_example_leaves_nothing_unchecked() {
    let mut wrong = String::new();
    for code in Code::ALL {
        let example = code.explanation().example;
        let files = BTreeMap::from([("example.bell".to_string(), example.to_string())]);
        let view = workspace(&files).view();
        let entry = view.entry(&path("example.bell")).expect("the example");
        for located in view.findings(&entry) {
            let Some(mend) = &located.finding.mend else {
                continue;
            };
            let start = located.item_start().expect("its place");
            let mut edits = mend.edits.clone();
            edits.sort_by_key(|(span, _)| span.start);
            let mut mended = example.to_string();
            for (span, text) in edits.iter().rev() {
                let place = start + span.start as usize..start + span.end as usize;
                mended.replace_range(place, text);
            }
            let left = found(&mended);
            if left.iter().any(|(left, _)| *left == Code::Unchecked) {
                wrong += &format!("{code}: {}: {left:#?}\n", mend.title);
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn examples_are_short_and_say_that_their_models_are_invented() {
    for code in Code::ALL {
        let example = code.explanation().example;
        assert!(example.lines().count() <= 16, "{code}");
        assert!(example.lines().all(|line| line.len() <= 80), "{code}");
        let models = example.contains("model ");
        assert_eq!(example.contains("nvented model"), models, "{code}");
    }
}

#[test]
fn explanations_are_whole_sentences() {
    for code in Code::ALL {
        let explanation = code.explanation();
        for text in [explanation.why, explanation.mend] {
            assert!(text.len() > 10, "{code}: {text}");
            assert!(text.ends_with('.'), "{code}: {text}");
            let first = text.chars().next().expect("a letter");
            assert!(first.is_uppercase() || first == '`', "{code}: {text}");
        }
        assert!(!code.title().ends_with('.'), "{code}");
    }
}

#[test]
fn names_are_there_once_and_lead_back_to_their_codes() {
    for code in Code::ALL {
        assert_eq!(Code::parse(code.name()), Some(*code));
    }
}

#[test]
fn what_stops_a_system_from_working_is_an_error() {
    for code in [
        Code::AddressTaken,
        Code::VoltageLow,
        Code::OutputOverloaded,
        Code::BatteryShort,
        Code::LoopMisread,
        Code::AccountTaken,
    ] {
        assert_eq!(code.severity(), Severity::Error, "{code}");
    }
}
