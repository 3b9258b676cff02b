//! Detectors and zones: a zone watches what has a contact, and what has one is
//! in a zone.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::finding::{Code, Finding};
use crate::model::{Device, DeviceId, Site, Unit, Zone};

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
    shared(site, findings);
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

/// Detectors in two zones: a contact is on one loop, and a plan does not say which of several
/// is on which. Two zones on one input are told there.
fn shared(site: &Site, findings: &mut Vec<Finding>) {
    let mut first: FxHashMap<DeviceId, &Zone> = FxHashMap::default();
    for zone in &site.zones {
        for from in &zone.from {
            let earlier = *first.entry(from.value).or_insert(zone);
            let inputs = earlier.input.zip(zone.input);
            if inputs.is_none_or(|(earlier, own)| earlier.value == own.value) {
                continue;
            }
            let device = site.devices.get(from.value);
            let known = device.filter(|device| has_contact(device) == Some(true));
            let Some((device, model)) = known.and_then(|device| Some((device, device.model()?)))
            else {
                continue;
            };
            let loops = format!(
                "{} is on the loops of zones {} and {}",
                device.name.value, earlier.number.value, zone.number.value
            );
            let (code, message) = match model.contacts.len() {
                1 => (
                    Code::Repeated,
                    format!("{loops}, and its one contact can be on one of them only."),
                ),
                _ => (
                    Code::Unchecked,
                    format!(
                        "{loops}, and which of its contacts is on which is not in the plan, so both are worked out with all of them: declare a detector for each loop, of a model that has the contacts on it."
                    ),
                ),
            };
            let finding = Finding::new(code, from.span, message);
            findings.push(finding.with(site.spot(earlier.number.span), "the other zone"));
        }
    }
}

/// `None` if the model, or a contact of it, is not known.
pub(super) fn has_contact(device: &Device) -> Option<bool> {
    let model = device.model().filter(|model| !model.contacts_unread)?;
    Some(!model.contacts.is_empty())
}
