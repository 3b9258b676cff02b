//! The cable of each bus, and its places.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};
use std::sync::Arc;

use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::PathFigures;
use super::Together;
use super::network::{Graph, Leg};
use crate::model::{
    At, BusBlock, BusId, BusModel, Counts, DeviceId, Place, Site, Terminal, Version,
};
use crate::source::Span;
use crate::vocabulary::Kind;

/// A bus and its places.
#[derive(Debug, Clone, PartialEq)]
pub struct BusFigures {
    /// Where the plan has it.
    pub block: BusBlock,
    /// Whether all legs of its cable have a length. If not, there is more of it than the
    /// lengths below tell.
    pub whole: bool,
    /// All cable on it, metres.
    pub metres: f64,
    /// The route to the farthest device, metres.
    pub longest: f64,
    /// Of all its cable, farads; only cables that give it count.
    pub farads: f64,
    /// Who has which address: mostly one; each in the order of the plan.
    pub taken: Arc<BTreeMap<u32, Holders>>,
    /// Where the cable ends, in the order of the plan; only of a bus whose ends
    /// take a resistor.
    pub ends: Arc<[Terminal]>,
    /// What its devices weigh together, in unit loads, if that can be read.
    pub unit_loads: Option<f64>,
    /// The addresses that are left for each kind that the bus has places for;
    /// for each kind that is on it, if the model says nothing of places. Never
    /// more than [`MOST_FREE`] of a kind.
    pub free: Arc<[(&'static Kind, Vec<u32>)]>,
}

/// The devices that have one address.
pub type Holders = SmallVec<[DeviceId; 1]>;

/// How many free addresses of a kind are listed at most.
pub const MOST_FREE: usize = 1024;

pub(super) fn buses(site: &Site, graph: &Graph, paths: &[PathFigures]) -> Vec<BusFigures> {
    let cables = cables(graph, paths);
    let mut figures: Vec<BusFigures> = Vec::new();
    let mut first: FxHashMap<BusId, usize> = FxHashMap::default();
    for (block, bus) in site.buses() {
        let Some(id) = site.bus_id(block) else {
            continue;
        };
        let Some((_, model)) = site.model_bus(id) else {
            continue;
        };
        let unit_loads = unit_loads(site, &bus.devices);
        // A bus that stands there again has the same cable and addresses.
        let known = *first.entry(id).or_insert(figures.len());
        if let Some(known) = figures.get(known) {
            figures.push(BusFigures {
                block,
                unit_loads,
                ..known.clone()
            });
            continue;
        }
        let from = Terminal::Bus(id);
        let legs = cables.get(&id).map_or(&[][..], Vec::as_slice);
        let (taken, kinds) = taken(site, id);
        figures.push(BusFigures {
            block,
            whole: legs.iter().all(|leg| leg.metres.is_some()),
            metres: total(legs.iter().filter_map(|leg| leg.metres)),
            longest: longest(site, from, legs),
            farads: total(legs.iter().filter_map(|leg| farads(site, leg))),
            ends: match model.terminated {
                Some(_) => ends(site, from, legs).into(),
                None => Arc::default(),
            },
            unit_loads,
            free: free(model, &taken, &kinds).into(),
            taken: Arc::new(taken),
        });
    }
    figures
}

/// The legs that carry each bus's data.
fn cables<'a>(graph: &'a Graph, paths: &[PathFigures]) -> FxHashMap<BusId, Vec<&'a Leg>> {
    let mut cables: FxHashMap<BusId, Vec<&Leg>> = FxHashMap::default();
    for path in paths {
        for bus in &path.carries.data {
            cables.entry(*bus).or_default().extend(graph.legs_of(path));
        }
    }
    cables
}

fn farads(site: &Site, leg: &Leg) -> Option<f64> {
    let cable = site.runs.get(leg.run)?.cable()?;
    Some(cable.capacitance? * leg.metres?)
}

