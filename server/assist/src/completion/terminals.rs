//! Ends of cables: terminals of panels and supplies, devices, joints, inputs.

use rustc_hash::FxHashSet;

use bellwire_plan::model::{
    BusId, Device, DeviceId, InputsModel, OutputId, Site, Terminal, Unit, UnitId,
};

use super::cursor::LegState;
use super::surroundings::Surroundings;
use super::{Completion, CompletionKind};
use crate::amounts::{amperes, volts};
use crate::parts::ends;

/// The rank of what feeds, among the points where a cable may start.
pub(super) const FEED: u8 = 2;

/// Where a cable may start: at what feeds, at an input, at what is wired already.
pub(super) fn first_point(plan: &Surroundings, parts: &[&str]) -> Vec<Completion> {
    let zones = plan.site.map_or(&[][..], |site| &site.zones);
    let has_zone = |terminal| {
        let mut inputs = zones.iter().filter_map(|zone| zone.input);
        inputs.any(|input| input.value == terminal)
    };
    let rank = |terminal, wired| match (terminal, wired) {
        (Terminal::PanelInput(..) | Terminal::DeviceInput(..), false) if has_zone(terminal) => 1,
        (Terminal::Output(..) | Terminal::Bus(..), _) => FEED,
        (Terminal::Device(..) | Terminal::Joint(..), true) => 3,
        (_, false) => 4,
        (_, true) => 6,
    };
    points(plan, parts, rank)
}

/// Where a cable may go on to: first to what no cable reaches yet.
pub(super) fn next_point(plan: &Surroundings, parts: &[&str], leg: LegState) -> Vec<Completion> {
    let rank = |terminal, wired| match (terminal, wired) {
        (Terminal::Device(..), false) => 1,
        (Terminal::Joint(..), _) => 2,
        (Terminal::Device(..), true) => 3,
        (Terminal::PanelInput(..) | Terminal::DeviceInput(..), false) => 4,
        _ => 6,
    };
    let mut found = points(plan, parts, rank);
    if leg == LegState::Whole || !parts.is_empty() {
        return found;
    }
    let length = plan.measures().example("12 m");
    let (number, unit) = length.split_once(' ').unwrap_or(("", "m"));
    // The leg comes along, with its length to fill in.
    for completion in &mut found {
        let name = completion.insert.clone();
        let dashes = if leg == LegState::Missing { "--" } else { "" };
        completion.filter = Some(name.clone());
        completion.snippet = Some(format!("{dashes}${{1:{number}}} {unit}-- {name}"));
        completion.insert = format!("{dashes} {unit}-- {name}");
        completion.label = format!("{dashes}… {unit}-- {name}");
    }
    found
}

/// The inputs that a zone may have: those that no other zone has.
pub(super) fn inputs(plan: &Surroundings, parts: &[&str]) -> Vec<Completion> {
    let (Some(site), Some((own_unit, _))) = (plan.site, plan.unit()) else {
        return Vec::new();
    };
    let own_zone = plan.zone().map(|zone| zone.span.start);
    let taken: FxHashSet<Terminal> = site
        .zones
        .iter()
        .filter(|zone| Some(zone.span.start) != own_zone)
        .filter_map(|zone| Some(zone.input?.value))
        .collect();
    let wired = wired(site);
    let mut found = Vec::new();
    for end in all(site) {
        let number = match end.terminal {
            Terminal::PanelInput(unit, number) if unit == own_unit => Some(number),
            Terminal::DeviceInput(device, _) => {
                let bus = site.devices.get(device).and_then(|device| device.bus);
                if bus.is_none_or(|bus| bus.unit != own_unit) {
                    continue;
                }
                None
            }
            _ => continue,
        };
        if taken.contains(&end.terminal) {
            continue;
        }
        let rank = if wired.contains(&end.terminal) { 1 } else { 3 };
        let mut detail = end.detail.clone();
        if rank == 1 {
            detail += ", wired";
        }
        let mut offer = end.offer(parts);
        if let (Some(number), true) = (number, parts.is_empty()) {
            offer = Some(Completion::new(CompletionKind::Number, number.to_string()));
        }
        found.extend(offer.map(|offer| offer.detail(detail).rank(rank)));
    }
    found
}

/// An end that a cable may have.
struct End {
    terminal: Terminal,
    /// `main` and `keys`, or `front` alone.
    names: (String, Option<String>),
    detail: String,
}

