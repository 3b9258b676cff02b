//! A site and what is in it: devices, runs, joints, partitions.

use bellwire_plan::figures::{Figures, OutputId, SegmentFigures, State};
use bellwire_plan::model::{Device, DeviceId, JointId, Place, RunId, Site, Terminal};
use bellwire_plan::source::{Item, Span};
use bellwire_plan::vocabulary::Kind;

use super::page::{Page, amperes, code, escaped, hours, measured, metres, ohms, volts};
use crate::address;
use crate::walk::holder;

/// A site: what it must meet, and where it is closest to its limits.
pub(super) fn site(site: &Site, figures: &Figures) -> String {
    let mut page = Page::of(site.called(), site.label.as_deref(), "site");
    let rules = site.rules.name.as_ref().map(|name| {
        let standby = site.rules.set.standby.map_or(String::new(), |standby| {
            format!(": {} of standby", hours(standby))
        });
        format!("Rules {}{standby}", code(&name.value))
    });
    let worst = site
        .devices
        .iter()
        .enumerate()
        .filter_map(|(id, device)| Some((device, margin(site, figures, id)?)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let worst = worst.map(|(device, (margin, state))| {
        let spare = match margin < 0.0 {
            true => format!("is **{} outside** its range", measured(-margin)),
            false => format!("has {} to spare", measured(margin)),
        };
        format!(
            "Closest: {} {spare} {}",
            code(&device.name.value),
            state.phrase()
        )
    });
    let batteries = figures.batteries.iter().filter_map(|battery| {
        let unit = site.units.get(battery.unit)?;
        let hours = hours(battery.standby_hours?);
        Some(format!(
            "{} lasts {hours} on its battery",
            code(&unit.name.value)
        ))
    });
    let count = |number: usize, what: &str| {
        format!("{number} {what}{}", if number == 1 { "" } else { "s" })
    };
    let counts = [
        count(site.devices.len(), "device"),
        count(site.zones.len(), "zone"),
        count(site.runs.len(), "run"),
    ];
    let lines = rules.into_iter().chain(worst).chain(batteries);
    page.lines(lines.chain([counts.join(", ")]));
    page.note(&site.item, site.item.root.note);
    page.finish()
}

/// How far a device is from where it stops working, and in which state it is
/// closest. Negative where it does not work; states in which nothing feeds it
/// do not count.
fn margin(site: &Site, figures: &Figures, id: DeviceId) -> Option<(f64, State)> {
    let device = site.devices.get(id)?;
    let (least, most) = device.model()?.works?.value;
    let found = figures.device(id)?;
    let is_on = |state: State| {
        let mut feeds = found.fed_by.iter();
        state.is_alarm() || feeds.any(|feed| !only_in_alarm(site, *feed))
    };
    let states = found.states.iter();
    states
        .filter(|(state, _)| is_on(*state))
        .filter_map(|(state, solved)| {
            let volts = solved.as_ref().ok()?.volts;
            Some(((volts - least).min(most - volts), state))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Whether an output gives nothing in standby.
fn only_in_alarm(site: &Site, (unit, output): OutputId) -> bool {
    let model = site.units.get(unit).and_then(|unit| unit.model());
    let output = model.and_then(|model| model.outputs.get(output));
    output.is_some_and(|output| output.in_alarm)
}

/// A device: what it gets in the four states, its places, what feeds it.
pub(super) fn device(site: &Site, figures: &Figures, id: DeviceId) -> Option<String> {
    let device = site.devices.get(id)?;
    let mut page = Page::of(
        &device.name.value,
        device.label.as_deref(),
        &what(device.kind, device.model_item.as_deref()),
    );
    if let Some(found) = figures.device(id) {
        let feeds: Vec<String> = found
            .fed_by
            .iter()
            .map(|(unit, output)| code(&site.terminal_name(Terminal::Output(*unit, *output))))
            .collect();
        if feeds.is_empty() {
            page.add("Not wired: no cable brings it power.");
        } else {
            page.states(&["", "volts", "drop", "draws"], &found.states, |state| {
                vec![
                    measured(state.volts),
                    measured(state.drop),
                    amperes(state.amperes),
                ]
            });
        }
        let mut lines = Vec::new();
        if let Some(works) = device.model().and_then(|model| model.works) {
            let (least, most) = works.value;
            let margin = margin(site, figures, id).map(|(margin, state)| match margin < 0.0 {
                true => format!("; **{} outside** {}", measured(-margin), state.phrase()),
                false => format!("; {} to spare {}", measured(margin), state.phrase()),
            });
            lines.push(format!(
                "Works {}{}",
                range(least, most),
                margin.unwrap_or_default()
            ));
        }
        if !feeds.is_empty() {
            lines.push(format!("Fed by {}", feeds.join(" and ")));
        }
        page.lines(lines);
    }
    let mut lines = Vec::new();
    if let Some(address) = device.address {
        lines.extend(place(site, device, device.kind, address.value).unwrap_or_default());
    }
    for also in &device.also {
        match also.place {
            Place::Address(at) => {
                lines.extend(place(site, device, also.kind, at.value).unwrap_or_default());
            }
            Place::Off => lines.push(format!("Its {} is off", also.kind.name)),
        }
    }
    for partition in &device.partitions {
        lines.push(format!(
            "Partition {}",
            partition_name(site, partition.value)
        ));
    }
    for zone in &site.zones {
        if zone.from.iter().any(|from| from.value == id) {
            let label = zone.label.as_deref().map(escaped).unwrap_or_default();
            lines.push(
                format!("On zone {} {label}", zone.number.value)
                    .trim_end()
                    .to_string(),
            );
        }
    }
    page.lines(lines);
    page.note(&site.item, note(&site.item, device.span));
    Some(page.finish())
}

/// What it is: its kind, and its model.
pub(super) fn what(kind: &Kind, model: Option<&Item>) -> String {
    let model = model.and_then(|item| {
        let declared = item
            .root
            .arguments
            .iter()
            .map(|value| item.text(value.span));
        let mut values = declared.skip(1);
        let name = code(values.next()?);
        let label = values.next().map_or("", |label| label.trim_matches('"'));
        Some(format!(" {name} {}", escaped(label)).trim_end().to_string())
    });
    format!("{}{}", kind.name, model.unwrap_or_default())
}

/// A place on a bus, in lines: the address, whether the panel answers there,
/// and how the device is told. `None` for a device that is on no bus.
pub(super) fn place(
    site: &Site,
    device: &Device,
    kind: &Kind,
    address: u32,
) -> Option<Vec<String>> {
    let (unit_id, bus) = device.bus?;
    let unit = site.units.get(unit_id)?;
    let name = format!("{}.{}", unit.name.value, unit.buses.get(bus)?.name.value);
    let is_second = kind.name != device.kind.name;
    let who = if is_second {
        format!("Its {} at address", kind.name)
    } else {
        "Address".to_string()
    };
    let enabled = site
        .bus_model(unit_id, bus)
        .map(|model| format!(", {}", address::enabled(model, unit, address).phrase()));
    let mut lines = vec![format!(
        "{who} {address} on {}{}",
        code(&name),
        enabled.unwrap_or_default()
    )];
    let setting = device
        .model()
        .and_then(|model| model.setting_address.as_ref());
    if let Some(setting) = setting.filter(|_| !is_second) {
        lines.push(format!("Setting: {}", address::setting(setting, address)));
    }
    Some(lines)
}

/// A run: its legs with what they carry.
pub(super) fn run(site: &Site, figures: &Figures, id: RunId) -> Option<String> {
    let run = site.runs.get(id)?;
    let cable = run
        .cable_name
        .as_ref()
        .map_or(String::new(), |cable| format!(" of {}", code(&cable.value)));
    let doubled = if run.doubled.is_some() {
        ", doubled"
    } else {
        ""
    };
    let mut page = Page::of(
        &run.name.value,
        run.label.as_deref(),
        &format!("run{cable}{doubled}"),
    );
    let rows: Vec<Vec<String>> = figures
        .legs(id)
        .map(|leg| {
            let way = |end| code(&site.terminal_name(end));
            let worst = leg
                .states
                .iter()
                .filter_map(|(_, solved)| solved.as_ref().ok())
                .max_by(|a, b| a.drop.total_cmp(&b.drop));
            vec![
                format!("{} – {}", way(leg.from), way(leg.to)),
                metres(leg.metres),
                ohms(leg.ohms),
                worst.map_or("–".to_string(), |state| amperes(state.amperes)),
                worst.map_or("–".to_string(), |state| measured(state.drop)),
            ]
        })
        .collect();
    page.table(&["", "length", "both cores", "at most", "drop"], &rows);
    let total: f64 = figures.legs(id).map(|leg| leg.metres).sum();
    if rows.len() > 1 {
        page.add(format!("{} in all", metres(total)));
    }
    page.note(&site.item, note(&site.item, run.span));
    Some(page.finish())
}

/// A stretch of cable: what it resists, and what is lost on it.
pub(super) fn leg(site: &Site, leg: &SegmentFigures, units: Option<&str>) -> String {
    let way = |end| site.terminal_name(end);
    let mut page = Page::of(
        &format!("{} – {}", way(leg.from), way(leg.to)),
        None,
        &format!("{}, {} both cores", metres(leg.metres), ohms(leg.ohms)),
    );
    page.states(&["", "drop", "carries"], &leg.states, |state| {
        vec![measured(state.drop), amperes(state.amperes)]
    });
    page.add(units.unwrap_or_default());
    page.finish()
}

/// A joint.
pub(super) fn joint(site: &Site, id: JointId) -> Option<String> {
    let joint = site.joints.get(id)?;
    let mut page = Page::of(&joint.name.value, joint.label.as_deref(), "joint");
    if joint.ohms > 0.0 {
        page.add(format!("Adds {} to each core", ohms(joint.ohms)));
    }
    let point = |terminal: &Terminal| matches!(terminal, Terminal::Joint(joint) if *joint == id);
    let runs: Vec<String> = site
        .runs
        .iter()
        .filter(|run| {
            let points = run.paths.iter().flat_map(|path| &path.points);
            points.flat_map(|at| &at.value).any(|at| point(&at.value))
        })
        .map(|run| code(&run.name.value))
        .collect();
    if !runs.is_empty() {
        page.add(format!("Joins {}", runs.join(", ")));
    }
    page.note(&site.item, note(&site.item, joint.span));
    Some(page.finish())
}

/// The partition whose number is declared at `at`: what is in it.
pub(super) fn partition(site: &Site, at: Span) -> Option<String> {
    let (unit_id, unit, partition) = site.units.iter().enumerate().find_map(|(id, unit)| {
        let mut partitions = unit.partitions.iter();
        let found = partitions.find(|partition| partition.number.span == at)?;
        Some((id, unit, found))
    })?;
    let number = partition.number.value;
    let mut page = Page::of(
        &format!("Partition {number}"),
        partition.label.as_deref(),
        &format!("of {}", code(&unit.name.value)),
    );
    let has =
        |numbers: &[bellwire_plan::model::At<u32>]| numbers.iter().any(|at| at.value == number);
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
            device.bus.is_none_or(|(unit, _)| unit == unit_id) && has(&device.partitions)
        })
        .map(|device| code(&device.name.value))
        .collect();
    let zones = match zones.as_slice() {
        [] => String::new(),
        zones => format!("Zones {}", super::page::numbers(zones)),
    };
    let devices = match devices.as_slice() {
        [] => String::new(),
        devices => format!("Devices {}", devices.join(", ")),
    };
    page.lines([zones, devices]);
    page.note(&site.item, note(&site.item, at));
    Some(page.finish())
}

fn partition_name(site: &Site, number: u32) -> String {
    let mut partitions = site.units.iter().flat_map(|unit| &unit.partitions);
    let label = partitions
        .find(|partition| partition.number.value == number)
        .and_then(|partition| partition.label.as_deref())
        .map(escaped);
    format!("{number} {}", label.unwrap_or_default())
        .trim_end()
        .to_string()
}

/// From one voltage to another, either end open.
pub(super) fn range(least: f64, most: f64) -> String {
    match (least.is_finite(), most.is_finite()) {
        (true, true) => format!("{} .. {}", volts(least), volts(most)),
        (true, false) => format!("from {}", volts(least)),
        (false, true) => format!("up to {}", volts(most)),
        (false, false) => "at any voltage".to_string(),
    }
}

/// The note of the statement that holds `span`.
pub(super) fn note(item: &Item, span: Span) -> Option<Span> {
    holder(item, span).note
}
