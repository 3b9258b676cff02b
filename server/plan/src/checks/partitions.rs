//! Partitions: those that zones and devices name are there, each named once, not too many, and none
//! empty.

use super::mend::block::{line_above, line_below};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, Device, Partition, Site, Unit, Zone};
use crate::sentence::{count, list};
use crate::source::{Form, Span};

/// Checks the partitions of a site.
pub(super) fn check(site: &Site, findings: &mut Vec<Finding>) {
    for unit in &site.units {
        findings.extend(too_many(unit));
    }
    let panels: Vec<&Unit> = site.units.iter().filter(|unit| unit.is_panel()).collect();
    for device in &site.devices {
        let own = device.bus.map(|bus| site.units.get(bus.unit));
        let panels = own.as_ref().map_or(panels.as_slice(), Option::as_slice);
        findings.extend(keypad_nowhere(site, device));
        twice(site, &device.partitions, findings);
        for number in &device.partitions {
            let called = || device.name.value.clone();
            findings.extend(unknown(site, called, *number, panels));
        }
    }
    for zone in &site.zones {
        let Some(unit) = site.units.get(zone.unit) else {
            continue;
        };
        let called = || format!("zone {}", zone.number.value);
        twice(site, &zone.partitions, findings);
        for number in &zone.partitions {
            findings.extend(unknown(site, called, *number, &[unit]));
        }
        findings.extend(zone_nowhere(zone, unit));
    }
    empty(site, findings);
}

/// Partitions that nothing is in, of a panel that has others.
fn empty(site: &Site, findings: &mut Vec<Finding>) {
    // What is in none may be meant for any, and is told there.
    let may_be_in_any = |device: &Device| device.is_keypad() && device.partitions.is_empty();
    for (id, unit) in site.units.iter().enumerate() {
        if unit.partitions.len() < 2 || unit.partitions_unread {
            continue;
        }
        let zones = || site.zones.iter().filter(|zone| zone.unit == id);
        let devices = || {
            let on_it = |device: &&Device| device.bus.is_none_or(|bus| bus.unit == id);
            site.devices.iter().filter(on_it)
        };
        let of_zones = || zones().flat_map(|zone| &zone.partitions);
        let of_devices = || devices().flat_map(|device| &device.partitions);
        // One that the panel cannot have is told.
        let most = unit.model().and_then(|model| model.partitions);
        let can_be = |number: u32| most.is_none_or(|most| number <= most.value);
        let is_empty = |own: &&Partition| {
            let names = |at: &At<u32>| at.value == own.number.value;
            can_be(own.number.value) && !of_zones().any(&names) && !of_devices().any(&names)
        };
        let mut empty = unit.partitions.iter().filter(is_empty).peekable();
        // What is not drawn up yet is no mistake, and what cannot be read may be in any.
        if empty.peek().is_none()
            || of_zones().chain(of_devices()).next().is_none()
            || findings.iter().any(Finding::is_of_unread)
            || zones().any(|zone| zone.partitions.is_empty())
            || devices().any(may_be_in_any)
        {
            continue;
        }
        findings.extend(empty.map(|empty| {
            let message = format!(
                "nothing of {} is in partition {}: name it at a zone or a keypad, or take it out.",
                unit.name.value, empty.number.value
            );
            Finding::new(Code::Unused, empty.number.span, message)
        }));
    }
}

/// Partitions that one thing names more than once.
fn twice(site: &Site, numbers: &[At<u32>], findings: &mut Vec<Finding>) {
    for (index, again) in numbers.iter().enumerate().skip(1) {
        let mut earlier = numbers.iter().take(index);
        if let Some(first) = earlier.find(|earlier| earlier.value == again.value) {
            let message = format!("partition {} stands here twice: take one out", again.value);
            let finding = Finding::new(Code::Repeated, again.span, message);
            findings.push(finding.with(site.spot(first.span), "the first one"));
        }
    }
}

/// A keypad of a panel with several partitions that names none.
fn keypad_nowhere(site: &Site, device: &Device) -> Option<Finding> {
    let unit = site.units.get(device.bus?.unit)?;
    let says = !device.partitions.is_empty() || device.partitions_unread || device.block_unread;
    if !device.is_keypad() || says || unit.partitions.len() < 2 {
        return None;
    }
    let message = format!(
        "{} is in no partition, so the plan does not say what it sets: {} has partitions {}.",
        device.name.value,
        unit.name.value,
        list(&numbers(unit))
    );
    Some(Finding::new(
        Code::KeypadMissingPartition,
        device.name.span,
        message,
    ))
}

