//! Detectors and zones: a zone watches what has a contact, and what has one is
//! in a zone.

use rustc_hash::FxHashMap;

use crate::finding::{Code, Finding};
use crate::model::{Device, Site, Unit, Zone};
use crate::source::Span;

/// Checks the detectors of a site.
pub(super) fn check(site: &Site, findings: &mut Vec<Finding>) {
    // The first zone that each is in, by name: of two with one name it is told that they have it.
    let mut watched: FxHashMap<&str, &Zone> = FxHashMap::default();
    // A zone names what is no detector, and may mean one.
    let mut misnamed = false;
    for zone in &site.zones {
        for from in &zone.from {
            let Some(device) = site.devices.get(from.value) else {
                continue;
            };
            let first = *watched.entry(&device.name.value).or_insert(zone);
            match device.has_contact() {
                Some(true) => findings.extend(shared(site, device, first, zone, from.span)),
                Some(false) => {
                    misnamed |= !device.is_detector();
                    let message = format!(
                        "{} has no contact, so zone {} never sees an alarm from it: name the detector on the loop, or give the model its `contact`.",
                        device.name.value, zone.number.value
                    );
                    findings.push(Finding::new(Code::WrongKind, from.span, message));
                }
                None => {}
            }
        }
    }
    let has_inputs = |unit: &Unit| {
        let model = unit.model();
        model.is_some_and(|model| !model.inputs.is_empty())
    };
    if site.zones_unread || misnamed || !site.units.iter().any(has_inputs) {
        return;
    }
    for device in &site.devices {
        // One on a bus tells the panel over the bus.
        let expected = device.is_detector() && device.bus.is_none();
        if expected
            && device.has_contact() == Some(true)
            && !watched.contains_key(device.name.value.as_str())
        {
            let message = format!(
                "{name} is in no zone, so no input reads it: name it in one, `from {name}`.",
                name = device.name.value
            );
            findings.push(Finding::new(Code::InputMissing, device.name.span, message));
        }
    }
}

/// A detector in two zones: a contact is on one loop, and a plan does not say which of several
/// is on which. Two zones on one input are told there.
fn shared(site: &Site, device: &Device, first: &Zone, zone: &Zone, named: Span) -> Option<Finding> {
    let (earlier, own) = first.input.zip(zone.input)?;
    if earlier.value == own.value {
        return None;
    }
    let loops = format!(
        "{} is on the loops of zones {} and {}",
        device.name.value, first.number.value, zone.number.value
    );
    let (code, message) = match device.model()?.contacts.len() {
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
    let finding = Finding::new(code, named, message);
    Some(finding.with(site.spot(first.number.span), "the other zone"))
}
