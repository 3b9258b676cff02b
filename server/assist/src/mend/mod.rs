//! Changes that mend a finding.
//!
//! Those that have to be computed come from the checks, with the finding; the others
//! are proposed here. Every one is tried out before it is offered: the finding must
//! be gone, and nothing that could be read before may be unreadable after. One that
//! brings an error of its own is left for people to choose.

mod clauses;
mod lines;
mod numbers;
mod punctuation;
mod removal;
mod run;
mod slips;
mod spelling;
#[cfg(test)]
mod tests;
mod trial;

use std::ops::Range;

use bellwire_plan::finding::Code;
use bellwire_plan::source::{Item, Span};
use bellwire_plan::workspace::{Entry, Located, View};

use crate::edit::Edit;
use crate::walk::{Around, around, holders, in_file};
pub use slips::mend_slips;
use trial::Trial;

/// A change that mends a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuickFix {
    /// What it does: `Give rear the address 3`.
    pub title: String,
    /// What it mends.
    pub code: Code,
    /// Where that is, bytes of the file.
    pub range: Range<usize>,
    /// The change of the file; not overlapping.
    pub edits: Vec<Edit>,
    /// Whether it is the one to take if nobody chooses: never one that brings an error, and
    /// only one for a finding.
    pub preferred: bool,
    /// Whether it only spells out what is plainly meant, so that nobody need be asked.
    pub slip: bool,
}

/// A change that is yet to be tried out.
#[derive(Debug)]
struct Proposal {
    title: String,
    edits: Vec<Edit>,
    preferred: bool,
    /// It leaves something to fill in, which will be missing at first.
    unfinished: bool,
    /// It is a guess at how the line is to be read: after it, fewer things must be unreadable.
    guess: bool,
    /// It only spells out what is plainly meant.
    slip: bool,
    /// It adds what the whole file needs, a `use`, and changes nothing where the finding is.
    adds: bool,
}

impl Proposal {
    fn new(title: impl Into<String>, edits: Vec<Edit>) -> Proposal {
        Proposal {
            title: title.into(),
            edits,
            preferred: false,
            unfinished: false,
            guess: false,
            slip: false,
            adds: false,
        }
    }

    fn preferred(mut self) -> Proposal {
        self.preferred = true;
        self
    }

    fn slip(mut self) -> Proposal {
        self.slip = true;
        self.preferred()
    }
}

/// So many findings are mended at once, at most. Nobody reads through more changes, and to try
/// one out takes as long as to work the whole site out.
const MOST: usize = 24;

/// The changes that mend the findings that touch `range`, best first for each: the first
/// `MOST` of them.
pub fn mends(view: &View, entry: &Entry, range: Range<usize>) -> Vec<QuickFix> {
    let trial = Trial::new(view, entry);
    let touched = trial
        .open()
        .filter(|found| found.range.start <= range.end && range.start <= found.range.end);
    let mut fixes: Vec<QuickFix> = Vec::new();
    for found in touched.take(MOST) {
        let mut is_chosen = false;
        for mut proposal in proposals(view, entry, found) {
            if fixes.iter().any(|fix| fix.edits == proposal.edits) {
                continue;
            }
            if let Some(held) = trial.held(found, &proposal) {
                proposal.preferred &= !is_chosen && !held.brings_errors;
                is_chosen |= proposal.preferred;
                fixes.push(fix(found, proposal));
            }
        }
    }
    fixes
}

/// What could mend a finding, best first.
fn proposals(view: &View, entry: &Entry, found: &Located) -> Vec<Proposal> {
    let mut proposals: Vec<Proposal> = computed(entry, found).into_iter().collect();
    match found.finding.code {
        Code::UnknownWord
        | Code::UnknownName
        | Code::WrongKind
        | Code::WrongUnit
        | Code::Misplaced => {
            proposals.extend(spelling::names(view, entry, found));
            proposals.extend(punctuation::punctuation(entry, found));
            proposals.extend(lines::own_lines(entry, found));
            proposals.extend(numbers::units(entry, found).into_iter().flatten());
        }
        Code::ZoneMissingPartition => {
            proposals.extend(clauses::partitions(entry, found).into_iter().flatten())
        }
        Code::Missing => proposals.extend(clauses::loops(entry, found).into_iter().flatten()),
        Code::Syntax => proposals.extend(lines::brace_up(entry, found)),
        Code::NameTaken => proposals.extend(numbers::free_number(entry, found)),
        Code::NotWired => proposals.extend(run::to_device(view, entry, found)),
        Code::InputMissing => proposals.extend(run::to_detectors(view, entry, found)),
        // What is there twice within a statement has a change of its own.
        Code::Repeated if found.finding.mend.is_some() => {}
        Code::Unused | Code::AcceptUnused | Code::Repeated => {
            proposals.extend(removal::removal(entry, found));
        }
        _ => {}
    }
    proposals.extend(clauses::acceptance(entry, found));
    proposals
}

/// The statements around a finding, outermost first.
fn around_finding<'a>(item: &'a Item, found: &Located) -> Vec<Around<'a>> {
    around(item, holders(item, found.finding.span))
}

fn fix(found: &Located, proposal: Proposal) -> QuickFix {
    QuickFix {
        title: proposal.title,
        code: found.finding.code,
        range: found.range.clone(),
        edits: proposal.edits,
        preferred: proposal.preferred,
        slip: proposal.slip,
    }
}

/// The change that the check itself has worked out.
fn computed(entry: &Entry, found: &Located) -> Option<Proposal> {
    let mend = found.finding.mend.as_ref()?;
    let start = start_of(entry, found)?;
    let edits = mend.edits.iter().map(|(span, text)| Edit {
        range: in_file(start, *span),
        text: text.clone(),
    });
    let proposal = Proposal::new(&mend.title, edits.collect());
    // A check mends a line that cannot be read only where it is plain what is meant.
    Some(match found.finding.code {
        Code::Syntax => proposal.slip(),
        _ => proposal.preferred(),
    })
}

/// Where the item of a finding starts in the file.
fn start_of(entry: &Entry, found: &Located) -> Option<usize> {
    found.item_start().filter(|start| {
        let item = entry.file.item_at(*start).map(|(item, _)| item.id);
        item == found.item.as_ref().map(|item| item.id)
    })
}

/// The edit that replaces a span of an item which starts at `start`.
fn edit(start: usize, span: Span, text: impl Into<String>) -> Edit {
    Edit {
        range: in_file(start, span),
        text: text.into(),
    }
}
