//! Changes that mend a finding.
//!
//! Those that have to be computed come from the checks, with the finding; the others
//! are proposed here. Every one is tried out before it is offered: the finding must
//! be gone, and nothing that could be read before may be unreadable after.

mod lines;
mod propose;
mod run;
#[cfg(test)]
mod tests;

use std::ops::Range;

use bellwire_plan::finding::Code;
use bellwire_plan::source::Span;
use bellwire_plan::workspace::{Entry, Located, View};

use crate::edit::{Edit, applied};
use crate::walk::{holder, in_file};

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
    /// Whether it is the one to take if nobody chooses.
    pub preferred: bool,
    /// Whether it only spells out what is plainly meant, so that nobody need be asked.
    pub slip: bool,
}

/// A change that is yet to be tried out.
#[derive(Debug)]
pub(super) struct Proposal {
    title: String,
    edits: Vec<Edit>,
    preferred: bool,
    /// It leaves something to fill in, which will be missing at first.
    unfinished: bool,
    /// It is a guess at how the line is to be read: after it, fewer things must be unreadable.
    guess: bool,
    /// It only spells out what is plainly meant.
    slip: bool,
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
    let findings = view.findings(entry);
    let touched = findings
        .iter()
        .filter(|found| found.range.start <= range.end && range.start <= found.range.end)
        .filter(|found| found.finding.accepted.is_none());
    let mut fixes: Vec<QuickFix> = Vec::new();
    for found in touched.take(MOST) {
        for proposal in proposals(view, entry, found) {
            let known = fixes.iter().any(|fix| fix.edits == proposal.edits);
            if !known && holds(view, entry, &findings, found, &proposal) {
                fixes.push(fix(found, proposal));
            }
        }
    }
    fixes
}

/// All slips of a file mended at once: misspelt words, missing commas, colons
/// and `use` lines, and whatever else is plainly meant; nothing that a designer
/// would have to decide. What is inside a statement whose word is misspelt is
/// left for the next time, since nobody can read it yet. `None` without slips.
pub fn mend_slips(view: &View, entry: &Entry) -> Option<Vec<Edit>> {
    let findings = view.findings(entry);
    let mut edits: Vec<Edit> = Vec::new();
    let mut slips: Vec<Slip> = Vec::new();
    let open = findings
        .iter()
        .filter(|found| found.finding.accepted.is_none());
    for found in open {
        let mut proposals = proposals(view, entry, found).into_iter();
        let Some(proposal) = proposals.find(|proposal| proposal.slip) else {
            continue;
        };
        let new = new_of(&proposal, &edits);
        let apart = |edit: &Edit| {
            edits
                .iter()
                .all(|other| is_apart(&edit.range, &other.range))
        };
        if new.iter().all(apart) {
            edits.extend(new);
            slips.push(Slip { found, proposal });
        }
    }
    let held = held(view, entry, &findings, &slips);
    let edits = together(held.iter().copied());
    let after = view.findings(&view.try_out(applied(&entry.file, &edits)));
    let is_gone = |slip: &&Slip| alike(&after, slip.found) < alike(&findings, slip.found);
    let all_gone = !edits.is_empty() && held.iter().all(is_gone);
    all_gone.then_some(edits)
}

/// A slip, with the change that mends it.
struct Slip<'a> {
    found: &'a Located,
    proposal: Proposal,
}

/// The slips whose changes hold. To try one out is to work the whole site out, so all are tried
/// at once, and the halves only where that is not plainly right.
fn held<'a>(
    view: &View,
    entry: &Entry,
    before: &[Located],
    slips: &'a [Slip<'a>],
) -> Vec<&'a Slip<'a>> {
    match slips {
        [] => Vec::new(),
        [slip] => {
            let holds = holds(view, entry, before, slip.found, &slip.proposal);
            holds.then_some(slip).into_iter().collect()
        }
        _ if hold_together(view, entry, before, slips) => slips.iter().collect(),
        _ => {
            let (first, rest) = slips.split_at(slips.len() / 2);
            let mut all = held(view, entry, before, first);
            all.extend(held(view, entry, before, rest));
            all
        }
    }
}

