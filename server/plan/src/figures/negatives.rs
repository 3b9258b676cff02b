//! Cores between the negatives of units, in runs that carry no power: a path from terminals
//! of one unit to those of another, or several that meet in joints.

use bellwire_circuit::DisjointSets;

use crate::model::{At, BusId, OutputId, Path, Site, Terminal, UnitId};

/// Whether a path, if its run carries no power, is a core between the negatives of
/// units: it names terminals of several, and nothing else but joints on the way. In a
/// joint, data that comes from a bus may go on elsewhere, so that is more than a core.
pub(crate) fn is_negative_core(path: &Path) -> bool {
    let of_bus = |at: &At<Terminal>| matches!(at.value, Terminal::Bus(..));
    let from_bus = path.terminals().any(of_bus);
    let else_named = |at: &At<Terminal>| match at.value {
        // What is misspelt may be a unit's too.
        Terminal::Unknown => false,
        Terminal::Joint(_) => from_bus,
        _ => unit(at).is_none(),
    };
    let mut units = path.terminals().filter_map(unit);
    let first = units.next();
    units.any(|unit| Some(unit) != first) && !path.terminals().any(else_named)
}

/// The units between whose negatives a core goes along in a cable with data: those of the outputs
/// that a path names beside something else, `main.keys + main.aux --60 m-- a + psu1.out`.
pub(crate) fn along_with_data(path: &Path) -> impl Iterator<Item = UnitId> {
    let beside = path.points.iter().filter(|point| point.value.len() > 1);
    let named = beside.flat_map(|point| &point.value);
    named.filter_map(|at| match at.value {
        Terminal::Output(output) => Some(output.unit),
        _ => None,
    })
}

/// Whether such a core goes along with a path that is more than a core.
pub(super) fn has_negative_core(path: &Path) -> bool {
    let mut units = along_with_data(path);
    let first = units.next();
    units.any(|unit| Some(unit) != first) && !is_negative_core(path)
}

/// The negatives of a site, each a unit's or a joint's, and which of them are one.
pub(crate) struct Negatives {
    units: usize,
    /// The units, and behind them the joints.
    sets: DisjointSets,
}

impl Negatives {
    /// Each by itself.
    pub fn apart(site: &Site) -> Negatives {
        Negatives {
            units: site.units.len(),
            sets: DisjointSets::new(site.units.len() + site.joints.len()),
        }
    }

    /// Makes those of some units one.
    pub fn join(&mut self, units: impl IntoIterator<Item = UnitId>) {
        self.join_all(units.into_iter());
    }

    /// Makes those one that a path names.
    pub fn join_by(&mut self, path: &Path) {
        let units = self.units;
        self.join_all(path.terminals().filter_map(|at| match at.value {
            Terminal::Joint(joint) => Some(units + joint),
            _ => unit(at),
        }));
    }

    fn join_all(&mut self, mut negatives: impl Iterator<Item = usize>) {
        if let Some(first) = negatives.next() {
            negatives.for_each(|other| self.sets.join(first, other));
        }
    }

    /// What stands for all that are one with a unit's.
    pub fn of(&mut self, unit: UnitId) -> usize {
        self.sets.root(unit)
    }
}

/// Which of a site's paths are cores between negatives.
pub(super) struct Cores<'a> {
    site: &'a Site,
    /// How many units have each unit's negative: few sites need to know.
    together: Option<Vec<usize>>,
}

impl<'a> Cores<'a> {
    pub fn new(site: &'a Site) -> Cores<'a> {
        Cores {
            site,
            together: None,
        }
    }

    /// Whether a path of a run that carries no power is one, or a part of one.
    pub fn has(&mut self, path: &Path) -> bool {
        if is_negative_core(path) {
            return true;
        }
        let Some(unit) = path.terminals().find_map(unit).filter(|_| is_part(path)) else {
            return false;
        };
        let site = self.site;
        let together = self.together.get_or_insert_with(|| together(site));
        together.get(unit).is_some_and(|count| *count > 1)
    }
}

/// Whether a path may be part of a core: it leads from an output to a joint.
fn is_part(path: &Path) -> bool {
    let is_joint = |at: &At<Terminal>| matches!(at.value, Terminal::Joint(_));
    let fits = |at: &At<Terminal>| is_joint(at) || matches!(at.value, Terminal::Output(..));
    path.terminals().all(fits) && path.terminals().any(is_joint)
}

/// For each unit, how many have its negative over cores in runs that carry no power.
fn together(site: &Site) -> Vec<usize> {
    let mut negatives = Negatives::apart(site);
    let runs = site.runs.iter().filter(|run| run.data_only);
    for path in runs.flat_map(|run| &run.paths) {
        if is_part(path) || is_negative_core(path) {
            negatives.join_by(path);
        }
    }
    let roots: Vec<usize> = (0..site.units.len())
        .map(|unit| negatives.of(unit))
        .collect();
    let mut counts = vec![0; negatives.sets.count()];
    for root in &roots {
        counts[*root] += 1;
    }
    roots.into_iter().map(|root| counts[root]).collect()
}

fn unit(at: &At<Terminal>) -> Option<UnitId> {
    match at.value {
        Terminal::Output(OutputId { unit, .. }) | Terminal::Bus(BusId { unit, .. }) => Some(unit),
        _ => None,
    }
}
