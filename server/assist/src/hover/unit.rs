//! Panels and supplies: batteries, outputs, buses.

use bellwire_plan::figures::{Figures, State, above};
use bellwire_plan::model::{BusBlock, OutputId, Site, UnitId};
use bellwire_plan::working::{Subject, working};

use super::device::what;
use super::page::{CAUTION, Page, code, escaped};
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
    page.lines(together(site, figures, id));
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
    page.add(CAUTION);
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
        let carried = found.states.solved().map(|(_, carried)| carried.amperes);
        let most = carried.fold(0.0, f64::max);
        let own = found.limit.map(|limit| against_limit(site, most, limit));
        let own = own.map(|own| format!("Limit {own}"));
        page.lines(own.into_iter().chain(together(site, figures, id.unit)));
    }
    page.add(CAUTION);
    Some(page.finish())
}

/// What all outputs of a unit carry together, where they share one limit.
fn together(site: &Site, figures: &Figures, id: UnitId) -> Option<String> {
    let limit = site.units.get(id)?.model()?.limit?.value;
    let outputs = figures.outputs_of(id);
    let carried = State::ALL.into_iter().filter_map(|state| {
        let carried = outputs.iter().map(|output| output.states[state].as_ref());
        let carried = carried.map(|carried| Some(carried.ok()?.amperes));
        carried.sum::<Option<f64>>()
    });
    let most = carried.max_by(f64::total_cmp)?;
    Some(format!(
        "All outputs together: {} of {}",
        amperes(most),
        against_limit(site, most, limit)
    ))
}

/// A limit and what is left of it: `600 mA; 104 mA left, with 20 % kept free`.
fn against_limit(site: &Site, most: f64, limit: f64) -> String {
    let headroom = site.rules.set.headroom.unwrap_or(0.0);
    let kept = limit * (1.0 - headroom);
    let left = match above(most, kept) {
        true => format!("**{} too much**", amperes(most - kept)),
        false => format!("{} left", amperes((kept - most).max(0.0))),
    };
    let free = match headroom > 0.0 {
        true => format!(", with {} kept free", share(headroom)),
        false => String::new(),
    };
    format!("{}; {left}{free}", amperes(limit))
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
        let of =
            |most: Option<f64>| most.map_or(String::new(), |most| format!(" of {}", said(most)));
        let most = model.map(|model| [&model.length, &model.longest]);
        let [most, farthest] =
            most.map_or([None, None], |most| most.map(|at| Some(at.as_ref()?.value)));
        page.lines([format!(
            "{least}{}{} of cable, {least}{}{} to the farthest device",
            said(found.metres),
            of(most),
            said(found.longest),
            of(farthest)
        )]);
    }
    page.note_at(&site.item, site.bus(block)?.span);
    Some(page.finish())
}
