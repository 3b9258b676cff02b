//! Changes tried out before they are offered: what is found after them, held against what is
//! found now.

use std::ops::Range;

use bellwire_plan::finding::{Code, Severity};
use bellwire_plan::source::{Form, Span};
use bellwire_plan::workspace::{Entry, Located, View};
use rustc_hash::FxHashMap;

use super::{Proposal, start_of};
use crate::edit::{Edit, applied};
use crate::walk::{holder, in_file};

/// A file that changes are tried out on.
pub(super) struct Trial<'a> {
    view: &'a View,
    entry: &'a Entry,
    /// What is found now.
    pub before: Vec<Located>,
}

impl<'a> Trial<'a> {
    pub fn new(view: &'a View, entry: &'a Entry) -> Trial<'a> {
        Trial {
            view,
            entry,
            before: view.findings(entry),
        }
    }

    /// What is found now and nobody has accepted.
    pub fn open(&self) -> impl Iterator<Item = &Located> {
        let found = self.before.iter();
        found.filter(|found| found.finding.accepted.is_none())
    }

    /// What is found after edits.
    pub fn after(&self, edits: &[Edit]) -> Vec<Located> {
        let changed = applied(&self.entry.file, edits);
        self.view.findings(&self.view.try_out(changed))
    }

    /// Whether a finding is among what is found after a change no more, or is there once less.
    pub fn is_gone<'f>(&'f self, after: &'f [Located]) -> impl Fn(&Located) -> bool + 'f {
        let (before, after) = (counts(&self.before), counts(after));
        move |found| {
            let said = said(found);
            after.get(&said).unwrap_or(&0) < before.get(&said).unwrap_or(&0)
        }
    }

    /// Whether the finding is gone after the change, and no line became unreadable.
    pub fn holds(&self, found: &Located, proposal: &Proposal) -> bool {
        self.held(found, proposal).is_some()
    }

    /// The same, and whether it brings an error of another kind. What can be read only after it
    /// was there before.
    pub fn held(&self, found: &Located, proposal: &Proposal) -> Option<Held> {
        if proposal.edits.is_empty() {
            return None;
        }
        let mut after = self.after(&proposal.edits);
        let is_read = !found.finding.code.is_of_reading();
        let brings_errors = is_read && brings_errors(&self.before, &after);
        if let Some(unread) = unread_before(self.entry, found) {
            let grown = |edit: &Edit| edit.text.len() as isize - edit.range.len() as isize;
            let longer: isize = proposal.edits.iter().map(grown).sum();
            let start = unread.start.saturating_add_signed(longer.min(0));
            let end = unread.end.saturating_add_signed(longer);
            after.retain(|other| !(start..=end).contains(&other.range.start));
        }
        let unreadable = |other: &&Located| {
            let is_gap = other.finding.code == Code::Missing;
            is_unreadable(other) && !(proposal.unfinished && is_gap)
        };
        let wrong_before = self.before.iter().filter(unreadable).count();
        let wrong_after = after.iter().filter(unreadable).count();
        let reads_better = match proposal.guess {
            true => wrong_after < wrong_before,
            // What a name brings along may be held against the plan only now.
            false => proposal.adds || wrong_after <= wrong_before,
        };
        (reads_better && self.is_gone(&after)(found)).then_some(Held { brings_errors })
    }
}

/// What more there is to say of a change that holds.
pub(super) struct Held {
    /// Whether more is wrong of some kind than before.
    pub brings_errors: bool,
}

/// Whether there are more errors of some code after a change. A device that the cable cannot feed
/// is told of as that alone, whatever else it lacks.
fn brings_errors(before: &[Located], after: &[Located]) -> bool {
    let errors = |findings: &[Located]| {
        let mut errors: FxHashMap<Code, usize> = FxHashMap::default();
        for found in findings {
            let finding = &found.finding;
            let code = match finding.code {
                Code::CannotBeFed => Code::VoltageLow,
                code => code,
            };
            if finding.severity == Severity::Error && finding.accepted.is_none() {
                *errors.entry(code).or_default() += 1;
            }
        }
        errors
    };
    let before = errors(before);
    let more = |(code, count): (Code, usize)| count > before.get(&code).copied().unwrap_or(0);
    errors(after).into_iter().any(more)
}

/// What a finding says.
fn said(found: &Located) -> (Code, &str) {
    (found.finding.code, &found.finding.message)
}

/// How often each is said, where it is not accepted.
fn counts(findings: &[Located]) -> FxHashMap<(Code, &str), usize> {
    let mut counts = FxHashMap::default();
    for found in findings {
        if found.finding.accepted.is_none() {
            *counts.entry(said(found)).or_default() += 1;
        }
    }
    counts
}

/// What stands inside a statement whose word, or kind, means nothing, or inside a block that
/// belongs to no statement. It is checked only once that is right, so what is wrong with it
/// must not count against mending it.
fn unread_before(entry: &Entry, found: &Located) -> Option<Range<usize>> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let statement = holder(item, found.finding.span);
    let first = statement.body.first()?;
    let kind = statement.arguments.first().map(|kind| kind.span);
    let is_word = [statement.keyword, kind].contains(&Some(found.finding.span));
    let inside = Span {
        end: statement.span.end,
        ..first.span
    };
    let is_brace = statement.form == Form::Fragment
        && statement.block.map(|block| block.open) == Some(found.finding.span);
    let unread = match found.finding.code {
        Code::UnknownWord => is_word,
        Code::Syntax => is_brace,
        _ => false,
    };
    unread.then(|| in_file(start, inside))
}

/// Whether something cannot be read, or means nothing; a name is read whatever it stands for, and
/// whether a used file is there, no trial looks at.
pub(super) fn is_unreadable(found: &Located) -> bool {
    let code = found.finding.code;
    let is_told_apart = matches!(
        code,
        Code::UnknownName | Code::ImportMissing | Code::ImportCycle | Code::ImportOutside
    );
    code.is_of_reading() && !is_told_apart
}
