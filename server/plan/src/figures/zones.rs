//! What the inputs see: the cable of each zone's loop, and the loop on it.
//!
//! A loop runs from the input through its detectors and back, so every leg on
//! the routes from the input to its detectors counts once, out and back. Where
//! cable closes a ring, the route with the fewest legs counts; of several, that which is laid
//! for the loop, and of those the one that resists least.

use bellwire_circuit::detection_loop::{Condition, Contact, Loop, Role, conditions};
use rustc_hash::FxHashMap;

use super::PathFigures;
use super::network::{Graph, Leg};
use super::sorted::with_key;
use super::{ConditionFigures, ConditionKind, LoopContact, Together, above, below};
use crate::model::{At, DeviceId, LoopModel, Meaning, Reads, RunId, Site, Terminal, Zone, ZoneId};

/// A zone and what its input sees.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneFigures {
    /// The zone.
    pub zone: ZoneId,
    /// The cable, out and back; `None` if no cable reaches from the input to all
    /// detectors, or its length is not known.
    pub cable_ohms: Option<f64>,
    /// Detectors that no cable reaches from the input.
    pub unreached: Vec<DeviceId>,
    /// A leg over which cable of the loop comes where it is already.
    pub second_way: Option<LegAt>,
    /// What the input sees in each condition; nothing while the cable, the loop
    /// or a detector's model is not known.
    pub conditions: Vec<ConditionFigures>,
}

/// A leg by its place: of a run, of a path of that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LegAt {
    /// The run.
    pub run: RunId,
    /// Index into the run's paths.
    pub path: usize,
    /// Index into the path's legs.
    pub leg: usize,
}

/// The legs that carry each input's loop.
pub(super) struct Loops<'a> {
    /// By input; those of one in the order of the plan.
    legs: Vec<(Terminal, LoopLeg<'a>)>,
}

#[derive(Clone, Copy)]
struct LoopLeg<'a> {
    leg: &'a Leg,
    /// The leg's ohms are those of doubled cores, which the loop does not have.
    single: bool,
    /// It is laid for the loop, so where it leads to a place that the loop has reached already,
    /// that is a second way.
    laid_for_it: bool,
}

impl LoopLeg<'_> {
    fn ohms(&self) -> Option<f64> {
        match self.single {
            true => Some(self.leg.cable_ohms? * 2.0 + self.leg.joint_ohms?),
            false => self.leg.ohms(),
        }
    }
}

