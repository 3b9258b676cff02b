//! Sequences of edits: what comes of them is what the texts would give if they
//! were read anew, and what the grammar says of them.

use std::collections::BTreeMap;

use bellwire_assist as assist;
use bellwire_plan::source::{Change, File};
use bellwire_plan::workspace::Workspace;
use bellwire_tests::random::Random;

use super::plan::{NAME, shown};
use crate::common::{all_seen, demo, path, workspace};
use crate::kept;
use crate::mutate::{Mutator, Piece};
use crate::random::{Rounds, chance};
use crate::shape;
use crate::shorten::holds;

/// One edit of one file.
#[derive(Debug, Clone)]
pub struct Step {
    /// Which file, by its number.
    pub file: usize,
    /// What is put where.
    pub piece: Piece,
    /// Where, rather than anywhere.
    pub place: Place,
    /// Whether the file is worked out now, or together with the next edit.
    pub pauses: bool,
}

/// Where an edit is made.
#[derive(Debug, Clone, Copy)]
pub enum Place {
    /// Where the piece says.
    Anywhere,
    /// At the end of the line there, as people add to a plan.
    LineEnd,
    /// Behind the edit before, as people type.
    BehindLast,
}

/// Single edits, and words typed letter by letter.
fn some_steps(mutator: &Mutator, random: &mut Random) -> Vec<Step> {
    let mut steps = Vec::new();
    for _ in 0..2 + random.below(10) {
        let file = random.below(64);
        let piece = mutator.piece(random);
        if random.below(3) > 0 {
            let place = match random.below(4) {
                0 => Place::LineEnd,
                _ => Place::Anywhere,
            };
            let pauses = random.below(3) > 0;
            steps.push(Step {
                file,
                piece,
                place,
                pauses,
            });
            continue;
        }
        let mut place = match random.below(3) {
            0 => Place::Anywhere,
            _ => Place::LineEnd,
        };
        for c in piece.text.chars().take(12) {
            let c = match random.below(4) {
                0 => ' ',
                _ => c,
            };
            let piece = Piece {
                at: piece.at,
                length: 0,
                text: c.to_string(),
            };
            steps.push(Step {
                file,
                piece,
                place,
                pauses: true,
            });
            place = Place::BehindLast;
        }
    }
    steps
}

#[test]
fn edited_plans_are_what_they_would_be_read_anew() {
    let mutator = Mutator::new();
    let mut random = chance(2);
    for _ in Rounds::new(12) {
        let steps = some_steps(&mutator, &mut random);
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
            place: Place::Anywhere,
            pauses: true,
        };
        check(&edits.iter().map(step).collect::<Vec<_>>());
    }
}

fn check(steps: &[Step]) {
    let mut plans = demo();
    plans.insert(NAME.to_string(), String::new());
    let mut edited = workspace(&plans);
    // The spoilt one first: what is kept names it by its number, however large the demo is.
    let names: Vec<String> = std::iter::once(NAME.to_string())
        .chain(demo().into_keys())
        .collect();
    let mut waiting: BTreeMap<&str, Vec<Change>> = BTreeMap::new();
    let mut last: BTreeMap<&str, usize> = BTreeMap::new();
    for step in steps {
        let name = names[step.file % names.len()].as_str();
        let text = plans.entry(name.to_string()).or_default();
        let mut piece = step.piece.clone();
        match step.place {
            Place::Anywhere => {}
            Place::LineEnd => {
                let at = piece.start(text);
                piece.at = text[at..].find('\n').map_or(text.len(), |end| at + end);
            }
            Place::BehindLast => piece.at = last.get(name).copied().unwrap_or(0).min(text.len()),
        }
        let range = piece.put(text);
        last.insert(name, range.start + piece.text.len());
        waiting.entry(name).or_default().push(Change {
            range: Some(range),
            text: piece.text,
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
    // What is kept with a statement is made only where somebody asks for it.
    for name in names.iter().filter(|name| name.as_str().len() % 2 == 0) {
        let entry = edited.view().entry(name).expect("the file");
        assist::format(&entry.file);
    }
}
