//! Zones: an input of their own that is there, and a cable to it.

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use super::Given;
use super::detectors::has_contact;
use super::loops::Reading;
use super::mend::loops::LoopMender;
use super::mend::moves::Mover;
use crate::figures::{Figures, PathFigures, ZoneFigures};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, InputsModel, Path, Site, Terminal, Zone, ZoneId};
use crate::sentence::{list, list_by};
use crate::source::Item;

/// Checks the zones of a site.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    given: &Given,
    mover: &mut Mover,
    findings: &mut Vec<Finding>,
) {
    let mut taken = Taken::new(site);
    inputs_taken(site, figures, &mut taken, findings);
    no_such_terminals(site, &taken, findings);
    for (id, zone) in site.zones.iter().enumerate() {
        let Some(input) = zone.input else { continue };
        let inputs = Inputs::of(site, input.value);
        let known = inputs
            .as_ref()
            .is_some_and(|inputs| inputs.has(input.value));
        if let Some(inputs) = inputs.as_ref().filter(|_| !known) {
            let other = other_input(site, figures, id, input, &mut taken);
            findings.push(no_such_input(site, zone, input, inputs, other));
            continue;
        }
        if let Some(elsewhere) = of_another_panel(site, zone, input) {
            findings.push(elsewhere);
            continue;
        }
        let Some(own) = figures.zone(id) else {
            continue;
        };
        if let Some(unreached) = unreached(site, zone, input, own) {
            match on_other_cable(site, figures, id, input, &mut taken) {
                OtherCable::None => findings.push(unreached),
                OtherCable::ToldThere => {}
                OtherCable::Found(finding) => findings.push(finding),
            }
        }
        if taken.0.get(&input.value) == Some(&id) {
            findings.extend(second_way(site, input.value, own));
        }
        if let Some(model) = &zone.loop_model {
            let reading = Reading {
                site,
                zone,
                model,
                figures: own,
            };
            let mender = LoopMender {
                id,
                reading: &reading,
                figures,
            };
            findings.extend(reading.check(|| mender.mend(given, mover)));
        }
    }
}

/// The blocks of inputs that an input belongs to, and the model that lists them.
struct Inputs<'a> {
    blocks: &'a [InputsModel],
    item: Option<&'a Arc<Item>>,
}

impl<'a> Inputs<'a> {
    /// `None` if the model is not known.
    fn of(site: &'a Site, input: Terminal) -> Option<Inputs<'a>> {
        match input {
            Terminal::PanelInput(unit, _) => {
                let unit = site.units.get(unit)?;
                Some(Inputs {
                    blocks: &unit.model()?.inputs,
                    item: unit.model_item.as_ref(),
                })
            }
            Terminal::DeviceInput(device, _) => {
                let device = site.devices.get(device)?;
                Some(Inputs {
                    blocks: &device.model()?.inputs,
                    item: device.model_item.as_ref(),
                })
            }
            _ => None,
        }
    }

    fn has(&self, input: Terminal) -> bool {
        let (Terminal::PanelInput(_, number) | Terminal::DeviceInput(_, number)) = input else {
            return false;
        };
        let mut blocks = self.blocks.iter();
        blocks.any(|block| block.has(number))
    }

    /// Which there are: `inputs 1 to 8`.
    fn in_words(&self) -> String {
        let ranges = self.blocks.iter().filter_map(|block| block.range);
        let ranges: Vec<(u32, u32)> = ranges.map(|range| range.value).collect();
        let in_words = |(first, last): &(u32, u32)| match first == last {
            true => format!("{first}"),
            false => format!("{first} to {last}"),
        };
        match ranges.as_slice() {
            [] => "no inputs".to_string(),
            [(first, last)] if first == last => format!("input {first} only"),
            several => format!("inputs {}", list_by(several, in_words)),
        }
    }

    /// A finding with the place that lists them.
    fn shown(&self, finding: Finding) -> Finding {
        let first = self.blocks.iter().find_map(|block| block.range);
        let first = first.map(|range| range.span);
        finding.in_model(self.item, first, "the inputs that there are")
    }
}

/// The same terminals with another number.
fn numbered(input: Terminal, number: u32) -> Terminal {
    match input {
        Terminal::PanelInput(unit, _) => Terminal::PanelInput(unit, number),
        Terminal::DeviceInput(device, _) => Terminal::DeviceInput(device, number),
        other => other,
    }
}

fn no_such_input(
    site: &Site,
    zone: &Zone,
    input: At<Terminal>,
    inputs: &Inputs,
    (hint, mend): (String, Option<Mend>),
) -> Finding {
    let called = site.terminal_name(input.value);
    let owner = called.rsplit_once('.').map_or("", |(owner, _)| owner);
    let message = format!(
        "zone {} is read by {called}, and {owner} has {}.{hint}",
        zone.number.value,
        inputs.in_words()
    );
    let finding = Finding::new(Code::InputMissing, input.span, message).mended_by(mend);
    inputs.shown(finding)
}

/// Inputs that runs name and that are not there; those of zones are told at the zone.
fn no_such_terminals(site: &Site, taken: &Taken, findings: &mut Vec<Finding>) {
    let mut told = FxHashSet::default();
    let paths = site.runs.iter().flat_map(|run| &run.paths);
    for at in paths.flat_map(Path::terminals) {
        let inputs = Inputs::of(site, at.value).filter(|inputs| !inputs.has(at.value));
        let Some(inputs) = inputs.filter(|_| !taken.0.contains_key(&at.value)) else {
            continue;
        };
        if told.insert(at.value) {
            let called = site.terminal_name(at.value);
            let owner = called.rsplit_once('.').map_or("", |(owner, _)| owner);
            let message = format!("there is no {called}: {owner} has {}.", inputs.in_words());
            let finding = Finding::new(Code::InputMissing, at.span, message);
            findings.push(inputs.shown(finding));
        }
    }
}

/// The zone that has each input, or to which it is proposed: no other is then, so that all
/// proposals can be followed.
struct Taken(FxHashMap<Terminal, ZoneId>);

impl Taken {
    fn new(site: &Site) -> Taken {
        let zones = site.zones.iter().enumerate().rev();
        let inputs = zones.filter_map(|(id, zone)| Some((zone.input?.value, id)));
        Taken(inputs.collect())
    }