/// Whether several changes mend what each is for, and nothing new is unreadable.
fn hold_together(view: &View, entry: &Entry, before: &[Located], slips: &[Slip]) -> bool {
    let edits = together(slips);
    let after = view.findings(&view.try_out(applied(&entry.file, &edits)));
    let wrong = |of: &[Located]| of.iter().filter(|found| is_unreadable(found)).count();
    let mended = slips.iter().filter(|slip| is_unreadable(slip.found));
    wrong(&after) + mended.count() <= wrong(before)
        && slips
            .iter()
            .all(|slip| alike(&after, slip.found) < alike(before, slip.found))
}

/// The edits of several changes, each once.
fn together<'a>(slips: impl IntoIterator<Item = &'a Slip<'a>>) -> Vec<Edit> {
    let mut edits = Vec::new();
    for slip in slips {
        edits.extend(new_of(&slip.proposal, &edits));
    }
    edits
}

/// The edits of a change that are not among others.
fn new_of(proposal: &Proposal, others: &[Edit]) -> Vec<Edit> {
    let edits = proposal.edits.iter();
    let new = edits.filter(|edit| !others.contains(edit));
    new.cloned().collect()
}

/// How many findings say the same as `found`, and are not accepted.
fn alike(findings: &[Located], found: &Located) -> usize {
    let said = |other: &&Located| {
        let (own, other) = (&found.finding, &other.finding);
        other.accepted.is_none() && other.code == own.code && other.message == own.message
    };
    findings.iter().filter(said).count()
}

/// Whether two changes have nothing to do with each other.
fn is_apart(one: &Range<usize>, other: &Range<usize>) -> bool {
    one.end < other.start || other.end < one.start
}

fn proposals(view: &View, entry: &Entry, found: &Located) -> Vec<Proposal> {
    let mut proposals: Vec<Proposal> = computed(entry, found).into_iter().collect();
    proposals.extend(propose::proposals(view, entry, found));
    proposals
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
    if proposal.edits.is_empty() {
        return false;
    }
    let trial = view.try_out(applied(&entry.file, &proposal.edits));
    let mut after = view.findings(&trial);
    let longer = trial.file.text().len() as isize - entry.file.text().len() as isize;
    if let Some(unread) = unread_before(entry, found) {
        let end = unread.end.saturating_add_signed(longer);
        after.retain(|other| !(unread.start..=end).contains(&other.range.start));
    }
    let unreadable = |other: &&Located| {
        let is_gap = other.finding.code == Code::Missing;
        is_unreadable(other) && !(proposal.unfinished && is_gap)
    };
    let count = |of: &[Located], what: &dyn Fn(&&Located) -> bool| of.iter().filter(what).count();
    let (wrong_before, wrong_after) = (count(before, &unreadable), count(&after, &unreadable));
    let reads_better = match proposal.guess {
        true => wrong_after < wrong_before,
        false => wrong_after <= wrong_before,
    };
    reads_better && alike(&after, found) < alike(before, found)
}

/// What stands inside a statement whose word, or kind, means nothing. It is checked only
/// once that is right, so what is wrong with it must not count against mending it.
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
    (is_word && found.finding.code == Code::UnknownWord).then(|| in_file(start, inside))
}

/// Whether something cannot be read, or means nothing; a name is read whatever it stands for.
fn is_unreadable(found: &Located) -> bool {
    let code = found.finding.code;
    code.family() == Code::Syntax.family() && code != Code::UnknownName
}

/// The edit that replaces a span of an item which starts at `start`.
fn edit(start: usize, span: Span, text: impl Into<String>) -> Edit {
    Edit {
        range: in_file(start, span),
        text: text.into(),
    }
}
