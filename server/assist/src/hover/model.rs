//! Products, rule sets and whatever else is declared for all plans.

use std::sync::Arc;

use bellwire_plan::figures::ohms_per_metre;
use bellwire_plan::model::{
    At, BatteryModel, CableModel, DeviceModel, ModelData, Scope, UnitModel, Words, resolve_rules,
};
use bellwire_plan::sentence::capital;
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::{Dimension, Measures};

use super::page::{BATTERY_CAUTION, CAUTION, Page, code, escaped};
use crate::address;
use crate::amounts::{ampere_hours, amperes, draw, hours, volts, within};
use crate::describe::{self, TABLE_TEMPERATURE};

/// A model's data, for a plan that is measured so.
pub(crate) fn model(item: &Arc<Item>, measures: Measures) -> String {
    let Some(model) = item.model() else {
        return String::new();
    };
    let mut page = Page::of(
        &model.name.value,
        model.label.as_deref(),
        &format!("{} model", model.kind.name),
    );
    match &model.data {
        ModelData::Unit(model) => unit(&mut page, model),
        ModelData::Device(model) => device(&mut page, model),
        ModelData::Cable(model) => cable(&mut page, model, measures),
        ModelData::Battery(model) => battery(&mut page, model),
        ModelData::Series(_) => page.lines([describe::model(model, measures).join(", ")]),
    }
    page.note(item, item.root().note);
    page.finish()
}

fn unit(page: &mut Page, model: &UnitModel) {
    let amount = |what: &str, value: Option<At<f64>>, show: fn(f64) -> String| {
        value.map(|at| format!("{what} {}", show(at.value)))
    };
    let lines = [
        model.standby.map(|own| format!("Standby {}", draw(own))),
        model.alarm.map(|own| format!("Alarm {}", draw(own))),
        amount("Battery cut off at", model.cutoff, volts),
        amount("Charger", model.charger, amperes),
        amount("Battery at most", model.battery_max, ampere_hours),
        amount("All outputs together", model.limit, amperes),
    ];
    page.lines(lines.into_iter().flatten());
    let outputs = model.outputs.iter().map(|output| {
        let alarm = if output.in_alarm { ", in alarm" } else { "" };
        let limit = output.limit.map(|limit| amperes(limit.value));
        vec![
            format!("{}{alarm}", code(&output.name.value)),
            output.volts.map_or("?".to_string(), volts),
            limit.unwrap_or("–".to_string()),
        ]
    });
    page.table(&["output", "volts", "limit"], &outputs.collect::<Vec<_>>());
    page.lines(model.buses.iter().map(|bus| {
        let places = bus.places.iter().map(|(kind, at)| {
            let (first, last) = at.value;
            format!("{} {first} .. {last}", kind.value.name)
        });
        let places: Vec<String> = places.collect();
        format!("Bus {}: {}", code(&bus.name.value), places.join(", "))
    }));
    page.add(CAUTION);
}

fn device(page: &mut Page, model: &DeviceModel) {
    let draws = [
        ("Standby", model.standby),
        ("Alarm", model.alarm),
        ("Trigger", model.trigger),
    ];
    let draws = draws.into_iter();
    let mut lines: Vec<String> = draws
        .filter_map(|(what, value)| Some(format!("{what} {}", draw(value?))))
        .collect();
    if let Some(works) = model.works {
        lines.push(format!("Works {}", within(works.value.0, works.value.1)));
    }
    let also = model.also.iter();
    lines.extend(also.map(|also| format!("Also {}", also.value.name)));
    let sounds = model.sounds.iter().map(|sound| code(&sound.value));
    let sounds: Vec<String> = sounds.collect();
    if !sounds.is_empty() {
        lines.push(format!("Sounds {}", sounds.join(", ")));
    }
    let ranges = model.inputs.iter().filter_map(|inputs| inputs.range);
    lines.extend(ranges.map(|range| {
        let (first, last) = range.value;
        format!("Inputs {first} .. {last}")
    }));
    lines.extend(model.contacts.iter().map(|contact| {
        let role = if contact.tamper { "Tamper" } else { "Alarm" };
        let rest = if contact.closed { "closed" } else { "open" };
        format!("{role} contact, {rest} while all is quiet")
    }));
    if let Some(setting) = &model.setting_address {
        lines.push(match setting.bits {
            Some(bits) => format!("Address set on its switches ({bits} switches)"),
            None => format!("Address {}", address::setting(setting, 0)),
        });
    }
    page.lines(lines);
}

fn cable(page: &mut Page, model: &CableModel, measures: Measures) {
    let cores = model.cores.map(|cores| format!("{cores} cores"));
    let mut lines: Vec<String> = cores.into_iter().collect();
    if let Some(ohms) = ohms_per_metre(model, Some(TABLE_TEMPERATURE)) {
        let ohms = measures.in_usual_unit(ohms, Dimension::ResistancePerLength);
        let when = measures.in_usual_unit(TABLE_TEMPERATURE, Dimension::Temperature);
        lines.push(match model.resistance {
            Some(_) => format!("{ohms}, one conductor, as it is at the site"),
            None => format!("{ohms}, one conductor at {when}"),
        });
    }
    if let Some(farads) = model.capacitance {
        lines.push(measures.in_usual_unit(farads, Dimension::CapacitancePerLength));
    }
    if !model.colours.is_empty() {
        lines.push(escaped(&model.colours.join(", ")));
    }
    page.lines(lines);
}

fn battery(page: &mut Page, model: &BatteryModel) {
    let life = model.life;
    let life = life.map(|years| format!("Replaced after {years} years"));
    page.lines(model.volts.map(volts).into_iter().chain(life));
    let rows = model.capacities.iter().map(|capacity| {
        let (time, gives) = (hours(capacity.hours), ampere_hours(capacity.ampere_hours));
        vec![time, gives]
    });
    page.table(&["emptied over", "gives"], &rows.collect::<Vec<_>>());
    page.add(BATTERY_CAUTION);
}

/// A rule set with everything that it is built on.
pub(super) fn rules(scope: &dyn Scope, item: &Arc<Item>) -> String {
    let (mut findings, mut uses) = (Vec::new(), Vec::new());
    let words = Words::root(item);
    let set = resolve_rules(words, scope, &mut findings, &mut uses);
    let name = words.name().map_or("", |name| name.value);
    let label = words.label().map(|label| label.value);
    let mut page = Page::of(name, label.as_deref(), "rule set");
    let asked = describe::rules(&set);
    let lines = asked.iter().map(|asked| capital(asked));
    let ageing = set.ageing.map(|factor| format!("Ageing factor {factor}"));
    let base = set
        .base
        .as_ref()
        .map(|base| format!("Built on {}", code(&base.value)));
    page.lines(base.into_iter().chain(lines).chain(ageing));
    if let Some(source) = &set.source {
        page.add(format!("Source: {}", escaped(source)));
    }
    for note in words.all("note").filter_map(|note| note.label()) {
        page.add(escaped(&note.value));
    }
    page.note(item, item.root().note);
    page.finish()
}

/// Anything else that is declared: what it is called.
pub(super) fn other(item: &Arc<Item>) -> String {
    let words = Words::root(item);
    let name = words.name().map_or("", |name| name.value);
    let label = words.label().map(|label| label.value);
    let mut page = Page::of(name, label.as_deref(), item.word());
    page.note(item, item.root().note);
    page.finish()
}
