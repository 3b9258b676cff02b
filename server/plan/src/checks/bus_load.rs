//! How much a bus carries: devices, places of each kind, unit loads. What is too
//! much goes where there is room.

use super::places::Occupancy;
use crate::figures::{BusFigures, above, places_for};
use crate::finding::{Code, Finding, Mend};
use crate::model::{BusId, Device, Place};
use crate::sentence::{count, lower};
use crate::source::Span;
use crate::vocabulary::Kind;

/// More devices than the bus carries, or than it has places for a kind.
pub(super) fn check(on: &Occupancy, findings: &mut Vec<Finding>) {
    let bus = on.name();
    if let Some(most) = on.model.devices {
        let all = on.devices().count();
        if let Some((_, device)) = on.devices().nth(most.value as usize) {
            let message = format!(
                "{bus} takes at most {}, and there are {all}: {}.",
                count(most.value, "device"),
                elsewhere(on, device)
            );
            let finding = Finding::new(Code::BusFull, device.name.span, message);
            findings.push(finding.in_model(
                on.unit.model_item.as_ref(),
                most.span,
                "how many it takes",
            ));
        }
    }
    if let Some((loads, most)) = on.figures.unit_loads.zip(on.model.unit_loads)
        && above(loads, most.value)
    {
        let message = format!(
            "{bus} drives at most {} unit loads, and its devices make {}: move one to another bus, or use devices with a smaller unit load.",
            most.value,
            (loads * 1000.0).round() / 1000.0
        );
        let what = "how many unit loads it drives";
        findings.extend(at_bus(on, message, most.span, what));
    }
    for (kind, _) in on.figures.free.iter() {
        let places: u64 = places_for(on.model, kind)
            .iter()
            .map(|(first, last)| u64::from(last - first) + 1)
            .sum();
        let beyond = usize::try_from(places).unwrap_or(usize::MAX);
        let of_kind = || on.devices().filter(|(_, device)| is_also(device, kind));
        if let Some((_, device)) = of_kind().nth(beyond).filter(|_| places > 0) {
            let second = || of_kind().find_map(|(_, device)| switch_off(device, kind));
            let too_many = of_kind().count().saturating_sub(beyond);
            let mend = second().filter(|_| too_many == 1);
            let hint = match &mend {
                Some(mend) => format!("{}, or {}", lower(&mend.title), elsewhere(on, device)),
                None if second().is_some() => format!(
                    "switch {too_many} of them off, or {}",
                    elsewhere(on, device)
                ),
                None => elsewhere(on, device),
            };
            let message = format!(
                "{bus} has places for {}, and there are {}: {hint}.",
                count(places, kind.name),
                of_kind().count(),
            );
            let finding = Finding::new(Code::BusFull, device.name.span, message);
            findings.push(on.with_place(finding, kind).mended_by(mend));
        }
    }
}

/// More than the bus carries, where the plan names it.
fn at_bus(on: &Occupancy, message: String, limit: Span, what: &str) -> Option<Finding> {
    let bus = on.site.bus(on.figures.block)?;
    let finding = Finding::new(Code::BusFull, bus.name.span, message);
    Some(finding.in_model(on.unit.model_item.as_ref(), limit, what))
}

/// Where a device can go: another bus of the panel that has a place for each
/// thing that it is.
fn elsewhere(on: &Occupancy, device: &Device) -> String {
    let name = &device.name.value;
    match with_room(on, device) {
        Some(bus) => format!("move {name} to {bus}, which has room for it"),
        None => format!("move {name} to another panel, or take it out: no other bus has room"),
    }
}

fn with_room(on: &Occupancy, device: &Device) -> Option<String> {
    let second = device
        .also
        .iter()
        .filter(|also| also.place != Place::Off)
        .map(|also| also.kind);
    let kinds: Vec<&Kind> = std::iter::once(device.kind).chain(second).collect();
    let weight = device.model().map_or(Some(0.0), |model| model.unit_load);
    let models = &on.unit.model()?.buses;
    let has_room = |index: usize| {
        let model = models.get(index)?;
        let id = BusId { index, ..on.id };
        let bus = on.site.bus_block(id);
        let figures = bus.and_then(|bus| on.all.bus(bus));
        let on_it = bus.and_then(|bus| on.site.bus(bus));
        let count = on_it.map_or(0, |bus| bus.devices.len());
        let loads = figures.map_or(Some(0.0), |figures| figures.unit_loads);
        let loads = loads.zip(weight).map(|(loads, weight)| loads + weight);
        let places = kinds.iter().all(|kind| {
            let wanted = kinds.iter().filter(|other| other.name == kind.name).count();
            let free = |figures: &BusFigures| {
                let mut free = figures.free.iter();
                let of_kind = free.find(|(of, _)| of.name == kind.name);
                of_kind.map(|(_, free)| free.len())
            };
            // Without a list, nothing of the kind is on it yet.
            match figures.and_then(free) {
                Some(free) => free >= wanted,
                None => !places_for(model, kind).is_empty(),
            }
        });
        let devices = model.devices.is_none_or(|most| count < most.value as usize);
        let loads = model
            .unit_loads
            .is_none_or(|most| loads.is_some_and(|loads| !above(loads, most.value)));
        (places && devices && loads).then_some(id)
    };
    let mut others = (0..models.len()).filter(|index| *index != on.id.index);
    let found = others.find_map(has_room)?;
    Some(on.site.bus_name(found))
}

/// The second thing that a device is, switched off.
fn switch_off(device: &Device, kind: &Kind) -> Option<Mend> {
    let mut also = device.also.iter();
    let second = also.find(|also| also.kind.name == kind.name)?;
    let Place::Address(address) = second.place else {
        return None;
    };
    Some(Mend {
        title: format!("Switch {}'s {} off", device.name.value, kind.name),
        edits: vec![(address.span, "off".to_string())],
    })
}

/// Whether a device takes a place of a kind.
fn is_also(device: &Device, kind: &Kind) -> bool {
    device.kind.name == kind.name
        || device
            .also
            .iter()
            .any(|also| also.kind.name == kind.name && also.place != Place::Off)
}
