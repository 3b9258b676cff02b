//! Cables that could be laid instead of those that are there.

use std::sync::Arc;

use bellwire_circuit::{Metal, Size};

use crate::checks::Given;
use crate::figures::{Figures, above, ohms_per_metre};
use crate::finding::Mend;
use crate::model::{CableModel, ModelData, Run, RunId};
use crate::sentence::list;
use crate::source::Item;

/// A cable that could be laid instead.
pub(super) struct Candidate<'a> {
    pub item: &'a Arc<Item>,
    pub cable: &'a CableModel,
    pub ohms_per_metre: f64,
    /// Whether it is made as the run's is, so that whoever lays one has the other.
    own_family: bool,
}

/// The most cores that any path of a run takes, with the run doubled or not.
pub(super) fn cores_needed(figures: &Figures, run: RunId, doubled: bool) -> u32 {
    let paths = figures.paths_of(run).iter();
    let cores = paths.map(|path| path.cores_if(doubled));
    cores.max().unwrap_or(0)
}

/// A cable as one that could be laid instead of the one that is there `now`: with enough
/// cores, and of a metal that is no poorer. A cable that was measured is there, not for sale.
fn candidate<'a>(
    item: &'a Arc<Item>,
    cores: u32,
    now: Option<&CableModel>,
    celsius: Option<f64>,
) -> Option<Candidate<'a>> {
    let ModelData::Cable(cable) = &item.model()?.data else {
        return None;
    };
    let fits = cable.cores.is_some_and(|own| own >= cores)
        && cable.resistance.is_none()
        && no_poorer(cable.metal, metal(now));
    Some(Candidate {
        item,
        cable,
        ohms_per_metre: ohms_per_metre(cable, celsius).filter(|_| fits)?,
        own_family: now.is_none_or(|now| is_of_family(cable, now)),
    })
}

/// Whether two cables differ in size alone: of one metal, both stranded or both solid, both
/// sold by gauge or both by area.
fn is_of_family(cable: &CableModel, other: &CableModel) -> bool {
    let is_gauge = |cable: &CableModel| Some(matches!(cable.conductor?, Size::Awg(_)));
    let gauges = is_gauge(cable).zip(is_gauge(other));
    cable.metal == other.metal
        && (cable.strands > 1) == (other.strands > 1)
        && gauges.is_none_or(|(own, other)| own == other)
}

/// Cables of the run's own family, and others, each in their order.
pub(super) fn by_family(all: Vec<Candidate>) -> (Vec<Candidate>, Vec<Candidate>) {
    all.into_iter().partition(|candidate| candidate.own_family)
}

/// Cables with enough cores and less resistance than the run's, the thinnest first and, of one
/// size, the one with the fewest cores that leaves the run its spare ones.
pub(super) fn candidates<'a>(
    cables: &'a [Arc<Item>],
    run: &Run,
    cores: u32,
    celsius: Option<f64>,
) -> Vec<Candidate<'a>> {
    let now = run.cable();
    let ohms_now = now
        .and_then(|cable| ohms_per_metre(cable, celsius))
        .unwrap_or(f64::INFINITY);
    let mut candidates: Vec<Candidate> = cables
        .iter()
        .filter_map(|item| candidate(item, cores, now, celsius))
        .filter(|candidate| candidate.ohms_per_metre < ohms_now)
        .collect();
    let cores_now = now.and_then(|cable| cable.cores);
    let by_cores = |cable: &CableModel| (cable.cores < cores_now, cable.cores);
    candidates.sort_by(|a, b| {
        let thinner = b.ohms_per_metre.total_cmp(&a.ohms_per_metre);
        thinner.then(by_cores(a.cable).cmp(&by_cores(b.cable)))
    });
    candidates
}

/// The metal of a cable; of one that is not known, that of most.
pub(super) fn metal(cable: Option<&CableModel>) -> Metal {
    cable.map_or(Metal::Copper, |cable| cable.metal)
}

/// Whether a metal conducts as well as another, or better.
pub(super) fn no_poorer(metal: Metal, than: Metal) -> bool {
    let rank = |metal: Metal| match metal {
        Metal::Copper => 0,
        Metal::TinnedCopper => 1,
        Metal::CopperCladAluminium => 2,
    };
    rank(metal) <= rank(than)
}

/// Another cable for runs.
pub(super) fn exchange(runs: &[&Run], cable: &Arc<Item>) -> Option<Mend> {
    let name = cable.name()?;
    let edit = |run: &&Run| Some((run.cable_name.as_ref()?.span, name.to_string()));
    Some(Mend {
        title: format!("Use {name} for {}", named(runs)),
        edits: runs.iter().map(edit).collect::<Option<_>>()?,
    })
}

/// The cable with the fewest cores, no fewer than `cores`, that resists no
/// more than the run's; of its own family if there is one.
pub(in crate::checks) fn more_cores(
    run: &Run,
    cores: u32,
    celsius: Option<f64>,
    given: &Given,
) -> Option<Mend> {
    let now = run.cable()?;
    let ohms_now = ohms_per_metre(now, celsius).unwrap_or(f64::INFINITY);
    let cables = given.cables();
    let found = cables
        .iter()
        .filter_map(|item| candidate(item, cores, Some(now), celsius))
        .filter(|candidate| !above(candidate.ohms_per_metre, ohms_now))
        .min_by(|a, b| {
            let family = b.own_family.cmp(&a.own_family);
            let cores = family.then(a.cable.cores.cmp(&b.cable.cores));
            cores.then(b.ohms_per_metre.total_cmp(&a.ohms_per_metre))
        })?;
    exchange(&[run], found.item)
}

/// A cable by the size of its conductors and its name:
/// `0.5 mm² cable (copper-4x0-5mm2)`.
pub(super) fn called(candidate: &Candidate) -> String {
    let cable = candidate.cable;
    let metal = match cable.metal {
        Metal::Copper => "",
        Metal::TinnedCopper => " tinned",
        Metal::CopperCladAluminium => " copper-clad",
    };
    let size = match cable.conductor {
        Some(Size::Awg(gauge)) => format!("{gauge} AWG{metal} cable"),
        Some(Size::SquareMillimetres(area)) => format!("{area} mm²{metal} cable"),
        None => "thicker cable".to_string(),
    };
    match candidate.item.name() {
        Some(name) => format!("{size} ({name})"),
        None => size,
    }
}

/// Runs by name, or how many.
pub(super) fn named(runs: &[&Run]) -> String {
    match runs {
        [_, _, _, _, ..] => format!("{} runs on the way", runs.len()),
        few => {
            let names: Vec<&str> = few.iter().map(|run| run.name.value.as_str()).collect();
            list(&names)
        }
    }
}
