//! A site and its partitions.

use bellwire_plan::figures::Figures;
use bellwire_plan::model::{At, Site, UnitId};
use bellwire_plan::sentence::count;

use super::page::{Page, code, escaped};
use crate::amounts::{hours, numbers};
use crate::margin::worst;

/// A site: what it must meet, and where it is closest to its limits.
pub(super) fn site(site: &Site, figures: &Figures) -> String {
    let mut page = Page::of(site.called(), site.label.as_deref(), "site");
    let rules = site.rules.name.as_ref().map(|name| {
        let standby = site.rules.set.standby.map_or(String::new(), |standby| {
            format!(": {} of standby", hours(standby))
        });
        format!("Rules {}{standby}", code(&name.value))
    });
    let worst = worst(site, figures, |_| true).and_then(|(id, margin)| {
        let name = code(&site.devices.get(id)?.name.value);
        let state = margin.state.phrase();
        Some(format!("Closest: {name}, {} {state}", margin.bold()))
    });
    let faults = figures.faults.iter();
    let faults = faults.map(|fault| format!("**No solution**: {}", escaped(&fault.why)));
    let batteries = figures.batteries.iter().filter_map(|battery| {
        let unit = site.units.get(battery.unit)?;
        let hours = hours(battery.standby_hours?);
        Some(format!(
            "{} lasts {hours} on its battery",
            code(&unit.name.value)
        ))
    });
    let counts = [
        count(site.devices.len(), "device"),
        count(site.zones.len(), "zone"),
        count(site.runs.len(), "run"),
    ];
    let lines = rules
        .into_iter()
        .chain(faults)
        .chain(worst)
        .chain(batteries);
    page.lines(lines.chain([counts.join(", ")]));
    page.note(&site.item, site.item.root().note);
    page.finish()
}

/// A partition of a panel: what is in it.
pub(super) fn partition(site: &Site, unit_id: UnitId, index: usize) -> Option<String> {
    let unit = site.units.get(unit_id)?;
    let partition = unit.partitions.get(index)?;
    let number = partition.number.value;
    let mut page = Page::of(
        &format!("Partition {number}"),
        partition.label.as_deref(),
        &format!("of {}", code(&unit.name.value)),
    );
    let has = |numbers: &[At<u32>]| numbers.iter().any(|at| at.value == number);
    let zones: Vec<u32> = site
        .zones
        .iter()
        .filter(|zone| zone.unit == unit_id && has(&zone.partitions))
        .map(|zone| zone.number.value)
        .collect();
    let devices: Vec<String> = site
        .devices
        .iter()
        .filter(|device| {
            device.bus.is_none_or(|bus| bus.unit == unit_id) && has(&device.partitions)
        })
        .map(|device| code(&device.name.value))
        .collect();
    let zones = match zones.as_slice() {
        [] => String::new(),
        zones => format!("Zones {}", numbers(zones)),
    };
    let devices = match devices.as_slice() {
        [] => String::new(),
        devices => format!("Devices {}", devices.join(", ")),
    };
    page.lines([zones, devices]);
    page.note_at(&site.item, partition.number.span);
    Some(page.finish())
}
