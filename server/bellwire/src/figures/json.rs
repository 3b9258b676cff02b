//! Figures for programs: SI units, unrounded.

use bellwire_plan::figures::{
    BatteryFigures, BusFigures, ByState, DeviceFigures, OutputFigures, SegmentFigures, Solved,
    ZoneFigures,
};
use bellwire_plan::model::{Device, Site};
use serde_json::{Map, Value, json};

use super::{Row, bus, output, unit};

/// The figures as one JSON object.
pub fn write(rows: &[Row]) -> String {
    let sites = rows.iter().filter_map(|row| Some(site(row, row.site()?)));
    let report = json!({"sites": sites.collect::<Vec<_>>()});
    crate::output::json(&report)
}

fn site(row: &Row, site: &Site) -> Value {
    let figures = row.figures();
    json!({
        "site": site.name.as_ref().map(|name| &name.value),
        "file": row.file,
        "outputs": list(&figures.outputs, |of| output_figures(site, of)),
        "devices": list(&figures.devices, |of| device(site, of)),
        "segments": list(&figures.segments, |of| segment(site, of)),
        "batteries": list(&figures.batteries, |of| battery(site, of)),
        "zones": list(&figures.zones, |of| zone(site, of)),
        "buses": list(&figures.buses, |of| bus_figures(site, of)),
    })
}

fn list<T>(items: &[T], of: impl Fn(&T) -> Value) -> Value {
    items.iter().map(of).collect()
}

/// An object with one entry a state; a state without a solution says why.
fn states<T>(states: &ByState<Solved<T>>, of: impl Fn(&T) -> Value) -> Value {
    let entries = states.iter().map(|(state, solved)| {
        let value = match solved {
            Ok(solved) => of(solved),
            Err(why) => json!({"unsolved": &**why}),
        };
        (state.name().to_string(), value)
    });
    Value::Object(entries.collect())
}

fn output_figures(site: &Site, of: &OutputFigures) -> Value {
    json!({
        "output": output(site, (of.unit, of.output)),
        "limit": of.limit,
        "states": states(&of.states, |state| json!({"volts": state.volts, "amperes": state.amperes})),
    })
}

fn device(site: &Site, of: &DeviceFigures) -> Value {
    let device = site.devices.get(of.device);
    let works = device.and_then(|device| device.model()?.works);
    json!({
        "device": device.map(|device| &device.name.value),
        "works": works.map(|works| [works.value.0, works.value.1]),
        "fed-by": fed_by(site, of),
        "states": states(&of.states, |state| {
            json!({"volts": state.volts, "drop": state.drop, "amperes": state.amperes, "shift": state.shift})
        }),
    })
}

/// The output that feeds a device, all of them joined by ` + `, or nothing.
fn fed_by(site: &Site, of: &DeviceFigures) -> Option<String> {
    let names: Vec<String> = of.fed_by.iter().map(|fed| output(site, *fed)).collect();
    (!names.is_empty()).then(|| names.join(" + "))
}

fn segment(site: &Site, of: &SegmentFigures) -> Value {
    json!({
        "run": site.runs.get(of.run).map(|run| &run.name.value),
        "from": site.terminal_name(of.from),
        "to": site.terminal_name(of.to),
        "metres": of.metres,
        "ohms": of.ohms,
        "states": states(&of.states, |state| json!({"amperes": state.amperes, "drop": state.drop})),
    })
}

fn battery(site: &Site, of: &BatteryFigures) -> Value {
    json!({
        "at": unit(site, of.unit),
        "fitted_ah": of.fitted_ah,
        "needed_ah": of.needed_ah,
        "standby_hours": of.standby_hours,
        "required_hours": of.required_hours,
        "standby_amperes": of.standby_amperes,
        "alarm_amperes": of.alarm_amperes,
        "recharge_hours": of.recharge_hours,
        "replace_by": of.replace_by,
    })
}

fn zone(site: &Site, of: &ZoneFigures) -> Value {
    let zone = site.zones.get(of.zone);
    let conditions = of.conditions.iter().map(|condition| {
        let seen = json!({
            "least": condition.least,
            "most": condition.most,
            "reads": condition.reads,
        });
        (condition.condition.clone(), seen)
    });
    json!({
        "zone": zone.map(|zone| zone.number.value),
        "panel": zone.map(|zone| unit(site, zone.unit)),
        "input": zone.and_then(|zone| Some(site.terminal_name(zone.input.as_ref()?.value))),
        "loop": zone.and_then(|zone| Some(&zone.loop_model.as_ref()?.name.value)),
        "cable_ohms": of.cable_ohms,
        "conditions": conditions.collect::<Map<_, _>>(),
    })
}

fn bus_figures(site: &Site, of: &BusFigures) -> Value {
    let taken = of.taken.iter().map(|(address, device)| {
        let device: Option<&Device> = site.devices.get(*device);
        (
            address.to_string(),
            json!(device.map(|device| &device.name.value)),
        )
    });
    let free = of
        .free
        .iter()
        .map(|(kind, addresses)| (kind.name.to_string(), json!(addresses)));
    json!({
        "bus": bus(site, (of.unit, of.bus)),
        "metres": of.metres,
        "longest": of.longest,
        "farads": of.farads,
        "unit_loads": of.unit_loads,
        "ends": list(&of.ends, |end| json!(site.terminal_name(*end))),
        "taken": taken.collect::<Map<_, _>>(),
        "free": free.collect::<Map<_, _>>(),
    })
}
