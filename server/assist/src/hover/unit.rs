//! Panels and supplies: batteries, outputs, buses.

use bellwire_plan::figures::Figures;
use bellwire_plan::model::{BusBlock, OutputId, Site, UnitId};
use bellwire_plan::working::{Subject, working};

use super::device::what;
use super::page::{BATTERY_CAUTION, CAUTION, Page, code, escaped};
use crate::address;
use crate::amounts::{ampere_hours, amperes, hours, length, measured, numbers, share, volts};

/// A panel or a supply: its outputs' loads and how long its battery lasts.
pub(super) fn unit(site: &Site, figures: &Figures, id: UnitId) -> Option<String> {
    let unit = site.units.get(id)?;
    let mut what = what(unit.kind, unit.model_item.as_ref());
    if let Some(revision) = &unit.revision {
        what += &format!(", revision {}", revision.value);
    }
    let mut page = Page::of(&unit.name.value, unit.label.as_deref(), &what);
    let outputs = figures.outputs_of(id).iter();
    let rows: Vec<Vec<String>> = outputs
        .map(|output| {
            let carried = output.states.solved().map(|(_, carried)| carried.amperes);
            let most = carried.max_by(f64::total_cmp);
            vec![
                code(&site.output_name(output.id())),
                most.map_or("–".to_string(), amperes),
                output.limit.map_or("–".to_string(), amperes),
            ]
        })
        .collect();
    page.table(&["output", "load at most", "limit"], &rows);
    page.lines(battery_lines(site, figures, id));
    page.add(CAUTION);
    page.note_at(&site.item, unit.span);
    Some(page.finish())
}

/// The battery of a unit.
pub(super) fn battery(site: &Site, figures: &Figures, id: UnitId) -> Option<String> {
    let unit = site.units.get(id)?;
    let battery = unit.battery.as_ref()?;
    let name = battery.model_name.as_ref().map_or("", |name| &name.value);
    let count = match battery.count {
        None | Some(1) => String::new(),
        Some(count) => format!("{count} × "),
    };
    let mut page = Page::of(
        "Battery",
        None,
        &format!("{count}{} in {}", code(name), code(&unit.name.value)),
    );
    page.lines(battery_lines(site, figures, id));
    if let Some(working) = working(site, figures, Subject::Unit(id)) {
        page.sum(&working);
    }
    page.add(BATTERY_CAUTION);
    page.note_at(&site.item, battery.span);
    Some(page.finish())
}

fn battery_lines(site: &Site, figures: &Figures, id: UnitId) -> Vec<String> {
    let Some(found) = figures.battery(id) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    match (found.fitted_ah, found.needed_ah) {
        (Some(fitted), Some(needed)) => lines.push(format!(
            "Battery {}; {} needed",
            ampere_hours(fitted),
            ampere_hours(needed)
        )),
        (Some(fitted), None) => lines.push(format!("Battery {}", ampere_hours(fitted))),
        (None, Some(needed)) => lines.push(format!("No battery; {} needed", ampere_hours(needed))),
        (None, None) => {}
    }
    if let Some(standby) = found.standby_hours {
        let required = found.required_hours.map_or(String::new(), |required| {
            format!("; {} required", hours(required))
        });
        lines.push(format!("Standby time {}{required}", hours(standby)));
    }
    if let (Some(standby), Some(alarm)) = (found.standby_amperes, found.alarm_amperes) {
        lines.push(format!(
            "Carries {} in standby, {} in alarm",
            amperes(standby),
            amperes(alarm)
        ));
    }
    if let Some(recharge) = found.recharge_hours {
        let share = site.rules.set.recharge.map_or(String::new(), |recharge| {
            format!(" to {}", share(recharge.share))
        });
        lines.push(match recharge.is_finite() {
            true => format!("Recharged{share} in {}", hours(recharge)),
            false => "**Never charges**: the outputs take all that the charger gives".to_string(),
        });
    }
    lines
}

/// An output: load against limit.
pub(super) fn output(site: &Site, figures: &Figures, id: OutputId) -> Option<String> {
    let name = site.output_name(id);
    let (_, model) = site.output(id)?;
    let alarm = if model.in_alarm {
        ", in alarm only"
    } else {
        ""
    };
    let mut page = Page::of(
        &name,
        None,
        &format!(
            "output, {}{alarm}",
            model.volts.map_or("? V".to_string(), volts)
        ),
    );
    if let Some(found) = figures.output(id) {
        page.states(&["", "volts", "load"], &found.states, |state| {
            vec![measured(state.volts), amperes(state.amperes)]
        });
        let limit = found.limit.map(|limit| {
            let carried = found.states.solved().map(|(_, carried)| carried.amperes);
            let most = carried.fold(0.0, f64::max);
            let share = if limit > 0.0 {
                format!("; at most {:.0} % of it is used", most / limit * 100.0)
            } else {
                String::new()
            };
            format!("Limit {}{share}", amperes(limit))
        });
        page.lines(limit);
    }
    page.add(CAUTION);
    Some(page.finish())
}

/// A bus: its cable, and the places that are taken and free.
pub(super) fn bus(site: &Site, figures: &Figures, block: BusBlock) -> Option<String> {
    let mut page = Page::of(&site.block_name(block), None, "bus");
    let model = site.bus_model(block);
    let rows: Vec<Vec<String>> = address::taken(site, block)
        .into_iter()
        .filter_map(|(address, holder)| {
            let device = site.devices.get(holder.device)?;
            let label = device.label.as_deref().map(escaped).unwrap_or_default();
            let kind = holder.second.unwrap_or(device.kind.name);
            Some(vec![
                format!("{} {label}", code(&device.name.value))
                    .trim_end()
                    .to_string(),
                kind.to_string(),
                address.to_string(),
            ])
        })
        .collect();
    page.table(&["device", "kind", "address"], &rows);
    let found = figures.bus(block);
    let free = found.into_iter().flat_map(|found| found.free.iter());
    let free: Vec<String> = free
        .map(|(kind, free)| match free.as_slice() {
            [] => format!("no {}", kind.name),
            free => format!("{} {}", kind.name, numbers(free)),
        })
        .collect();
    if !free.is_empty() {
        page.add(format!("Free: {}", free.join("; ")));
    }
    if let Some(found) = found {
        let said = |metres| length(metres, site.measures());
        let least = if found.whole { "" } else { "at least " };
        let most = model
            .and_then(|model| model.length)
            .map_or(String::new(), |length| {
                format!(" of {}", said(length.value))
            });
        page.lines([format!(
            "{least}{}{most} of cable, {least}{} to the farthest device",
            said(found.metres),
            said(found.longest)
        )]);
    }
    page.note_at(&site.item, site.bus(block)?.span);
    Some(page.finish())
}
