//! Runs laid anew, for more volts at what hangs on them: with which cables that is tried.

use std::rc::Rc;
use std::sync::Arc;

use super::cable::{
    Candidate, by_family, called, candidates, cores_needed, exchange, metal, named, no_poorer,
};
use crate::figures::{Change, Figures, ohms_per_metre};
use crate::finding::Mend;
use crate::model::{Run, RunId, Site};
use crate::source::{Item, Span};

/// How many runs are laid anew for one device at most: beyond that a supply nearer to it is
/// less work.
const MOST_RUNS: usize = 20;

/// A run that could be laid anew, by itself or with all on the way.
pub(super) struct Relaid<'a> {
    pub site: &'a Site,
    pub figures: &'a Figures,
    pub id: RunId,
    pub run: &'a Run,
    /// All runs on the way to a consumer.
    pub all: Vec<RunId>,
}

/// Runs to lay with another cable, all with the same.
pub(super) struct Way<'c> {
    runs: Vec<RunId>,
    /// Whether their power cores are doubled then.
    doubled: bool,
    /// The cables to try, the thinnest first.
    pub candidates: Vec<Candidate<'c>>,
}

impl Way<'_> {
    /// A cable laid there, in place of what resists more.
    pub fn with(&self, cable: &Candidate, site: &Site) -> Change {
        let celsius = site.warmest();
        let resists_more = |id: &&RunId| {
            let now = site.runs.get(**id).and_then(Run::cable);
            let now = now.and_then(|now| ohms_per_metre(now, celsius));
            now.is_none_or(|now| now > cable.ohms_per_metre)
        };
        let runs: Rc<[RunId]> = match self.runs.as_slice() {
            [one] => [*one].into(),
            all => all.iter().filter(resists_more).copied().collect(),
        };
        Change {
            runs,
            ohms_per_metre: cable.ohms_per_metre,
            doubled: self.doubled,
        }
    }
}

impl Relaid<'_> {
    /// Cables to try for a run, family by family, and whether its power cores are doubled then:
    /// as they are now, and, if they are doubled, not any more, since thick cable has few cores.
    /// Then the same for all runs on the way to a consumer.
    pub fn ways<'c>(&self, cables: &'c [Arc<Item>]) -> Vec<Way<'c>> {
        let (site, id, run) = (self.site, self.id, self.run);
        let doubled: &[bool] = match run.doubled {
            Some(_) => &[true, false],
            None => &[false],
        };
        let mut ways = Vec::new();
        let by_family = |runs: &[RunId], doubled, candidates| {
            let (own, others) = by_family(candidates);
            [own, others].map(|candidates| Way {
                runs: runs.to_vec(),
                doubled,
                candidates,
            })
        };
        let mut of_others = Vec::new();
        for &doubled in doubled {
            let found = self.candidates(cables, doubled);
            let [own, others] = by_family(&[id], doubled, found);
            ways.push(own);
            of_others.push(others);
        }
        ways.append(&mut of_others);
        let mut all = self.all.clone();
        all.retain(|id| site.runs.get(*id).is_some_and(|run| run.doubled.is_none()));
        let needed = |id: &RunId| cores_needed(self.figures, *id, false);
        let (own, most) = (needed(&id), all.iter().map(needed).max());
        let most = most.filter(|most| *most > own);
        // Thick cable has few cores: runs that take more than this one may stay as they are.
        for cores in most.into_iter().chain([own]) {
            let mut runs = all.clone();
            runs.retain(|id| needed(id) <= cores);
            if !(2..=MOST_RUNS).contains(&runs.len()) || !runs.contains(&id) {
                continue;
            }
            let mut found = candidates(cables, run, cores, site.warmest());
            found.retain(|candidate| {
                let mut runs = runs.iter().filter_map(|id| site.runs.get(*id));
                runs.all(|run| no_poorer(candidate.cable.metal, metal(run.cable())))
            });
            ways.extend(by_family(&runs, false, found));
        }
        ways
    }

    /// Cables that lose less than the run's, with its power cores doubled or not.
    fn candidates<'c>(&self, cables: &'c [Arc<Item>], doubled: bool) -> Vec<Candidate<'c>> {
        let run = self.run;
        let celsius = self.site.warmest();
        let cores = cores_needed(self.figures, self.id, doubled);
        let mut found = candidates(cables, run, cores, celsius);
        if run.doubled.is_some() && !doubled {
            // A core alone resists twice what two do.
            if let Some(now) = run.cable().and_then(|cable| ohms_per_metre(cable, celsius)) {
                found.retain(|candidate| 2.0 * candidate.ohms_per_metre < now);
            }
        }
        found
    }
}

/// The runs that a change is made to.
fn runs<'a>(site: &'a Site, change: &Change) -> Vec<&'a Run> {
    let ids = change.runs.iter();
    ids.filter_map(|id| site.runs.get(*id)).collect()
}

/// Whether a change takes a run's doubling away.
fn undoubles(run: &Run, change: &Change) -> bool {
    run.doubled.is_some() && !change.doubled
}

/// A cable laid for runs: `16 AWG cable (copper-4x16AWG) for r, not doubled,`.
pub(super) fn laid(site: &Site, change: &Change, cable: &Candidate) -> String {
    let runs = runs(site, change);
    let undoubled = match runs.iter().any(|run| undoubles(run, change)) {
        true => ", not doubled,",
        false => "",
    };
    format!("{} for {}{undoubled}", called(cable), named(&runs))
}

/// Another cable for runs, and a doubling taken out where it is not doubled any more.
pub(super) fn exchange_for(site: &Site, change: &Change, cable: &Candidate) -> Option<Mend> {
    let runs = runs(site, change);
    let mut mend = exchange(&runs, cable.item)?;
    for run in runs.into_iter().filter(|run| undoubles(run, change)) {
        mend.title += ", not doubled";
        let word = run.doubled?;
        let before = site.item.source().get(..word.start as usize)?;
        let above = before.trim_end();
        // With its comma, or the break before its line.
        let rest = above.strip_suffix(',').map_or(above, str::trim_end);
        let clause = Span::new(rest.len(), word.end as usize);
        mend.edits.push((clause, String::new()));
    }
    Some(mend)
}
