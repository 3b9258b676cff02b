//! Detectors and zones: a zone watches what has a contact, and what has one is
//! in a zone.

use rustc_hash::FxHashSet;

use crate::finding::{Code, Finding};
use crate::model::{Device, Site, Unit};

/// Checks the detectors of a site.
pub(super) fn check(site: &Site, findings: &mut Vec<Finding>) {
    for zone in &site.zones {
        for from in &zone.from {
            let device = site.devices.get(from.value);
            if let Some(device) = device.filter(|device| has_contact(device) == Some(false)) {
                let message = format!(
                    "{} has no contact, so zone {} never sees an alarm from it: name the detector on the loop, or give the model its `contact`.",
                    device.name.value, zone.number.value
                );
                findings.push(Finding::new(Code::WrongKind, from.span, message));
            }
        }
    }
    let has_inputs = |unit: &Unit| {
        let model = unit.model();
        model.is_some_and(|model| !model.inputs.is_empty())
    };
    if site.zones_unread || !site.units.iter().any(has_inputs) {
        return;
    }
    let watched = site.zones.iter().flat_map(|zone| &zone.from);
    let watched = watched.filter_map(|from| site.devices.get(from.value));
    let named: FxHashSet<&str> = watched.map(|device| device.name.value.as_str()).collect();
    for device in &site.devices {
        // One on a bus tells the panel over the bus.
        let expected = device.is_detector() && device.bus.is_none();
        if expected
            && has_contact(device) == Some(true)
            && !named.contains(device.name.value.as_str())
        {
            let message = format!(
                "{name} is in no zone, so no input reads it: name it in one, `from {name}`.",
                name = device.name.value
            );
            findings.push(Finding::new(Code::InputMissing, device.name.span, message));
        }
    }
}

/// `None` if the model, or a contact of it, is not known.
pub(super) fn has_contact(device: &Device) -> Option<bool> {
    let model = device.model().filter(|model| !model.contacts_unread)?;
    Some(!model.contacts.is_empty())
}
