//! Figures for programs: SI units, unrounded.

use bellwire_plan::figures::{
    BatteryFigures, BusFigures, ByState, DeviceFigures, LegFigures, OutputFigures, Solved,
    ZoneFigures,
};
use bellwire_plan::model::{Device, Meaning, Site};
use serde_json::{Map, Value, json};

use super::{Row, joined, unit};

/// The figures as one JSON object.
///
/// # Errors
/// See [`crate::output::json`].
pub fn write(rows: &[Row]) -> std::io::Result<String> {
    let sites = rows.iter().filter_map(|row| Some(site(row, row.site()?)));
    let report = json!({"sites": sites.collect::<Vec<_>>()});
    crate::output::json(&report)
}

fn site(row: &Row, site: &Site) -> Value {
    let figures = row.figures();
    json!({
        "site": site.name.as_ref().map(|name| &name.value),
        "file": row.file,
        "outputs": list(&figures.outputs, |one| output_figures(site, one)),
        "devices": list(&figures.devices, |one| device(site, one)),
        "segments": list(&figures.legs, |one| leg(site, one)),
        "batteries": list(&figures.batteries, |one| battery(site, one)),
        "zones": list(&figures.zones, |one| zone(site, one)),
        "buses": list(&figures.buses, |one| bus_figures(site, one)),
    })
}

fn list<T>(items: &[T], show: impl Fn(&T) -> Value) -> Value {
    items.iter().map(show).collect()
}

/// An object with one entry a state; a state without a solution says why.
fn states<T>(states: &ByState<Solved<T>>, show: impl Fn(&T) -> Value) -> Value {
    let entries = states.iter().map(|(state, solved)| {
        let value = match solved {
            Ok(solved) => show(solved),
            Err(why) => json!({"unsolved": why.as_str()}),
        };
        (state.name().to_string(), value)
    });
    Value::Object(entries.collect())
}

fn output_figures(site: &Site, figures: &OutputFigures) -> Value {
    json!({
        "output": site.output_name(figures.id()),
        "limit": figures.limit,
        "states": states(&figures.states, |state| json!({"volts": state.volts, "amperes": state.amperes})),
    })
}

fn device(site: &Site, figures: &DeviceFigures) -> Value {
    let device = site.devices.get(figures.device);
    let works = device.and_then(|device| device.model()?.works);
    let mut device = json!({
        "device": device.map(|device| &device.name.value),
        "works": works.map(|works| [works.value.0, works.value.1]),
        "fed-by": joined(site, &figures.fed_by),
        "states": states(&figures.states, |state| {
            json!({"volts": state.volts, "drop": state.drop, "amperes": state.amperes, "shift": state.shift})
        }),
    });
    if let Some(trigger) = &figures.trigger {
        device["triggered-by"] = json!(joined(site, &trigger.by));
    }
    device
}

fn leg(site: &Site, figures: &LegFigures) -> Value {
    json!({
        "run": site.runs.get(figures.run).map(|run| &run.name.value),
        "from": site.terminal_name(figures.from),
        "to": site.terminal_name(figures.to),
        "metres": figures.metres,
        "ohms": figures.ohms,
        "states": states(&figures.states, |state| json!({"amperes": state.amperes, "drop": state.drop})),
    })
}

fn battery(site: &Site, figures: &BatteryFigures) -> Value {
    json!({
        "at": unit(site, figures.unit),
        "fitted_ah": figures.fitted_ah,
        "needed_ah": figures.needed_ah,
        "standby_hours": figures.standby_hours,
        "required_hours": figures.required_hours,
        "standby_amperes": figures.standby_amperes,
        "alarm_amperes": figures.alarm_amperes,
        "recharge_hours": figures.recharge_hours,
        "replace_by": figures.replace_by.map(|date| date.to_string()),
    })
}

fn zone(site: &Site, figures: &ZoneFigures) -> Value {
    let zone = site.zones.get(figures.zone);
    let conditions = figures.by_key(site).into_iter();
    let conditions = conditions.map(|(key, condition)| {
        let seen = json!({
            "least": condition.least,
            "most": condition.most,
            "reads": condition.reads.map(Meaning::name),
        });
        (key, seen)
    });
    json!({
        "zone": zone.map(|zone| zone.number.value),
        "panel": zone.map(|zone| unit(site, zone.unit)),
        "input": zone.and_then(|zone| Some(site.terminal_name(zone.input.as_ref()?.value))),
        "loop": zone.and_then(|zone| Some(&zone.loop_model.as_ref()?.name.value)),
        "cable_ohms": figures.cable_ohms,
        "conditions": conditions.collect::<Map<_, _>>(),
    })
}

fn bus_figures(site: &Site, figures: &BusFigures) -> Value {
    // That several have one address is a finding; the first one has it.
    let taken = figures.taken.iter().map(|(address, holders)| {
        let first = holders.first();
        let device: Option<&Device> = first.and_then(|first| site.devices.get(*first));
        (
            address.to_string(),
            json!(device.map(|device| &device.name.value)),
        )
    });
    let free = figures
        .free
        .iter()
        .map(|(kind, addresses)| (kind.name.to_string(), json!(addresses)));
    let whole = |number: f64| figures.whole.then_some(number);
    json!({
        "bus": site.block_name(figures.block),
        "metres": whole(figures.metres),
        "longest": whole(figures.longest),
        "farads": whole(figures.farads),
        "unit_loads": figures.unit_loads,
        "ends": list(&figures.ends, |end| json!(site.terminal_name(*end))),
        "taken": taken.collect::<Map<_, _>>(),
        "free": free.collect::<Map<_, _>>(),
    })
}