/// The addresses that are taken on a bus and by whom, and the kinds on it.
fn taken(site: &Site, id: BusId) -> (BTreeMap<u32, Holders>, Vec<&'static Kind>) {
    let mut taken: BTreeMap<u32, Holders> = BTreeMap::new();
    let mut kinds: Vec<&'static Kind> = Vec::new();
    let mut note = |kind: &'static Kind| {
        if !kinds.iter().any(|known| known.name == kind.name) {
            kinds.push(kind);
        }
    };
    let buses = site.units.get(id.unit).map_or(&[][..], |unit| &unit.buses);
    let devices = buses
        .iter()
        .filter(|bus| bus.model == Some(id.index))
        .flat_map(|bus| &bus.devices);
    for &id in devices {
        let Some(device) = site.devices.get(id) else {
            continue;
        };
        note(device.kind);
        if let Some(address) = device.address {
            taken.entry(address.value).or_default().push(id);
        }
        for also in &device.also {
            note(also.kind);
            if let Place::Address(address) = also.place {
                taken.entry(address.value).or_default().push(id);
            }
        }
    }
    (taken, kinds)
}

fn free(
    model: &BusModel,
    taken: &BTreeMap<u32, Holders>,
    kinds: &[&'static Kind],
) -> Vec<(&'static Kind, Vec<u32>)> {
    let kinds: Vec<&'static Kind> = if model.places.is_empty() {
        kinds.to_vec()
    } else {
        let mut named: Vec<&'static Kind> = Vec::new();
        for (kind, _) in &model.places {
            if !named.iter().any(|known| known.name == kind.value.name) {
                named.push(kind.value);
            }
        }
        named
    };
    let is_taken = |address: u32| taken.contains_key(&address);
    let of_kind = |kind| (kind, free_for(model, kind, is_taken));
    kinds.into_iter().map(of_kind).collect()
}

/// The addresses that a kind may have on a bus and nobody has, in order; of very many
/// the first [`MOST_FREE`] of the plan.
pub fn free_for(model: &BusModel, kind: &Kind, is_taken: impl Fn(u32) -> bool) -> Vec<u32> {
    let mut free: Vec<u32> = places_for(model, kind)
        .into_iter()
        .flat_map(|(first, last)| first..=last)
        .filter(|address| !is_taken(*address))
        .take(MOST_FREE)
        .collect();
    free.sort_unstable();
    free.dedup();
    free
}

/// Whether an address is switched on from the factory at a panel's revision.
pub fn is_enabled(model: &BusModel, revision: Option<&Version>, address: u32) -> bool {
    let mut ranges = model.enabled.iter();
    model.enabled.is_empty()
        || ranges
            .any(|(range, from)| apart(range, address) == 0 && is_reached(from.as_ref(), revision))
}

/// The first revision of a panel from which on an address is switched on from the factory, and
/// where its model says so.
pub fn enabled_from(model: &BusModel, address: u32) -> Option<(&Version, Span)> {
    let ranges = model.enabled.iter();
    ranges
        .filter(|(range, _)| apart(range, address) == 0)
        .filter_map(|(range, from)| Some((from.as_ref()?, range.span)))
        .min_by_key(|(from, _)| *from)
}

/// Where a model says which of the addresses that are switched on at a revision come nearest to
/// one; if it has none at that revision, which come nearest at all.
pub fn enabled_near(model: &BusModel, revision: Option<&Version>, address: u32) -> Option<Span> {
    let ranges = model.enabled.iter();
    let nearest = ranges.min_by_key(|(range, from)| {
        let is_reached = is_reached(from.as_ref(), revision);
        (!is_reached, apart(range, address))
    });
    nearest.map(|(range, _)| range.span)
}

/// Whether a panel's revision, where it says one, is that which something is there from.
fn is_reached(from: Option<&Version>, revision: Option<&Version>) -> bool {
    from.is_none_or(|from| revision.is_some_and(|revision| revision >= from))
}

/// How far an address lies outside a range.
fn apart(range: &At<Counts>, address: u32) -> u32 {
    let (first, last) = range.value;
    first.saturating_sub(address) + address.saturating_sub(last)
}

