//! Plans with a mistake or two: whatever is offered to mend them does so when it is taken, and
//! what is renamed is the same plan under another name.

use std::collections::BTreeMap;
use std::ops::Range;

use bellwire_assist::{self as assist, Edit, FileEdits, QuickFix};
use bellwire_plan::finding::{Code, Severity};
use bellwire_plan::source::File;
use bellwire_plan::workspace::{Located, Workspace};

use super::plan::{NAME, layout};
use crate::common::{demo, path, workspace};
use crate::mutate::Mutator;
use crate::random::{Rounds, chance};
use crate::shorten::holds;

/// So many findings of a plan are mended.
const MOST: usize = 5;

#[test]
fn what_is_offered_for_mistakes_mends_them() {
    let mutator = Mutator::new();
    let mut random = chance(5);
    let mut world = workspace(&demo());
    for _ in Rounds::new(40) {
        let text = mutator.mistaken(&mut random);
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        holds(&lines, &mut |lines| check(&mut world, &lines.concat()));
    }
}

fn check(world: &mut Workspace, text: &str) {
    let before = found(world, text);
    let view = world.view();
    let entry = view.entry(&path(NAME)).expect("the file");
    for wrong in before.iter().take(MOST) {
        let range = wrong.range.clone();
        let same = |code: Code, at: &Range<usize>| code == wrong.finding.code && *at == range;
        let alike = before.iter().filter(|of| same(of.finding.code, &of.range));
        // Which of two that stand in one place is mended, nothing says.
        if alike.count() > 1 {
            continue;
        }
        let mends = assist::mends(&view, &entry, range.clone()).into_iter();
        let mends: Vec<QuickFix> = mends.filter(|fix| same(fix.code, &fix.range)).collect();
        let preferred = mends.iter().filter(|fix| fix.preferred);
        assert!(preferred.count() <= 1, "{mends:?}");
        for fix in mends {
            mended(world, text, wrong, &fix, &before);
        }
    }
    slips(world, text);
    renamed(world, text);
}

/// A change mends what it is for; one that nobody need choose brings no error.
fn mended(world: &mut Workspace, text: &str, wrong: &Located, fix: &QuickFix, before: &[Located]) {
    let after_text = changed(text, &fix.edits);
    let after = found(world, &after_text);
    let said = |of: &[Located]| {
        let same = |other: &&Located| {
            let (one, other) = (&wrong.finding, &other.finding);
            one.code == other.code && one.message == other.message
        };
        of.iter().filter(same).count()
    };
    assert!(said(&after) < said(before), "{fix:?} in {text:?}");
    // What is wrong with a line shows once it can be read.
    if fix.preferred && !is_unread(wrong) {
        assert_eq!(brought(before, &after), [], "{fix:?} in {text:?}");
    }
    let view = world.view();
    let entry = view.entry(&path(NAME)).expect("the file");
    layout(&view, &entry, &after_text);
}

/// All slips mended leave none that could be, and make nothing unreadable; but what stands inside
/// a line that means nothing shows once it means something.
fn slips(world: &mut Workspace, text: &str) {
    let before = found(world, text);
    let slips = |world: &Workspace| {
        let view = world.view();
        let entry = view.entry(&path(NAME)).expect("the file");
        assist::mend_slips(&view, &entry)
    };
    let Some(edits) = slips(world) else {
        return;
    };
    let after = found(world, &changed(text, &edits));
    let hides = |of: &Located| matches!(of.finding.code, Code::UnknownWord | Code::Syntax);
    let unread = |of: &[Located]| of.iter().filter(|of| is_unread(of)).count();
    let shows = before.iter().any(hides);
    assert!(
        shows || unread(&after) < unread(&before),
        "{edits:?} in {text:?}"
    );
    assert_eq!(slips(world), None, "{text:?}");
}

/// A name changed for one that nothing has, and changed back.
fn renamed(world: &mut Workspace, text: &str) {
    const NEW: &str = "a-new-name";
    let before = found(world, text);
    // A name that cannot be had may be renamed: then more is known of the plan.
    let is_taken = |of: &Located| of.finding.code == Code::NameTaken;
    if before.iter().any(|of| is_unread(of) || is_taken(of)) {
        return;
    }
    let mut random = chance(text.len() as u64);
    for _ in 0..8 {
        let at = random.place(text);
        found(world, text);
        let Some((old, there)) = rename(world, text, at, NEW) else {
            continue;
        };
        let brought = brought(&before, &found(world, &there));
        assert_eq!(brought, [], "{old} in {text:?}");
        let at = there.find(NEW).expect("the new name");
        // A name of the library is taken, though it was there.
        if let Some((_, back)) = rename(world, &there, at, &old) {
            assert_eq!(back, text, "{old}");
        }
    }
}

/// The name at an offset, and the text with another; `None` if it is not this file's alone.
fn rename(world: &Workspace, text: &str, at: usize, new: &str) -> Option<(String, String)> {
    let view = world.view();
    let entry = view.entry(&path(NAME)).expect("the file");
    let old = assist::prepare_rename(&entry, at).ok()?.name;
    let renamed = assist::rename(&view, &entry, at, new).ok()?;
    let files: Vec<FileEdits> = renamed.collect();
    match files.as_slice() {
        [own] if *own.file.path() == path(NAME) => Some((old, changed(text, &own.edits))),
        _ => None,
    }
}

/// What is wrong with a text, what is accepted left out.
fn found(world: &mut Workspace, text: &str) -> Vec<Located> {
    world.put(vec![File::new(path(NAME), text)]);
    let view = world.view();
    let mut found = view.findings(&view.entry(&path(NAME)).expect("the file"));
    found.retain(|of| of.finding.accepted.is_none());
    found
}

/// Whether it is about how the plan is written.
fn is_unread(found: &Located) -> bool {
    found.finding.code.family() == Code::Syntax.family()
}

/// The codes of which there are more errors after a change. A device that the cable cannot feed is
/// told of as that alone, whatever else it lacks.
fn brought(before: &[Located], after: &[Located]) -> Vec<Code> {
    let errors = |found: &[Located]| {
        let mut errors: BTreeMap<Code, usize> = BTreeMap::new();
        let is_error = |of: &&Located| of.finding.severity == Severity::Error;
        for of in found.iter().filter(is_error) {
            let code = match of.finding.code {
                Code::CannotBeFed => Code::VoltageLow,
                code => code,
            };
            *errors.entry(code).or_default() += 1;
        }
        errors
    };
    let had = errors(before);
    let more = |(code, count): &(Code, usize)| *count > had.get(code).copied().unwrap_or(0);
    let after = errors(after).into_iter();
    after.filter(more).map(|(code, _)| code).collect()
}

/// The text after edits, which do not overlap.
fn changed(text: &str, edits: &[Edit]) -> String {
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort_by_key(|edit| edit.range.start);
    let apart = |pair: &[&Edit]| pair[0].range.end <= pair[1].range.start;
    assert!(edits.windows(2).all(apart), "{edits:?} in {text:?}");
    let edits = edits.iter();
    assist::patched(text, edits.map(|edit| (edit.range.clone(), &*edit.text)))
}
