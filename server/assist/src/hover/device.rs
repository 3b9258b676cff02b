//! Devices: what reaches them, and their places on a bus.

use std::sync::Arc;

use bellwire_plan::figures::{DeviceFigures, Figures, WhatIf};
use bellwire_plan::model::{Device, DeviceId, OutputId, Place, Site};
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::Kind;

use super::page::{Page, code, escaped, ohms};
use crate::address;
use crate::amounts::{amperes, length, measured, within};
use crate::margin::margin;

/// A device: what it gets in the four states, its places, what feeds it.
pub(super) fn device(site: &Site, figures: &Figures, id: DeviceId) -> Option<String> {
    let device = site.devices.get(id)?;
    let mut page = Page::of(
        &device.name.value,
        device.label.as_deref(),
        &what(device.kind, device.model_item.as_ref()),
    );
    if let Some(found) = figures.device(id) {
        power(&mut page, site, figures, found);
    }
    page.lines(places(site, device).into_iter().chain(zones(site, id)));
    page.note_at(&site.item, device.span);
    Some(page.finish())
}

/// What it gets in the four states, from where, and over which route.
fn power(page: &mut Page, site: &Site, figures: &Figures, found: &DeviceFigures) {
    let called = |outputs: &[OutputId]| -> Vec<String> {
        let outputs = outputs.iter();
        outputs
            .map(|output| code(&site.output_name(*output)))
            .collect()
    };
    let feeds = called(&found.fed_by);
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
    let device = site.devices.get(found.device);
    let works = device.and_then(|device| device.model()?.works);
    let works = works.map(|works| {
        let margin = margin(site, figures, found.device);
        let margin = margin.map(|margin| format!("; {} {}", margin.bold(), margin.state.phrase()));
        let (least, most) = works.value;
        format!(
            "Works {}{}",
            within(least, most),
            margin.unwrap_or_default()
        )
    });
    let fed = (!feeds.is_empty()).then(|| format!("Fed by {}", feeds.join(" and ")));
    let triggered = found.trigger.as_ref().map(|trigger| {
        let by = called(&trigger.by);
        if by.is_empty() {
            return "Not triggered: no cable brings it an output that is `in alarm`".to_string();
        }
        let gets = trigger
            .states
            .lowest()
            .map_or(String::new(), |(state, got)| {
                format!(", {} there {}", measured(got.volts), state.phrase())
            });
        format!("Triggered by {}{gets}", by.join(" and "))
    });
    page.lines(works.into_iter().chain(fed).chain(triggered));
    page.lines(route(site, figures, found));
}

/// Its addresses, and its partitions.
fn places(site: &Site, device: &Device) -> Vec<String> {
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
            Place::Unread => {}
        }
    }
    let partitions = device.partitions.iter();
    lines.extend(
        partitions.map(|number| format!("Partition {}", partition_name(site, number.value))),
    );
    lines
}

/// The zones that it is on.
fn zones(site: &Site, id: DeviceId) -> impl Iterator<Item = String> {
    let zones = site.zones.iter();
    let on = zones.filter(move |zone| zone.from.iter().any(|from| from.value == id));
    on.map(|zone| {
        let label = zone.label.as_deref().map(escaped).unwrap_or_default();
        let line = format!("On zone {} {label}", zone.number.value);
        line.trim_end().to_string()
    })
}

/// What is lost on each leg of the route to a device, in the state that leaves it
/// least. One leg alone loses what the states say already.
fn route(site: &Site, figures: &Figures, device: &DeviceFigures) -> Vec<String> {
    let route = device.states.lowest().and_then(|(state, _)| {
        let legs = WhatIf::new(site, figures).route(device.device, state)?;
        (legs.len() > 1).then_some((state, legs))
    });
    let Some((state, legs)) = route else {
        return Vec::new();
    };
    let heading = format!("*Lost on the shortest route, {}*", state.phrase());
    let legs = legs.iter().map(|leg| {
        let [from, to] = [leg.from, leg.to].map(|end| code(&site.terminal_name(end)));
        let measures = site.measures_of_leg(leg.run, leg.path, leg.leg);
        let (long, ohms) = (length(leg.metres, measures), ohms(leg.ohms));
        format!("{from} – {to}, {long}, {ohms}: {}", measured(leg.lost))
    });
    [heading].into_iter().chain(legs).collect()
}

/// What it is: its kind, and its model.
pub(super) fn what(kind: &Kind, model: Option<&Arc<Item>>) -> String {
    let model = model.and_then(|item| item.model()).map(|model| {
        let name = code(&model.name.value);
        let label = model.label.as_deref().map(escaped).unwrap_or_default();
        format!(" {name} {label}").trim_end().to_string()
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
    let bus = device.bus?;
    let unit = site.units.get(bus.unit)?;
    let name = site.block_name(bus);
    let is_second = kind.name != device.kind.name;
    let who = if is_second {
        format!("Its {} at address", kind.name)
    } else {
        "Address".to_string()
    };
    let enabled = site
        .bus_model(bus)
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
