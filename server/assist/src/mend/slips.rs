//! All slips of a file mended at once.

use bellwire_plan::workspace::{Entry, Located, View};
use rustc_hash::FxHashSet;

use super::trial::{Trial, is_unreadable};
use super::{Proposal, proposals};
use crate::edit::{Edit, applied, followed_by};

/// How often is looked again for what only shows once the slips before it are mended.
const MOST_ROUNDS: usize = 4;

/// How often changes are tried out in a round. Each time the whole file is worked out, so large
/// files get fewer; what is still open then is not mended with the others.
fn most_trials(entry: &Entry) -> usize {
    (300_000 / entry.file.text().lines().max(1)).clamp(16, 512)
}

/// All slips of a file mended at once: misspelt words, missing commas, colons
/// and `use` lines, and whatever else is plainly meant; nothing that a designer
/// would have to decide. What is inside a statement whose word is misspelt can be
/// read only once the word is right, so this looks again then. `None` without slips.
pub fn mend_slips(view: &View, entry: &Entry) -> Option<Vec<Edit>> {
    let mut all = mend_visible(view, entry)?;
    for _ in 1..MOST_ROUNDS {
        let mended = view.try_out(applied(&entry.file, &all));
        let Some(more) = mend_visible(view, &mended) else {
            break;
        };
        all = followed_by(&entry.file, &all, &more);
    }
    Some(all)
}

fn mend_visible(view: &View, entry: &Entry) -> Option<Vec<Edit>> {
    let trial = Trial::new(view, entry);
    let mut slips: Vec<Slip> = Vec::new();
    for found in trial.open() {
        let mut proposals = proposals(view, entry, found).into_iter();
        let slip = proposals.find(|proposal| proposal.slip);
        let slip = slip.map(|proposal| Slip { found, proposal });
        slips.extend(slip.filter(|slip| slips.iter().all(|other| slip.goes_with(other))));
    }
    drop_needless(&trial, &mut slips);
    let held = held(&trial, &slips, &mut most_trials(entry));
    let edits = together(held.iter().copied());
    let after = trial.after(&edits);
    let is_gone = trial.is_gone(&after);
    let all_gone = !edits.is_empty() && held.iter().all(|slip| is_gone(slip.found));
    all_gone.then_some(edits)
}

/// A slip, with the change that mends it.
struct Slip<'a> {
    found: &'a Located,
    proposal: Proposal,
}

impl Slip<'_> {
    /// Whether two changes can both be made: each edit of one is one of the other's too, such
    /// as a `use` that both need, or has nothing to do with those.
    fn goes_with(&self, other: &Slip) -> bool {
        let fits = |one: &Edit, other: &Edit| {
            let (a, b) = (&one.range, &other.range);
            one == other || a.end < b.start || b.end < a.start
        };
        let mut own = self.proposal.edits.iter();
        own.all(|one| other.proposal.edits.iter().all(|other| fits(one, other)))
    }
}

/// Drops what need not be added once the other slips are mended: `import "x"` becomes the `use`
/// that a model further down lacks.
fn drop_needless(trial: &Trial, slips: &mut Vec<Slip>) {
    let adds = |slip: &&Slip| slip.proposal.adds;
    if !slips.iter().any(|slip| adds(&slip)) || slips.iter().all(|slip| adds(&slip)) {
        return;
    }
    let others = slips.iter().filter(|slip| !adds(slip));
    let after = trial.after(&together(others));
    let is_gone = trial.is_gone(&after);
    slips.retain(|slip| !slip.proposal.adds || !is_gone(slip.found));
}

/// The slips whose changes hold. To try one out is to work the whole site out, so all are tried
/// at once, and the halves only where that is not plainly right.
/// `left` is how often more may be tried.
fn held<'a>(trial: &Trial, slips: &'a [Slip<'a>], left: &mut usize) -> Vec<&'a Slip<'a>> {
    if slips.is_empty() || *left == 0 {
        return Vec::new();
    }
    *left -= 1;
    match slips {
        [slip] => {
            let holds = trial.holds(slip.found, &slip.proposal);
            holds.then_some(slip).into_iter().collect()
        }
        _ if hold_together(trial, slips) => slips.iter().collect(),
        _ => {
            let (first, rest) = slips.split_at(slips.len() / 2);
            let mut all = held(trial, first, left);
            all.extend(held(trial, rest, left));
            all
        }
    }
}

/// Whether several changes mend what each is for, and nothing new is unreadable.
fn hold_together(trial: &Trial, slips: &[Slip]) -> bool {
    let after = trial.after(&together(slips));
    let wrong = |of: &[Located]| of.iter().filter(|found| is_unreadable(found)).count();
    let mended = slips.iter().filter(|slip| is_unreadable(slip.found));
    let is_gone = trial.is_gone(&after);
    wrong(&after) + mended.count() <= wrong(&trial.before)
        && slips.iter().all(|slip| is_gone(slip.found))
}

/// The edits of several changes, each once.
fn together<'a>(slips: impl IntoIterator<Item = &'a Slip<'a>>) -> Vec<Edit> {
    let mut known = FxHashSet::default();
    let edits = slips.into_iter().flat_map(|slip| &slip.proposal.edits);
    let edits = edits.filter(|edit| known.insert(*edit));
    edits.cloned().collect()
}
