//! Where devices stand in the plan: on the bus whose cable they lie on, and
//! with an address only there.

use crate::figures::{DataReach, bus_of};
use crate::finding::{Code, Finding};
use crate::model::{BusId, Device, DeviceId, Site};

/// A device that is in no bus and lies on the cable of one, or has an address.
/// `on_bus` is who lies on which bus's cable.
pub(super) fn outside(
    site: &Site,
    id: DeviceId,
    device: &Device,
    on_bus: &DataReach,
) -> Option<Finding> {
    if device.bus.is_some() {
        return None;
    }
    let buses = || {
        let units = site.units.iter().enumerate();
        units.flat_map(|(unit, of)| {
            let count = of.model().map_or(0, |model| model.buses.len());
            (0..count).map(move |index| BusId { unit, index })
        })
    };
    let lies_on = on_bus.buses_at(id).next();
    let has_places = |bus: &BusId| has_places(site, *bus, device);
    let name = &device.name.value;
    if let Some(address) = device.address {
        let bus = lies_on.or_else(|| buses().find(has_places));
        let hint = match bus.and_then(|bus| block(site, bus)) {
            Some(block) => format!("move {name} into {block}"),
            None => "take it out".to_string(),
        };
        let message =
            format!("{name} has an address and is in no bus, where it counts for nothing: {hint}.");
        return Some(Finding::new(Code::Misplaced, address.span, message));
    }
    let in_zone = || {
        let mut detectors = site.zones.iter().flat_map(|zone| &zone.from);
        detectors.any(|detector| detector.value == id)
    };
    let bus = lies_on.filter(has_places).filter(|_| !in_zone())?;
    let message = format!(
        "{name} lies on the cable of {} but is in no bus, so it has no address: declare it in {}.",
        site.bus_name(bus),
        block(site, bus)?,
    );
    Some(Finding::new(
        Code::AddressMissing,
        device.name.span,
        message,
    ))
}

/// A device on one bus that lies only on the cable of another.
pub(super) fn elsewhere(
    site: &Site,
    id: DeviceId,
    device: &Device,
    on_bus: &DataReach,
) -> Option<Finding> {
    let own = bus_of(site, device)?;
    let other = on_bus
        .buses_at(id)
        .next()
        .filter(|_| !on_bus.has(id, own))?;
    let name = &device.name.value;
    let message = format!(
        "{name} is on {} and lies on the cable of {}: bring it the cable of {}, or declare it in {}.",
        site.bus_name(own),
        site.bus_name(other),
        site.bus_name(own),
        block(site, other)?,
    );
    Some(Finding::new(Code::NotWired, device.name.span, message))
}

/// Whether a bus has places for what a device is, by name: a bus that lists
/// none has them for any.
fn has_places(site: &Site, bus: BusId, device: &Device) -> bool {
    let is_told = device
        .model()
        .is_some_and(|model| model.setting_address.is_some());
    site.model_bus(bus).is_some_and(|(_, bus)| {
        let mut places = bus.places.iter();
        places.any(|(kind, _)| kind.value.name == device.kind.name)
            || (bus.places.is_empty() && is_told)
    })
}

/// The block of a bus, in words.
fn block(site: &Site, bus: BusId) -> Option<String> {
    let (unit, bus) = site.model_bus(bus)?;
    Some(format!("`bus {}` of {}", bus.name.value, unit.name.value))
}