/// What devices weigh together.
fn unit_loads(site: &Site, devices: &[DeviceId]) -> Option<f64> {
    let devices = devices.iter().filter_map(|&id| site.devices.get(id));
    let weights = devices
        .filter(|device| device.model_name.is_some())
        .map(|device| device.model()?.unit_load);
    let weights: Vec<f64> = weights.collect::<Option<_>>()?;
    Some(total(weights.into_iter()))
}

/// The sum; 0 for nothing, where `sum` gives minus 0.
fn total(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |sum, value| sum + value)
}

/// The points of a bus's cable at which one leg meets no other.
fn ends(site: &Site, panel: Terminal, legs: &[&Leg]) -> Vec<Terminal> {
    let mut met: Vec<(Terminal, usize)> = Vec::new();
    let mut place: FxHashMap<Terminal, usize> = FxHashMap::default();
    let together = Together::of(site, legs.iter().copied());
    for terminal in legs.iter().flat_map(|leg| leg.ends(site, panel)) {
        let terminal = together.place(terminal);
        if terminal == Terminal::Unknown {
            continue;
        }
        let index = *place.entry(terminal).or_insert_with(|| {
            met.push((terminal, 0));
            met.len() - 1
        });
        if let Some((_, count)) = met.get_mut(index) {
            *count += 1;
        }
    }
    let once = met.into_iter().filter(|(_, count)| *count == 1);
    once.map(|(terminal, _)| terminal).collect()
}

/// The addresses that a kind may have on a bus: first and last of each range.
pub fn places_for(model: &BusModel, kind: &Kind) -> Vec<(u32, u32)> {
    let addresses = model.addresses.map(|addresses| addresses.value);
    if model.places.is_empty() {
        return addresses.into_iter().collect();
    }
    let (first, last) = addresses.unwrap_or((0, u32::MAX));
    let own = model
        .places
        .iter()
        .filter(|(counted, _)| counted.value.name == kind.name);
    own.map(|(_, range)| (range.value.0.max(first), range.value.1.min(last)))
        .filter(|(first, last)| first <= last)
        .collect()
}

/// A place that the cable reaches, nearest first.
struct Nearest {
    metres: f64,
    at: usize,
}

impl Ord for Nearest {
    fn cmp(&self, other: &Nearest) -> Ordering {
        other.metres.total_cmp(&self.metres)
    }
}

impl PartialOrd for Nearest {
    fn partial_cmp(&self, other: &Nearest) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Nearest {
    fn eq(&self, other: &Nearest) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Nearest {}

/// The shortest route along the cable to the farthest device, metres.
fn longest(site: &Site, from: Terminal, legs: &[&Leg]) -> f64 {
    let mut number: FxHashMap<Terminal, usize> = FxHashMap::default();
    let mut next: Vec<Vec<(usize, f64)>> = Vec::new();
    let mut devices = Vec::new();
    let mut node = |terminal: Terminal, next: &mut Vec<Vec<(usize, f64)>>| {
        *number.entry(terminal).or_insert_with(|| {
            if matches!(terminal, Terminal::Device(_)) {
                devices.push(next.len());
            }
            next.push(Vec::new());
            next.len() - 1
        })
    };
    let together = Together::of(site, legs.iter().copied());
    let start = node(from, &mut next);
    for leg in legs {
        let ends = leg.ends(site, from).map(|end| together.place(end));
        // What is not named might be anywhere.
        if ends.contains(&Terminal::Unknown) {
            continue;
        }
        let [a, b] = ends.map(|end| node(end, &mut next));
        if let Some(metres) = leg.metres {
            next[a].push((b, metres));
            next[b].push((a, metres));
        }
    }
    let mut shortest: Vec<Option<f64>> = vec![None; next.len()];
    let mut front = BinaryHeap::from([Nearest {
        metres: 0.0,
        at: start,
    }]);
    while let Some(Nearest { metres, at }) = front.pop() {
        if shortest[at].is_some() {
            continue;
        }
        shortest[at] = Some(metres);
        for &(to, leg) in &next[at] {
            front.push(Nearest {
                metres: metres + leg,
                at: to,
            });
        }
    }
    let lengths = devices.iter().filter_map(|&device| shortest[device]);
    lengths.fold(0.0, f64::max)
}
