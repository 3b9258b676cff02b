//! Changes that mend a finding.
//!
//! Checks bring those that take sums; the others are proposed here. Every one
//! is tried out before it is offered: the finding must be gone, and nothing
//! that could be read before may be unreadable after.

mod propose;
mod run;
#[cfg(test)]
mod tests;

use std::ops::Range;

use bellwire_plan::finding::Code;
use bellwire_plan::source::Span;
use bellwire_plan::workspace::{Entry, Located, View};

use crate::edit::{Edit, applied};
use crate::walk::in_file;

/// A change that mends a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuickFix {
    /// What it does: `Give rear the address 3`.
    pub title: String,
    /// What it mends.
    pub code: Code,
    /// Where that is, bytes of the file.
    pub range: Range<usize>,
    /// The change; all in one file, and not overlapping.
    pub edits: Vec<Edit>,
    /// Whether it is the one to take if nobody chooses.
    pub preferred: bool,
}

/// A change that is yet to be tried out.
#[derive(Debug)]
pub(super) struct Proposal {
    title: String,
    edits: Vec<Edit>,
    preferred: bool,
    /// It leaves something to fill in, which will be missing at first.
    unfinished: bool,
    /// It is a guess at how the line is to be read: less must be wrong after.
    guess: bool,
}

impl Proposal {
    fn new(title: impl Into<String>, edits: Vec<Edit>) -> Proposal {
        Proposal {
            title: title.into(),
            edits,
            preferred: false,
            unfinished: false,
            guess: false,
        }
    }

    fn preferred(mut self) -> Proposal {
        self.preferred = true;
        self
    }
}

/// The changes that mend the findings that touch `range`, best first for each.
pub fn mends(view: &View, entry: &Entry, range: Range<usize>) -> Vec<QuickFix> {
    let findings = view.findings(entry);
    let touched = findings
        .iter()
        .filter(|found| found.range.start <= range.end && range.start <= found.range.end)
        .filter(|found| found.finding.accepted.is_none());
    let mut fixes: Vec<QuickFix> = Vec::new();
    for found in touched {
        let mut proposals: Vec<Proposal> = computed(entry, found).into_iter().collect();
        proposals.extend(propose::proposals(view, entry, found));
        for proposal in proposals {
            let known = fixes.iter().any(|fix| fix.edits == proposal.edits);
            if known || !holds(view, entry, &findings, found, &proposal) {
                continue;
            }
            fixes.push(QuickFix {
                title: proposal.title,
                code: found.finding.code,
                range: found.range.clone(),
                edits: proposal.edits,
                preferred: proposal.preferred,
            });
        }
    }
    fixes
}

/// The change that the check itself has worked out.
fn computed(entry: &Entry, found: &Located) -> Option<Proposal> {
    let mend = found.finding.mend.as_ref()?;
    let start = start_of(entry, found)?;
    let edits = mend.edits.iter().map(|(span, text)| Edit {
        path: entry.file.path().clone(),
        range: in_file(start, *span),
        text: text.clone(),
    });
    Some(Proposal::new(&mend.title, edits.collect()).preferred())
}

/// Where the item of a finding starts in the file.
fn start_of(entry: &Entry, found: &Located) -> Option<usize> {
    let start = found.finding.span.start as usize;
    found.range.start.checked_sub(start).filter(|start| {
        let item = entry.file.item_at(*start).map(|(item, _)| item.id);
        item == found.item.as_ref().map(|item| item.id)
    })
}

/// Whether the finding is gone after the change, and no line became unreadable.
fn holds(
    view: &View,
    entry: &Entry,
    before: &[Located],
    found: &Located,
    proposal: &Proposal,
) -> bool {
    let is_own = |edit: &Edit| edit.path == *entry.file.path();
    if proposal.edits.is_empty() || !proposal.edits.iter().all(is_own) {
        return false;
    }
    let trial = view.try_out(applied(&entry.file, &proposal.edits));
    let after = view.findings(&trial);
    let same = |other: &&Located| {
        other.finding.accepted.is_none()
            && other.finding.code == found.finding.code
            && other.finding.message == found.finding.message
    };
    let unreadable = |other: &&Located| {
        let code = other.finding.code;
        let reads_badly = code.family() == Code::Syntax.family() && code != Code::UnknownName;
        reads_badly && !(proposal.unfinished && code == Code::Missing)
    };
    let count = |of: &[Located], what: &dyn Fn(&&Located) -> bool| of.iter().filter(what).count();
    let (wrong_before, wrong_after) = (count(before, &unreadable), count(&after, &unreadable));
    let reads_better = match proposal.guess {
        true => wrong_after < wrong_before,
        false => wrong_after <= wrong_before,
    };
    reads_better && count(&after, &same) < count(before, &same)
}

/// The edit that replaces a span of an item which starts at `start`.
fn edit(entry: &Entry, start: usize, span: Span, text: impl Into<String>) -> Edit {
    Edit {
        path: entry.file.path().clone(),
        range: in_file(start, span),
        text: text.into(),
    }
}
