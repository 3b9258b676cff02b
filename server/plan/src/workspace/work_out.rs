//! Working a file out: its items each by itself, then side by side.

use std::sync::{Arc, LazyLock};

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::batch::Batch;
use super::entry::Entry;
use super::evaluate::Evaluation;
use super::shared::Shared;
use super::{imports, taken};
use crate::day::Day;
use crate::library::LIBRARY;
use crate::source::{File, Item};

/// Items that an edit makes stale, at most. More than these are worked out on
/// all cores, and nothing is kept of them that can be made again.
const AT_ONCE: usize = 8;

/// The built-in library, worked out once for all workspaces. Whoever asks for it first
/// may be on one of rayon's threads, so this is done on that one alone: a thread that
/// waits for another takes up other work meanwhile, which may ask for the library too.
pub(super) static LIBRARY_ENTRIES: LazyLock<Vec<Arc<Entry>>> = LazyLock::new(|| {
    let nothing = Shared::new(Day::default());
    let work = |file: &Arc<File>| {
        let entry = Entry::new(file.clone(), None);
        let scope = nothing.scope(&entry);
        let items = file.items();
        let evaluations =
            items.map(|(_, item)| Arc::new(Evaluation::new(item, &scope, nothing.today)));
        let mut entry = entry.with(evaluations.collect(), scope.fingerprint());
        entry.findings = taken::check(&entry, &nothing);
        Arc::new(entry)
    };
    LIBRARY.iter().map(work).collect()
});

/// A file, worked out. What still holds is kept.
pub(super) fn worked_out(entry: &Entry, batch: &Batch, is_used: bool) -> Entry {
    let mut entry = evaluated(entry, batch.shared);
    let mut findings = imports::check(&entry, batch, is_used);
    findings.extend(taken::check(&entry, batch.shared));
    entry.findings = findings;
    entry
}

/// A file with its items worked out, each by itself. What still holds is kept.
pub(super) fn evaluated(entry: &Entry, shared: &Shared) -> Entry {
    let scope = shared.scope(entry);
    let same_scope = scope.fingerprint() == entry.fingerprint;
    let known: FxHashMap<u64, &Arc<Evaluation>> = entry
        .evaluations
        .iter()
        .map(|evaluation| (evaluation.item.id, evaluation))
        .collect();
    let holds =
        |evaluation: &&Arc<Evaluation>| same_scope || evaluation.facts().lookups.still_hold(&scope);
    let items: Vec<(&Arc<Item>, Option<&Arc<Evaluation>>)> = entry
        .file
        .items()
        .map(|(_, item)| (item, known.get(&item.id).copied().filter(holds)))
        .collect();
    let anew = |item: &Arc<Item>| Evaluation::new(item, &scope, shared.today);
    let stale = items.iter().filter(|(_, known)| known.is_none()).count();
    let evaluations: Vec<Arc<Evaluation>> = if stale > AT_ONCE {
        // Nobody looks at all of these soon.
        let work = |(item, known): &(&Arc<Item>, Option<&Arc<Evaluation>>)| match known {
            Some(known) => (*known).clone(),
            None => Arc::new(anew(item).at_rest((*item).clone())),
        };
        items.par_iter().map(work).collect()
    } else {
        let work = |(item, known): (_, Option<&Arc<Evaluation>>)| match known {
            Some(known) => known.clone(),
            None => Arc::new(anew(item)),
        };
        items.into_iter().map(work).collect()
    };
    entry.with(evaluations, scope.fingerprint())
}