/// A zone of a panel with partitions that is in none.
fn zone_nowhere(zone: &Zone, unit: &Unit) -> Option<Finding> {
    let says = !zone.partitions.is_empty() || zone.partitions_unread;
    if says || unit.partitions.is_empty() {
        return None;
    }
    let number = zone.number.value;
    let numbers = numbers(unit);
    let (has, mend) = match numbers.as_slice() {
        [only] => (
            "partition",
            Some(Mend {
                title: format!("Put zone {number} in partition {only}"),
                edits: vec![(zone.head.after(), format!(", partition {only}"))],
            }),
        ),
        _ => ("partitions", None),
    };
    let message = format!(
        "zone {number} is in no partition, so nobody sets it: {} has {has} {}.",
        unit.name.value,
        list(&numbers)
    );
    Some(Finding::new(Code::ZoneMissingPartition, zone.number.span, message).mended_by(mend))
}

/// The numbers of a panel's partitions, as they are written.
fn numbers(panel: &Unit) -> Vec<String> {
    let partitions = panel.partitions.iter();
    partitions
        .map(|partition| partition.number.value.to_string())
        .collect()
}

/// A partition that none of the panels has.
fn unknown(
    site: &Site,
    called: impl Fn() -> String,
    number: At<u32>,
    panels: &[&Unit],
) -> Option<Finding> {
    let has = |unit: &&Unit| {
        let mut partitions = unit.partitions.iter();
        partitions.any(|partition| partition.number.value == number.value)
    };
    if panels
        .iter()
        .any(|unit| has(unit) || unit.partitions_unread)
    {
        return None;
    }
    let panel = panels.first()?;
    let most = panel.model().and_then(|model| model.partitions);
    let may = most.is_none_or(|most| number.value <= most.value && number.value > 0);
    let numbers = numbers(panel);
    let there = match numbers.as_slice() {
        [] => "no partitions".to_string(),
        [only] => format!("only partition {only}"),
        several => format!("partitions {}", list(several)),
    };
    let name = &panel.name.value;
    let hint = match numbers.is_empty() {
        _ if may => format!("; add `partition {}` to it", number.value),
        true => "; take this out".to_string(),
        false => ": put it there".to_string(),
    };
    let message = format!(
        "{} is in partition {}, and {name} has {there}{hint}.",
        called(),
        number.value
    );
    let mend = may.then(|| Mend {
        title: format!("Add partition {} to {name}", number.value),
        edits: vec![added(site.item.source(), panel, number.value)],
    });
    Some(Finding::new(Code::PartitionUnknown, number.span, message).mended_by(mend))
}

/// A partition added to a panel, in the order of numbers, written as its neighbour is.
fn added(source: &str, panel: &Unit, number: u32) -> (Span, String) {
    let written = format!("partition {number}");
    let by_number = |own: &&Partition| own.number.value;
    let (lower, higher): (Vec<_>, Vec<_>) = panel
        .partitions
        .iter()
        .partition(|own| own.number.value < number);
    let lower = lower.into_iter().max_by_key(by_number);
    let higher = higher.into_iter().min_by_key(by_number);
    let line = match (lower, higher) {
        (Some(lower), _) if lower.form == Form::Line => line_below(source, lower.span, &written),
        (None, Some(higher)) if higher.form == Form::Line => {
            line_above(source, higher.span, &written)
        }
        _ => None,
    };
    // In a block of one line there is no room for another.
    line.unwrap_or_else(|| {
        let lower = lower.filter(|lower| lower.form != Form::Line);
        let place = lower.map_or(panel.head, |lower| lower.span);
        (place.after(), format!(", {written}"))
    })
}

/// The first partition beyond what the panel can be divided into.
fn too_many(unit: &Unit) -> Option<Finding> {
    let most = unit.model()?.partitions?;
    let mut partitions = unit.partitions.iter().enumerate();
    let (_, partition) = partitions.find(|(index, partition)| {
        *index >= most.value as usize || partition.number.value > most.value
    })?;
    let message = format!(
        "{} can have {}, so there is no partition {}: put what is in it in another, or take a panel that has more.",
        unit.name.value,
        count(most.value, "partition"),
        partition.number.value
    );
    let finding = Finding::new(Code::TooManyPartitions, partition.number.span, message);
    Some(finding.in_model(unit.model_item.as_ref(), most.span, "how many it can have"))
}