    /// Whether no other zone has an input.
    fn is_for(&self, input: Terminal, zone: ZoneId) -> bool {
        self.0.get(&input).is_none_or(|has| *has == zone)
    }

    /// Whether a zone can have an input.
    fn give(&mut self, input: Terminal, to: ZoneId) -> bool {
        *self.0.entry(input).or_insert(to) == to
    }
}

/// Another input for a zone, a sentence and the change: that on whose cable its detectors lie,
/// or else the next that is free. None where they lie on that of several.
fn other_input(
    site: &Site,
    figures: &Figures,
    id: ZoneId,
    input: At<Terminal>,
    taken: &mut Taken,
) -> (String, Option<Mend>) {
    let zone = site.zones.get(id);
    let laid = zone.map_or(Vec::new(), |zone| cables_of(site, figures, zone));
    let free = laid.iter().filter(|laid| **laid != input.value);
    let free: Vec<Terminal> = free
        .filter(|laid| taken.is_for(**laid, id))
        .copied()
        .collect();
    let names = |inputs: &[Terminal]| {
        let names = inputs.iter().map(|input| site.terminal_name(*input));
        list(&names.collect::<Vec<_>>())
    };
    match free.as_slice() {
        [laid] => {
            let mend = put_on(site, id, input, *laid, taken);
            let hint = match &mend {
                Some(mend) => format!(" {}, where its cable lies.", mend.title),
                None => format!(" Its cable lies on {}.", names(&free)),
            };
            (hint, mend)
        }
        [_, ..] => {
            let hint = format!(
                " Its cable lies on {}: put it on one of them.",
                names(&free)
            );
            (hint, None)
        }
        [] if !laid.is_empty() && !laid.contains(&input.value) => {
            (format!(" Its cable lies on {}.", names(&laid)), None)
        }
        [] => {
            let mend = next_free(site, id, input, taken);
            let hint = match &mend {
                Some(mend) => format!(" {}.", mend.title),
                None => " No input beside it is free: add an expander.".to_string(),
            };
            (hint, mend)
        }
    }
}

/// Puts a zone on an input that its panel has and no other zone.
fn put_on(
    site: &Site,
    id: ZoneId,
    input: At<Terminal>,
    other: Terminal,
    taken: &mut Taken,
) -> Option<Mend> {
    let zone = site.zones.get(id)?;
    let text = match other {
        Terminal::PanelInput(unit, number) if unit == zone.unit => number.to_string(),
        Terminal::DeviceInput(device, _) => {
            let bus = site.devices.get(device)?.bus?;
            (bus.unit == zone.unit).then(|| site.terminal_name(other))?
        }
        _ => return None,
    };
    let is_there = Inputs::of(site, other)?.has(other);
    (is_there && taken.give(other, id)).then(|| Mend {
        title: format!("Put zone {} on input {text}", zone.number.value),
        edits: vec![(input.span, text)],
    })
}

/// The first input of the same panel or expander that is not taken.
fn next_free(site: &Site, id: ZoneId, input: At<Terminal>, taken: &mut Taken) -> Option<Mend> {
    let zone = site.zones.get(id)?;
    let inputs = Inputs::of(site, input.value)?;
    let number = inputs
        .blocks
        .iter()
        .flat_map(InputsModel::numbers)
        .take(2 * site.zones.len() + 1)
        .find(|number| taken.give(numbered(input.value, *number), id))?;
    let written = site.item.text(input.span);
    let text = match written.rsplit_once('.') {
        Some((owner, _)) => format!("{owner}.{number}"),
        None => number.to_string(),
    };
    Some(Mend {
        title: format!("Put zone {} on input {text}", zone.number.value),
        edits: vec![(input.span, text)],
    })
}

fn inputs_taken(site: &Site, figures: &Figures, taken: &mut Taken, findings: &mut Vec<Finding>) {
    let mut by_input: FxHashMap<Terminal, ZoneId> = FxHashMap::default();
    let mut shared: Vec<(ZoneId, ZoneId)> = Vec::new();
    for (id, zone) in site.zones.iter().enumerate() {
        if let Some(input) = zone.input {
            let first = *by_input.entry(input.value).or_insert(id);
            if first != id {
                shared.push((first, id));
            }
        }
    }
    for (first, second) in shared {
        let lies_there = |id: ZoneId| {
            let zone = site.zones.get(id)?;
            let (laid, input) = (cables_of(site, figures, zone), zone.input?);
            (!laid.is_empty()).then(|| laid.contains(&input.value))
        };
        // The first stays, unless only the second's cable is there.
        let stays = lies_there(first) != Some(false) || lies_there(second) != Some(true);
        for (own, other, moves) in [(first, second, !stays), (second, first, stays)] {
            let taken = moves.then_some(&mut *taken);
            findings.extend(both_on_one(site, figures, own, other, taken));
        }
    }
}

/// Of two zones on one input only one is to move, or they might meet again.
fn both_on_one(
    site: &Site,
    figures: &Figures,
    own: ZoneId,
    other: ZoneId,
    taken: Option<&mut Taken>,
) -> Option<Finding> {
    let (zone, other) = (site.zones.get(own)?, site.zones.get(other)?);
    let (input, elsewhere) = (zone.input?, other.input?);
    let (hint, mend) = taken.map_or((String::new(), None), |taken| {
        other_input(site, figures, own, input, taken)
    });
    let message = format!(
        "zones {} and {} are both read by {}.{hint}",
        zone.number.value,
        other.number.value,
        site.terminal_name(input.value),
    );
    let spot = site.spot(elsewhere.span);
    let related = format!("zone {} has it", other.number.value);
    let finding = Finding::new(Code::InputTaken, input.span, message);
    Some(finding.with(spot, related).mended_by(mend))
}

/// Whether detectors lie on the cable of another input than their zone's.
enum OtherCable {
    /// On none, or not all on one.
    None,
    /// On one that was proposed for it, or on that of another zone, whose own lie on this one's
    /// cable: told there.
    ToldThere,
    /// On one other.
    Found(Finding),
}

/// Whether the detectors of a zone lie on the cable of another input. Of two
/// zones on each other's cable only the first is told.
fn on_other_cable(
    site: &Site,
    figures: &Figures,
    own: ZoneId,
    input: At<Terminal>,
    taken: &mut Taken,
) -> OtherCable {
    let Some(zone) = site.zones.get(own) else {
        return OtherCable::None;
    };
    let [laid] = cables_of(site, figures, zone)[..] else {
        return OtherCable::None;
    };
    if laid != input.value && taken.0.get(&laid) == Some(&own) {
        // It was put there.
        return OtherCable::ToldThere;
    }
    if Inputs::of(site, laid).is_some_and(|inputs| !inputs.has(laid)) {
        // That the cable names no input is told there.
        return OtherCable::ToldThere;
    }
    let called = |terminal| site.terminal_name(terminal);
    let numbers = |other: &Zone| (zone.number.value, other.number.value);
    let mut zones = site.zones.iter().enumerate();
    let other = zones.find(|(_, other)| other.input.is_some_and(|at| at.value == laid));
    let detectors: Vec<&str> = zone
        .from
        .iter()
        .filter_map(|detector| site.devices.get(detector.value))
        .map(|device| device.name.value.as_str())
        .collect();
    let lies = format!(
        "{} on the cable of {}",
        match detectors.as_slice() {
            [one] => format!("{one} lies"),
            several => format!("{} lie", list(several)),
        },
        called(laid)
    );
    let Some((id, other)) = other else {
        let message = format!(
            "{lies}, and zone {} is read by {}: put the zone on that input, or lead the cable to this one.",
            zone.number.value,
            called(input.value),
        );
        let finding = Finding::new(Code::InputMissing, input.span, message);
        return OtherCable::Found(finding.mended_by(put_on(site, own, input, laid, taken)));
    };
    let Some(elsewhere) = other.input else {
        return OtherCable::None;
    };
    if cables_of(site, figures, other) != [input.value] {
        return OtherCable::None;
    }
    if id < own {
        return OtherCable::ToldThere;
    }
    let (first, second) = numbers(other);
    let message = format!(
        "zones {first} and {second} are on each other's cable: {lies}, which zone {second} is read by. Exchange their inputs, or the cables at the terminals."
    );
    let text = |at: At<Terminal>| site.item.text(at.span).to_string();
    let mend = (zone.unit == other.unit).then(|| Mend {
        title: format!("Exchange the inputs of zones {first} and {second}"),
        edits: vec![(input.span, text(elsewhere)), (elsewhere.span, text(input))],
    });
    let finding = Finding::new(Code::InputMissing, input.span, message);
    let spot = site.spot(elsewhere.span);
    OtherCable::Found(finding.with(spot, "the other one").mended_by(mend))
}

/// The inputs on whose cable each of the detectors of a zone lies.
fn cables_of(site: &Site, figures: &Figures, zone: &Zone) -> Vec<Terminal> {
    let mut detectors = zone.from.iter().map(|detector| {
        let named = |path: &&PathFigures| {
            let path = site.path(path.run, path.path);
            let mut all = path.into_iter().flat_map(Path::terminals);
            all.any(|at| at.value == Terminal::Device(detector.value))
        };
        let paths = figures.paths.iter().filter(named);
        let mut inputs: Vec<Terminal> = paths
            .flat_map(|path| path.carries.loops.iter().copied())
            .collect();
        inputs.sort_unstable();
        inputs.dedup();
        inputs
    });
    let mut all = detectors.next().unwrap_or_default();
    for own in detectors {
        all.retain(|input| own.contains(input));
    }
    all
}

/// An input that another panel reads than the one that has the zone: its own, or that of an
/// expander on its bus.
fn of_another_panel(site: &Site, zone: &Zone, input: At<Terminal>) -> Option<Finding> {
    let reads = match input.value {
        Terminal::PanelInput(unit, _) => unit,
        Terminal::DeviceInput(device, _) => site.devices.get(device)?.bus?.unit,
        _ => return None,
    };
    if reads == zone.unit {
        return None;
    }
    let (own, other) = (site.units.get(zone.unit)?, site.units.get(reads)?);
    let message = format!(
        "zone {number} is one of {own}, and {input} is read by {other}: write the zone in {other}, or give it an input of {own}.",
        number = zone.number.value,
        own = own.name.value,
        other = other.name.value,
        input = site.terminal_name(input.value),
    );
    let finding = Finding::new(Code::InputMissing, input.span, message);
    Some(finding.with(site.spot(other.name.span), "the panel that reads it"))
}

/// Two cables to one place of a loop.
fn second_way(site: &Site, input: Terminal, own: &ZoneFigures) -> Option<Finding> {
    let second = own.second_way?;
    let path = site.path(second.run, second.path)?;
    // The end that is no terminal of the loop's input.
    let ends = [second.leg + 1, second.leg].map(|point| path.points.get(point));
    let mut ends = ends.into_iter().flatten().flat_map(|point| &point.value);
    let at = ends.find(|at| matches!(at.value, Terminal::Device(_) | Terminal::Joint(_)))?;
    let message = format!(
        "the loop of {} reaches {} over two routes, the second in {}: a break in one of them goes unseen, and it is worked out over the shorter. Take one out, or name the other input, detector or joint that is meant.",
        site.terminal_name(input),
        site.terminal_name(at.value),
        site.runs.get(second.run)?.name.value,
    );
    Some(Finding::new(Code::WiredTwice, at.span, message))
}

fn unreached(
    site: &Site,
    zone: &Zone,
    input: At<Terminal>,
    figures: &ZoneFigures,
) -> Option<Finding> {
    if site.paths_unread {
        return None;
    }
    let names: Vec<&str> = figures
        .unreached
        .iter()
        .filter_map(|device| site.devices.get(*device))
        .filter(|device| has_contact(device) != Some(false))
        .map(|device| device.name.value.as_str())
        .collect();
    let first = names.first()?;
    let called = site.terminal_name(input.value);
    let message = format!(
        "no cable leads from {called} to {}, which zone {} reads: add a run, `{called} {} {first}` for one.",
        list(&names),
        zone.number.value,
        site.measures().example("--10 m--"),
    );
    Some(Finding::new(Code::InputMissing, input.span, message))
}
