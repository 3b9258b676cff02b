//! What the inputs see: the cable of each zone's loop, and the loop on it.
//!
//! A loop runs from the input through its detectors and back, so every leg on
//! the ways from the input to its detectors counts once, out and back. Where
//! cable closes a ring, the way with the fewest legs counts.

use bellwire_circuit::detection_loop::{Condition, Contact, Loop, Role, conditions};
use rustc_hash::FxHashMap;

use super::PathFigures;
use super::network::{Graph, Leg};
use super::{ConditionFigures, ConditionKind, Together, ZoneFigures, above, below};
use crate::model::{DeviceId, LoopModel, Site, Terminal, Zone};

/// The legs that carry each input's loop.
pub(super) struct Ways<'a> {
    legs: FxHashMap<Terminal, Vec<LoopLeg<'a>>>,
}

#[derive(Clone, Copy)]
struct LoopLeg<'a> {
    leg: &'a Leg,
    /// The leg's ohms are those of doubled cores, which the loop does not have.
    single: bool,
}

impl LoopLeg<'_> {
    fn ohms(&self) -> Option<f64> {
        match self.single {
            true => Some(self.leg.cable_ohms? * 2.0 + self.leg.joint_ohms),
            false => self.leg.ohms(),
        }
    }
}

impl<'a> Ways<'a> {
    pub fn new(site: &Site, graph: &'a Graph, paths: &[PathFigures]) -> Ways<'a> {
        let mut legs: FxHashMap<Terminal, Vec<LoopLeg<'a>>> = FxHashMap::default();
        let mut rest = graph.legs.as_slice();
        for path in paths {
            let of_path = |leg: &Leg| (leg.run, leg.path) == (path.run, path.path);
            let count = rest.iter().take_while(|leg| of_path(leg)).count();
            let (own, after) = rest.split_at(count);
            rest = after;
            if path.carries.loops.is_empty() {
                continue;
            }
            let run = site.runs.get(path.run);
            let single =
                run.is_some_and(|run| run.doubled.is_some()) && !path.carries.power.is_empty();
            for input in &path.carries.loops {
                let legs = legs.entry(*input).or_default();
                legs.extend(own.iter().map(|leg| LoopLeg { leg, single }));
            }
        }
        Ways { legs }
    }
}

pub(super) fn zones(site: &Site, ways: &Ways) -> Vec<ZoneFigures> {
    let zones = site.zones.iter().enumerate();
    zones
        .filter_map(|(id, zone)| {
            let input = zone.input?.value;
            let legs = ways.legs.get(&input).map_or(&[][..], Vec::as_slice);
            let (cable_ohms, unreached) = cable(site, zone, input, legs);
            let conditions = zone
                .loop_model
                .as_ref()
                .zip(cable_ohms)
                .and_then(|(model, ohms)| loop_conditions(site, zone, model, ohms));
            Some(ZoneFigures {
                zone: id,
                cable_ohms,
                unreached,
                conditions: conditions.unwrap_or_default(),
            })
        })
        .collect()
}

/// The ohms of a zone's cable, and the detectors that it does not reach.
fn cable(
    site: &Site,
    zone: &Zone,
    input: Terminal,
    legs: &[LoopLeg],
) -> (Option<f64>, Vec<DeviceId>) {
    let together = Together::of(site, legs.iter().map(|leg| leg.leg));
    let came_by = spread(site, input, legs, &together);
    let mut counted = vec![false; legs.len()];
    let mut ohms = Some(0.0);
    let mut unreached = Vec::new();
    for detector in &zone.from {
        let mut at = together.place(Terminal::Device(detector.value));
        if !came_by.contains_key(&at) {
            unreached.push(detector.value);
            continue;
        }
        while let Some(&Some((leg, before))) = came_by.get(&at) {
            match (counted.get_mut(leg), legs.get(leg)) {
                (Some(counted), Some(way)) if !*counted => {
                    *counted = true;
                    ohms = ohms.zip(way.ohms()).map(|(sum, ohms)| sum + ohms);
                }
                _ => break,
            }
            at = before;
        }
    }
    let known = unreached.is_empty() && !zone.from.is_empty();
    (ohms.filter(|_| known), unreached)
}

/// How each terminal is reached from the input: by which leg, from where. The
/// input itself by none.
fn spread(
    site: &Site,
    input: Terminal,
    legs: &[LoopLeg],
    together: &Together,
) -> FxHashMap<Terminal, Option<(usize, Terminal)>> {
    let mut next: FxHashMap<Terminal, Vec<(usize, Terminal)>> = FxHashMap::default();
    for (index, leg) in legs.iter().enumerate() {
        let ends = leg.leg.ends(site, input);
        let [from, to] = ends.map(|end| together.place(end));
        next.entry(from).or_default().push((index, to));
        next.entry(to).or_default().push((index, from));
    }
    let mut came_by = FxHashMap::default();
    let mut front = vec![input];
    came_by.insert(input, None);
    while !front.is_empty() {
        let mut reached = Vec::new();
        for at in front {
            for &(leg, to) in next.get(&at).map_or(&[][..], Vec::as_slice) {
                if to != Terminal::Unknown && !came_by.contains_key(&to) {
                    came_by.insert(to, Some((leg, at)));
                    reached.push(to);
                }
            }
        }
        front = reached;
    }
    came_by
}

/// What the input of a zone sees with a loop of that model on so much cable;
/// `None` while a detector's model or part of the loop's is not known.
pub fn loop_conditions(
    site: &Site,
    zone: &Zone,
    model: &LoopModel,
    cable_ohms: f64,
) -> Option<Vec<ConditionFigures>> {
    let several = zone.from.len() > 1;
    let mut contacts = Vec::new();
    // What each contact's condition is called: `open-alarm`, with the detector's name where there
    // are several; contacts alike on one detector are numbered from the second on.
    let mut keys = Vec::new();
    let mut alike: FxHashMap<(&str, Role), usize> = FxHashMap::default();
    for detector in &zone.from {
        let device = site.devices.get(detector.value)?;
        let model = device.model().filter(|model| !model.contacts_unread)?;
        let name = device.name.value.as_str();
        for contact in &model.contacts {
            let (role, kind, mut key) = match contact.tamper {
                true => (
                    Role::Tamper,
                    ConditionKind::Tamper,
                    "open-tamper".to_string(),
                ),
                false => (Role::Alarm, ConditionKind::Alarm, "open-alarm".to_string()),
            };
            if several {
                key = format!("{key}-{name}");
            }
            let number = alike.entry((name, role)).or_default();
            *number += 1;
            if *number > 1 {
                key = format!("{key}-{number}");
            }
            keys.push((key, kind));
            contacts.push(Contact {
                role,
                closed: contact.closed,
                ohms: contact.ohms,
            });
        }
    }
    let sound = |ohms: f64| ohms.is_finite() && ohms >= 0.0;
    let values = [model.end, model.contact, Some(cable_ohms)];
    if !model.complete
        || !values.into_iter().flatten().all(sound)
        || !(0.0..1.0).contains(&model.tolerance())
    {
        return None;
    }
    let wired = Loop {
        end: model.end,
        contact_resistor: model.contact,
        tolerance: model.tolerance(),
        cable_ohms,
        contacts,
    };
    let called = |condition: &Condition| match condition {
        Condition::Normal => ("normal".to_string(), ConditionKind::Normal),
        Condition::Short => ("short".to_string(), ConditionKind::Short),
        Condition::Cut => ("cut".to_string(), ConditionKind::Cut),
        Condition::Actuated(contacts) => match contacts.as_slice() {
            [only] => keys.get(*only).cloned(),
            _ => None,
        }
        .unwrap_or_else(|| ("open-alarm-all".to_string(), ConditionKind::Alarm)),
    };
    let readings = conditions(&wired).into_iter();
    Some(
        readings
            .map(|reading| {
                let (condition, kind) = called(&reading.condition);
                ConditionFigures {
                    reads: reads(model, reading.least, reading.most).map(str::to_string),
                    condition,
                    least: reading.least,
                    most: reading.most,
                    kind,
                }
            })
            .collect(),
    )
}

/// The one window that holds all of `least` to `most`.
fn reads(model: &LoopModel, least: f64, most: f64) -> Option<&str> {
    let mut holding = model
        .reads
        .iter()
        .filter(|window| !below(least, window.from) && !above(most, window.to));
    let first = holding.next()?;
    let alone = holding.all(|other| other.condition == first.condition);
    alone.then_some(first.condition.as_str())
}
