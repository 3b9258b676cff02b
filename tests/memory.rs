//! Memory over many edits, counted block by block: once everything has been seen,
//! nothing is kept of an edit that was taken back.
//!
//! By itself in its program, so that nobody else's memory is counted.
//! `BELLWIRE_EDITS=100000` edits for longer.
#![allow(
    dead_code,
    clippy::expect_used,
    clippy::unwrap_used,
    reason = "a test fails by panicking; what two tests share, each uses a part of"
)]

#[path = "../server/plan/tests/common/mod.rs"]
mod common;
#[path = "hostile/mutate.rs"]
mod mutate;
#[path = "hostile/random.rs"]
mod random;

use std::alloc::System;

use bellwire_assist::{self as assist, HintSettings};
use bellwire_plan::library::LIBRARY;
use bellwire_plan::source::{Change, File};
use bellwire_plan::workspace::Workspace;
use common::{demo, path, workspace};
use mutate::Mutator;
use random::{chance, edits};
use stats_alloc::{INSTRUMENTED_SYSTEM, StatsAlloc};

#[global_allocator]
static MEMORY: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// Bytes that are in use.
fn in_use() -> usize {
    let stats = MEMORY.stats();
    stats.bytes_allocated - stats.bytes_deallocated
}

#[test]
fn nothing_is_kept_of_edits_that_were_taken_back() {
    let plans = demo();
    let names: Vec<&String> = plans.keys().collect();
    let mutator = Mutator::new();
    let mut random = chance(5);
    let mut world = workspace(&plans);
    // The library is worked out once, whenever somebody first asks for it.
    for file in LIBRARY.iter() {
        assert!(world.view().entry(file.path()).is_some());
    }
    let edits = edits(3000);
    let mut samples = Vec::new();
    let mut done = 0;
    while done < edits {
        let name = *random.of(&names);
        let original = &plans[name];
        let mut text = original.clone();
        for _ in 0..8 {
            let piece = mutator.piece(&mut random);
            let range = piece.put(&mut text);
            edit(&mut world, name, Some(range), piece.text);
            done += 1;
        }
        look(&world, name, random.place(&text));
        edit(&mut world, name, None, original.clone());
        // A file of its own name comes and goes.
        let other = path(&format!("sites/new-{done}.bell"));
        world.put(vec![File::new(other.clone(), &text)]);
        world.remove(&[other]);
        done += 3;
        if done * 20 / edits > samples.len() {
            samples.push(in_use());
        }
    }
    println!("{done} edits; bytes: {samples:?}");
    let most = |part: &[usize]| part.iter().copied().max().unwrap_or(0);
    let (early, late) = samples.split_at(samples.len() / 2);
    assert!(
        most(late) < most(early) + most(early) / 50,
        "memory grows: {samples:?}"
    );
}

fn edit(world: &mut Workspace, name: &str, range: Option<std::ops::Range<usize>>, text: String) {
    let entry = world.view().entry(&path(name)).expect("the file");
    world.put(vec![entry.file.edit(&[Change { range, text }])]);
}

/// What an editor asks for after a change.
fn look(world: &Workspace, name: &str, at: usize) {
    let view = world.view();
    let entry = view.entry(&path(name)).expect("the file");
    let all = 0..entry.file.text().len();
    assist::tokens(&entry, all.clone());
    assist::hints(&entry, all, HintSettings::default());
    assist::folds(&entry);
    assist::lenses(&entry);
    assist::complete(&view, &entry, at);
    assist::hover(&view, &entry, at);
    for found in view.findings(&entry).into_iter().take(3) {
        assist::mends(&view, &entry, found.range);
    }
}
