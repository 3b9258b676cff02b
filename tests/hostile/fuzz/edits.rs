//! Sequences of edits: what comes of them is what the texts would give if they
//! were read anew, and what the grammar says of them.

use std::collections::BTreeMap;

use bellwire_assist as assist;
use bellwire_plan::source::{Change, File};
use bellwire_plan::workspace::Workspace;

use super::plan::{NAME, shown};
use crate::common::{all_seen, demo, path, workspace};
use crate::kept;
use crate::mutate::{Mutator, Piece};
use crate::random::{Random, Rounds};
use crate::shape;
use crate::shorten::holds;

/// One edit of one file.
#[derive(Debug, Clone)]
pub struct Step {
    /// Which file, by its number.
    pub file: usize,
    /// What is put where.
    pub piece: Piece,
    /// Whether the file is worked out now, or together with the next edit.
    pub pauses: bool,
}

#[test]
fn edited_plans_are_what_they_would_be_read_anew() {
    let mutator = Mutator::new();
    let mut random = Random::new(2);
    for _ in Rounds::new(12) {
        let steps: Vec<Step> = (0..4 + random.below(20))
            .map(|_| Step {
                file: random.below(64),
                piece: mutator.piece(&mut random),
                pauses: random.below(3) > 0,
            })
            .collect();
        holds(&steps, &mut |steps| check(steps));
    }
}

#[test]
fn edits_that_did_harm_once_do_none() {
    for edits in kept::EDITS {
        let step = |(file, at, length, text): &(usize, usize, usize, &str)| Step {
            file: *file,
            piece: Piece {
                at: *at,
                length: *length,
                text: text.to_string(),
            },
            pauses: true,
        };
        check(&edits.iter().map(step).collect::<Vec<_>>());
    }
}

fn check(steps: &[Step]) {
    let mut plans = demo();
    plans.insert(NAME.to_string(), String::new());
    let mut edited = workspace(&plans);
    let names: Vec<String> = plans.keys().cloned().collect();
    let mut waiting: BTreeMap<&str, Vec<Change>> = BTreeMap::new();
    for step in steps {
        let name = names[step.file % names.len()].as_str();
        let text = plans.entry(name.to_string()).or_default();
        let range = step.piece.put(text);
        waiting.entry(name).or_default().push(Change {
            range: Some(range),
            text: step.piece.text.clone(),
        });
        if step.pauses {
            work_out(&mut edited, &mut waiting);
        }
    }
    work_out(&mut edited, &mut waiting);
    let anew = workspace(&plans);
    assert_eq!(all_seen(&edited.view()), all_seen(&anew.view()));
    for name in &names {
        let entry = edited.view().entry(&path(name)).expect("the file");
        let new = anew.view().entry(&path(name)).expect("the same file");
        assert_eq!(entry.file.text().to_string(), plans[name]);
        assert_eq!(
            shown(&edited.view(), &entry),
            shown(&anew.view(), &new),
            "{name}"
        );
        // No scanner that tree-sitter generates gets over a NUL.
        if !plans[name].contains('\0') {
            shape::compare_file(&entry.file);
        }
    }
}

fn work_out(edited: &mut Workspace, waiting: &mut BTreeMap<&str, Vec<Change>>) {
    let view = edited.view();
    let files: Vec<File> = std::mem::take(waiting)
        .into_iter()
        .map(|(name, changes)| {
            let entry = view.entry(&path(name)).expect("the file");
            entry.file.edit(&changes)
        })
        .collect();
    let names: Vec<_> = files.iter().map(|file| file.path().clone()).collect();
    edited.put(files);
    // Trees are made from older ones only where somebody asks for them.
    for name in names.iter().filter(|name| name.as_str().len() % 2 == 0) {
        let entry = edited.view().entry(name).expect("the file");
        assist::folds(&entry);
    }
}