impl<'a> Loops<'a> {
    pub fn new(site: &Site, graph: &'a Graph, paths: &[PathFigures]) -> Loops<'a> {
        let mut legs = Vec::with_capacity(graph.legs.len());
        for path in paths {
            if path.carries.loops.is_empty() {
                continue;
            }
            let run = site.runs.get(path.run);
            let single =
                run.is_some_and(|run| run.doubled.is_some()) && !path.carries.power.is_empty();
            let own = graph.legs_of(path);
            for input in &path.carries.loops {
                let laid_for_it = is_laid_for(site, path, *input);
                legs.extend(own.iter().map(|leg| {
                    let of_loop = LoopLeg {
                        leg,
                        single,
                        laid_for_it,
                    };
                    (*input, of_loop)
                }));
            }
        }
        legs.sort_by_key(|(input, _)| *input);
        Loops { legs }
    }

    fn of(&self, input: Terminal) -> &[(Terminal, LoopLeg<'a>)] {
        with_key(&self.legs, input, |(input, _)| *input)
    }
}

/// Whether a path is there for the loop of an input: it names that, or carries no power that it
/// may be there for instead. One that comes back to the input is a ring, which is meant.
fn is_laid_for(site: &Site, path: &PathFigures, input: Terminal) -> bool {
    let points = site.path(path.run, path.path).map(|path| &path.points[..]);
    let points = points.unwrap_or_default();
    let named = |point: &At<Vec<At<Terminal>>>| point.value.iter().any(|at| at.value == input);
    let is_ring = points.len() > 2
        && [points.first(), points.last()]
            .iter()
            .flatten()
            .all(|end| named(end));
    !is_ring && (path.carries.power.is_empty() || points.iter().any(named))
}

/// A loop of so few legs is followed as quickly as it is looked up.
const FEW_LEGS: usize = 8;

pub(super) fn zones(site: &Site, loops: &Loops) -> Vec<ZoneFigures> {
    let mut figures = Vec::with_capacity(site.zones.len());
    let mut spreads = FxHashMap::default();
    let zones = site.zones.iter().enumerate();
    let known = zones.filter_map(|(id, zone)| {
        let input = zone.input?.value;
        let legs = loops.of(input);
        // An input that several zones have by mistake may have the cable of a whole site.
        let (cable_ohms, unreached, second_way) = match legs.len() {
            ..=FEW_LEGS => reached(zone, legs, &Spread::new(site, input, legs)),
            _ => {
                let spread = spreads.entry(input);
                let spread = spread.or_insert_with(|| Spread::new(site, input, legs));
                reached(zone, legs, spread)
            }
        };
        let conditions = zone
            .loop_model
            .as_ref()
            .zip(cable_ohms)
            .and_then(|(model, ohms)| loop_conditions(site, zone, model, ohms));
        Some(ZoneFigures {
            zone: id,
            cable_ohms,
            unreached,
            second_way,
            conditions: conditions.unwrap_or_default(),
        })
    });
    figures.extend(known);
    figures
}

/// What is known of a zone's cable: its ohms, the detectors that it does not reach, and the leg
/// over which it comes somewhere a second time.
fn reached(
    zone: &Zone,
    legs: &[(Terminal, LoopLeg)],
    spread: &Spread,
) -> (Option<f64>, Vec<DeviceId>, Option<LegAt>) {
    let (ohms, unreached) = cable(zone, legs, spread);
    let second = spread.second_way.and_then(|leg| legs.get(leg));
    let place = second.map(|(_, second)| LegAt {
        run: second.leg.run,
        path: second.leg.path,
        leg: second.leg.leg,
    });
    (ohms, unreached, place)
}

/// The ohms of a zone's cable, and the detectors that it does not reach.
fn cable(
    zone: &Zone,
    legs: &[(Terminal, LoopLeg)],
    spread: &Spread,
) -> (Option<f64>, Vec<DeviceId>) {
    let mut counted = vec![false; legs.len()];
    let mut ohms = Some(0.0);
    let mut unreached = Vec::new();
    for detector in &zone.from {
        let Some(mut by) = spread.to(Terminal::Device(detector.value)) else {
            unreached.push(detector.value);
            continue;
        };
        while let Some((leg, from)) = by.last {
            match (counted.get_mut(leg), legs.get(leg)) {
                (Some(counted), Some((_, of_loop))) if !*counted => {
                    *counted = true;
                    ohms = ohms.zip(of_loop.ohms()).map(|(sum, ohms)| sum + ohms);
                }
                _ => break,
            }
            let Some(before) = spread.by(from) else { break };
            by = before;
        }
    }
    let known = unreached.is_empty() && !zone.from.is_empty() && !zone.from_unread;
    (ohms.filter(|_| known), unreached)
}

/// How a terminal is reached from an input.
#[derive(Clone, Copy)]
struct Way {
    /// Over which leg, and from which place among the terminals, its other end. None: it is the
    /// input.
    last: Option<(usize, usize)>,
    /// What makes it shorter than another, the first thing first.
    length: Length,
}

/// How many legs, how many of them are not laid for the loop, and the ohms of all, endless while
/// those are not known.
type Length = (usize, usize, f64);

impl Way {
    const START: Way = Way {
        last: None,
        length: (0, 0, 0.0),
    };

    /// On from a place, which is reached over this way.
    fn on(&self, from: usize, leg: usize, of_loop: &LoopLeg) -> Way {
        let (legs, not_laid_for_it, ohms) = self.length;
        Way {
            last: Some((leg, from)),
            length: (
                legs + 1,
                not_laid_for_it + usize::from(!of_loop.laid_for_it),
                ohms + of_loop.ohms().unwrap_or(f64::INFINITY),
            ),
        }
    }
}

/// How each terminal of a loop's cable is reached from its input, over the shortest way, [`Length`].
struct Spread {
    /// The terminals, sorted; each with how it is reached, if it is.
    terminals: Vec<(Terminal, Option<Way>)>,
    together: Together,
    /// The first leg laid for the loop over which no way comes, as others lead where it does.
    second_way: Option<usize>,
}

impl Spread {
    fn new(site: &Site, input: Terminal, legs: &[(Terminal, LoopLeg)]) -> Spread {
        let together = Together::of(site, legs.iter().map(|(_, of_loop)| of_loop.leg));
        // From where, over which leg, to where.
        let mut steps: Vec<(Terminal, usize, Terminal)> = Vec::with_capacity(2 * legs.len());
        for (index, (_, leg)) in legs.iter().enumerate() {
            let ends = leg.leg.ends(site, input);
            let [from, to] = ends.map(|end| together.place(end));
            steps.extend([(from, index, to), (to, index, from)]);
        }
        steps.sort_by_key(|(from, index, _)| (*from, *index));
        let mut terminals: Vec<_> = steps.iter().map(|(from, ..)| (*from, None)).collect();
        terminals.dedup_by_key(|(terminal, _)| *terminal);
        let mut spread = Spread {
            terminals,
            together,
            second_way: None,
        };
        let mut front = Vec::with_capacity(spread.terminals.len());
        front.extend(spread.reach(input, Way::START));
        let mut next = 0;
        while let Some(&from) = front.get(next) {
            next += 1;
            let Some((at, Some(way))) = spread.terminals.get(from).copied() else {
                continue;
            };
            for &(_, leg, to) in with_key(&steps, at, |(from, ..)| *from) {
                let Some((_, of_loop)) = legs.get(leg).filter(|_| to != Terminal::Unknown) else {
                    continue;
                };
                front.extend(spread.reach(to, way.on(from, leg, of_loop)));
            }
        }
        // Without a ring there is a leg less than there are places.
        if legs.len() >= front.len() {
            spread.second_way = spread.second_way(legs, &steps, &front);
        }
        spread
    }

    /// Looks along the places in the order in which they were reached.
    fn second_way(
        &self,
        legs: &[(Terminal, LoopLeg)],
        steps: &[(Terminal, usize, Terminal)],
        front: &[usize],
    ) -> Option<usize> {
        let from = front.iter().filter_map(|&place| self.terminals.get(place));
        let mut steps = from.flat_map(|(at, _)| with_key(steps, *at, |(from, ..)| *from));
        let is_second = |(from, leg, to): &&(Terminal, usize, Terminal)| {
            let laid_for_it = legs.get(*leg).is_some_and(|(_, leg)| leg.laid_for_it);
            let known = from != to && *to != Terminal::Unknown;
            let came_over = |end: &Terminal| {
                let last = self.place(*end).and_then(|end| self.by(end)?.last);
                last.is_some_and(|(last, _)| last == *leg)
            };
            laid_for_it && known && !came_over(from) && !came_over(to)
        };
        steps.find(is_second).map(|(_, leg, _)| *leg)
    }

    fn place(&self, terminal: Terminal) -> Option<usize> {
        let found = self
            .terminals
            .binary_search_by_key(&terminal, |(at, _)| *at);
        found.ok()
    }

    /// Notes a way to a terminal, if it is the shortest so far; gives its place if it is the first.
    /// As ways of fewer legs come first, the shortest is known before any goes on from there.
    fn reach(&mut self, terminal: Terminal, way: Way) -> Option<usize> {
        let place = self.place(terminal)?;
        let (_, by) = self.terminals.get_mut(place)?;
        let before = by.map(|by| by.length);
        if before.is_none_or(|before| way.length < before) {
            *by = Some(way);
        }
        before.is_none().then_some(place)
    }

    /// How a terminal is reached, by its place.
    fn by(&self, place: usize) -> Option<Way> {
        self.terminals.get(place)?.1
    }

    /// How a terminal is reached, or what stands for it.
    fn to(&self, terminal: Terminal) -> Option<Way> {
        self.by(self.place(self.together.place(terminal))?)
    }
}

/// What the input of a zone sees with a loop of that model on so much cable;
/// `None` while a detector's model or part of the loop's is not known.
pub fn loop_conditions(
    site: &Site,
    zone: &Zone,
    model: &LoopModel,
    cable_ohms: f64,
) -> Option<Vec<ConditionFigures>> {
    let (contacts, kinds) = contacts(site, zone)?;
    let sound = |ohms: f64| ohms.is_finite() && ohms >= 0.0;
    let [end, contact_resistor] = [model.end, model.contact].map(|at| Some(at?.value));
    let values = [end, contact_resistor, Some(cable_ohms)];
    if !model.complete
        || !values.into_iter().flatten().all(sound)
        || !(0.0..1.0).contains(&model.tolerance())
    {
        return None;
    }
    let wired = Loop {
        end,
        contact_resistor,
        tolerance: model.tolerance(),
        cable_ohms,
        contacts,
    };
    let kind = |condition: Condition| match condition {
        Condition::Normal => Some(ConditionKind::Normal),
        Condition::Short => Some(ConditionKind::Short),
        Condition::Cut => Some(ConditionKind::Cut),
        Condition::AllAlarms => Some(ConditionKind::AllAlarms),
        Condition::Actuated(contact) => kinds.get(contact).copied(),
    };
    let readings = conditions(&wired);
    let mut figures = Vec::with_capacity(readings.len());
    for reading in readings {
        figures.push(ConditionFigures {
            kind: kind(reading.condition)?,
            least: reading.least,
            most: reading.most,
            reads: reads(model, reading.least, reading.most),
        });
    }
    Some(figures)
}

/// The contacts on a zone's loop, and what it is when each is actuated. `None` while a
/// detector's model is not known.
fn contacts(site: &Site, zone: &Zone) -> Option<(Vec<Contact>, Vec<ConditionKind>)> {
    // Most detectors have a contact of each role.
    let mut contacts = Vec::with_capacity(2 * zone.from.len());
    let mut kinds = Vec::with_capacity(2 * zone.from.len());
    for detector in &zone.from {
        let detector = detector.value;
        let model = site.devices.get(detector)?.model();
        let model = model.filter(|model| !model.contacts_unread)?;
        let (mut alarms, mut tampers) = (0, 0);
        for contact in &model.contacts {
            let (role, number) = match contact.tamper {
                true => (Role::Tamper, &mut tampers),
                false => (Role::Alarm, &mut alarms),
            };
            *number += 1;
            let actuated = LoopContact {
                detector,
                number: *number,
            };
            kinds.push(match role {
                Role::Tamper => ConditionKind::Tamper(actuated),
                Role::Alarm => ConditionKind::Alarm(actuated),
            });
            contacts.push(Contact {
                role,
                closed: contact.closed,
                ohms: contact.ohms,
            });
        }
    }
    Some((contacts, kinds))
}

/// What the one window means that holds all of `least` to `most`.
fn reads(model: &LoopModel, least: f64, most: f64) -> Option<Meaning> {
    let mut holding = holding(model, least, most);
    let first = holding.next()?;
    let alone = holding.all(|other| other.means == first.means);
    alone.then_some(first.means)
}

/// Whether what the input sees in a condition means two things, by windows that overlap.
pub fn is_contradictory(model: &LoopModel, condition: &ConditionFigures) -> bool {
    let all = || holding(model, condition.least, condition.most);
    all().any(|one| all().any(|other| one.contradicts(other)))
}

fn holding(model: &LoopModel, least: f64, most: f64) -> impl Iterator<Item = &Reads> {
    let windows = model.reads.iter();
    windows.filter(move |window| !below(least, window.from) && !above(most, window.to))
}