impl End {
    /// As it is written behind `parts`; `None` if it does not begin with them.
    fn offer(&self, parts: &[&str]) -> Option<Completion> {
        let kind = match self.terminal {
            Terminal::Device(_) | Terminal::Joint(_) => CompletionKind::Thing,
            _ => CompletionKind::Terminal,
        };
        let label = match (parts, &self.names) {
            ([], (first, None)) => first.clone(),
            ([], (first, Some(second))) => format!("{first}.{second}"),
            ([given], (first, Some(second))) if given == first => second.clone(),
            _ => return None,
        };
        Some(Completion::new(kind, label))
    }
}

fn points(
    plan: &Surroundings,
    parts: &[&str],
    rank: impl Fn(Terminal, bool) -> u8,
) -> Vec<Completion> {
    let Some(site) = plan.site else {
        return Vec::new();
    };
    let wired = wired(site);
    all(site)
        .filter_map(|end| {
            let is_wired = wired.contains(&end.terminal);
            let offer = end.offer(parts)?;
            let detail = match end.terminal {
                Terminal::Device(_) if !is_wired => format!("{}, not wired yet", end.detail),
                _ => end.detail,
            };
            Some(offer.detail(detail).rank(rank(end.terminal, is_wired)))
        })
        .collect()
}

/// Everything that a cable reaches already.
fn wired(site: &Site) -> FxHashSet<Terminal> {
    ends(site).map(|end| end.value).collect()
}

/// Every end that a cable can have in a site.
fn all(site: &Site) -> impl Iterator<Item = End> {
    let units = site.units.iter().enumerate();
    let devices = site.devices.iter().enumerate();
    let joints = site.joints.iter().enumerate().map(|(id, joint)| End {
        terminal: Terminal::Joint(id),
        names: (joint.name.value.clone(), None),
        detail: joint.label.clone().unwrap_or("joint".to_string()),
    });
    units
        .flat_map(|(id, unit)| of_unit(id, unit))
        .chain(devices.flat_map(|(id, device)| of_device(id, device)))
        .chain(joints)
}

/// The terminals of a panel or a supply.
fn of_unit(unit_id: UnitId, unit: &Unit) -> Vec<End> {
    let Some(model) = unit.model() else {
        return Vec::new();
    };
    let end = |terminal, name: String, detail: String| End {
        terminal,
        names: (unit.name.value.clone(), Some(name)),
        detail,
    };
    let called = unit.label.as_deref().unwrap_or(&unit.name.value);
    let outputs = model.outputs.iter().enumerate().map(|(index, output)| {
        let limit = output
            .limit
            .map(|limit| format!(", {}", amperes(limit.value)));
        let volts = output.volts.map_or("?".to_string(), volts);
        let alarm = if output.in_alarm { ", in alarm" } else { "" };
        end(
            Terminal::Output(OutputId {
                unit: unit_id,
                index,
            }),
            output.name.value.clone(),
            format!("output {volts}{}{alarm}", limit.unwrap_or_default()),
        )
    });
    let buses = model.buses.iter().enumerate().map(|(index, bus)| {
        end(
            Terminal::Bus(BusId {
                unit: unit_id,
                index,
            }),
            bus.name.value.clone(),
            format!("bus of {called}"),
        )
    });
    let inputs = numbers(&model.inputs).map(|number| {
        end(
            Terminal::PanelInput(unit_id, number),
            number.to_string(),
            format!("input of {called}"),
        )
    });
    outputs.chain(buses).chain(inputs).collect()
}

/// A device, and its inputs.
fn of_device(id: DeviceId, device: &Device) -> Vec<End> {
    let called = device.label.as_deref().unwrap_or(device.kind.name);
    let own = End {
        terminal: Terminal::Device(id),
        names: (device.name.value.clone(), None),
        detail: called.to_string(),
    };
    let inputs = device.model().map_or(&[][..], |model| &model.inputs);
    let inputs = numbers(inputs).map(|number| End {
        terminal: Terminal::DeviceInput(id, number),
        names: (device.name.value.clone(), Some(number.to_string())),
        detail: format!("input of {called}"),
    });
    [own].into_iter().chain(inputs).collect()
}

/// The numbers of inputs; a mistyped range is cut down.
fn numbers(blocks: &[InputsModel]) -> impl Iterator<Item = u32> {
    blocks.iter().flat_map(|block| block.numbers().take(256))
}
