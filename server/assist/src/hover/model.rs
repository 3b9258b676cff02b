//! Products, rule sets and whatever else is declared for all plans.

use std::sync::Arc;

use bellwire_circuit::Draw;
use bellwire_plan::figures::ohms_per_metre;
use bellwire_plan::model::{ModelData, Scope, Words, resolve_rules};
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::{Dimension, Group, in_usual_unit};

use super::page::{BATTERY_CAUTION, CAUTION, Page, amperes, code, escaped, volts};
use super::site::range;
use crate::address;
use crate::describe::{self, TABLE_TEMPERATURE};

/// A model's data.
pub(crate) fn model(item: &Arc<Item>) -> String {
    let Some(model) = item.model() else {
        return String::new();
    };
    let mut page = Page::of(
        &model.name.value,
        model.label.as_deref(),
        &format!("{} model", model.kind.name),
    );
    let draw = |what: &str, value: Option<Draw>| {
        value.map_or(String::new(), |value| {
            format!("{what} {}", describe::draw(value))
        })
    };
    match &model.data {
        ModelData::Unit(unit) => {
            let amount = |what: &str, value: Option<bellwire_plan::model::At<f64>>, dimension| {
                value.map_or(String::new(), |at| {
                    format!("{what} {}", in_usual_unit(at.value, dimension))
                })
            };
            page.lines([
                draw("Standby", Some(unit.standby)),
                draw("Alarm", Some(unit.alarm)),
                amount("Battery cut off at", unit.cutoff, Dimension::Voltage),
                amount("Charger", unit.charger, Dimension::Current),
                amount("Battery at most", unit.battery_max, Dimension::Charge),
                amount("All outputs together", unit.limit, Dimension::Current),
            ]);
            let outputs: Vec<Vec<String>> = unit
                .outputs
                .iter()
                .map(|output| {
                    let alarm = if output.in_alarm { ", in alarm" } else { "" };
                    vec![
                        format!("{}{alarm}", code(&output.name.value)),
                        volts(output.volts),
                        output
                            .limit
                            .map_or("–".to_string(), |limit| amperes(limit.value)),
                    ]
                })
                .collect();
            page.table(&["output", "volts", "limit"], &outputs);
            page.lines(unit.buses.iter().map(|bus| {
                let places: Vec<String> = bus
                    .places
                    .iter()
                    .map(|(kind, at)| {
                        format!("{} {} .. {}", kind.value.name, at.value.0, at.value.1)
                    })
                    .collect();
                format!("Bus {}: {}", code(&bus.name.value), places.join(", "))
            }));
        }
        ModelData::Device(device) => {
            let mut lines = vec![draw("Standby", device.standby), draw("Alarm", device.alarm)];
            if let Some(works) = device.works {
                lines.push(format!("Works {}", range(works.value.0, works.value.1)));
            }
            lines.extend(
                device
                    .also
                    .iter()
                    .map(|also| format!("Also {}", also.value.name)),
            );
            let sounds: Vec<String> = device
                .sounds
                .iter()
                .map(|sound| code(&sound.value))
                .collect();
            if !sounds.is_empty() {
                lines.push(format!("Sounds {}", sounds.join(", ")));
            }
            lines.extend(device.inputs.iter().map(|inputs| {
                format!(
                    "Inputs {} .. {}",
                    inputs.range.value.0, inputs.range.value.1
                )
            }));
            lines.extend(device.contacts.iter().map(|contact| {
                let role = if contact.tamper { "Tamper" } else { "Alarm" };
                let rest = if contact.closed { "closed" } else { "open" };
                format!("{role} contact, {rest} while all is quiet")
            }));
            if let Some(setting) = &device.setting_address {
                let bits = setting
                    .bits
                    .map_or(String::new(), |bits| format!(" ({bits} switches)"));
                let how = match bits.is_empty() {
                    true => address::setting(setting, 0),
                    false => format!("set on its switches{bits}"),
                };
                lines.push(format!("Address {how}"));
            }
            page.lines(lines);
        }
        ModelData::Cable(cable) => {
            let mut lines = vec![format!("{} cores", cable.cores)];
            if let Some(ohms) = ohms_per_metre(cable, TABLE_TEMPERATURE) {
                let ohms = in_usual_unit(ohms, Dimension::ResistancePerLength);
                lines.push(match cable.resistance {
                    Some(_) => format!("{ohms}, one conductor, as it is at the site"),
                    None => format!("{ohms}, one conductor at 20 °C"),
                });
            }
            if let Some(farads) = cable.capacitance {
                lines.push(in_usual_unit(farads, Dimension::CapacitancePerLength));
            }
            if !cable.colours.is_empty() {
                lines.push(escaped(&cable.colours.join(", ")));
            }
            page.lines(lines);
        }
        ModelData::Battery(battery) => {
            page.lines(
                [volts(battery.volts)].into_iter().chain(
                    battery
                        .life
                        .map(|years| format!("Replaced after {years} years")),
                ),
            );
            let rows: Vec<Vec<String>> = battery
                .capacities
                .iter()
                .map(|capacity| {
                    vec![
                        super::page::hours(capacity.hours),
                        in_usual_unit(capacity.ampere_hours, Dimension::Charge),
                    ]
                })
                .collect();
            page.table(&["emptied over", "gives"], &rows);
        }
    }
    match model.kind.group {
        Group::Unit => page.add(CAUTION),
        Group::Battery => page.add(BATTERY_CAUTION),
        Group::Device | Group::Cable => {}
    }
    page.note(item, item.root.note);
    page.finish()
}

/// A rule set with everything that it is built on.
pub(super) fn rules(scope: &dyn Scope, item: &Arc<Item>) -> String {
    let (mut findings, mut uses) = (Vec::new(), Vec::new());
    let words = Words::root(item);
    let set = resolve_rules(words, scope, &mut findings, &mut uses);
    let name = words.name().map_or("", |name| name.value);
    let label = words.label().map(|label| label.value);
    let mut page = Page::of(name, label, "rule set");
    let all = describe::rules(&set);
    let lines = all.split(", ").map(capital);
    let ageing = set.ageing.map(|factor| format!("Ageing factor {factor}"));
    let base = set
        .base
        .as_ref()
        .map(|base| format!("Built on {}", code(&base.value)));
    page.lines(base.into_iter().chain(lines).chain(ageing));
    if let Some(source) = &set.source {
        page.add(format!("Source: {}", escaped(source)));
    }
    page.note(item, item.root.note);
    page.finish()
}

/// Anything else that is declared: what it is called.
pub(super) fn other(item: &Arc<Item>) -> String {
    let words = Words::root(item);
    let name = words.name().map_or("", |name| name.value);
    let label = words.label().map(|label| label.value);
    let mut page = Page::of(name, label, item.keyword(&item.root));
    page.note(item, item.root.note);
    page.finish()
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
