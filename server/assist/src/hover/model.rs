//! Products, rule sets and whatever else is declared for all plans.

use std::sync::Arc;

use bellwire_circuit::{Draw, Metal, Size};
use bellwire_plan::figures::ohms_per_metre;
use bellwire_plan::model::{
    At, BatteryModel, BusModel, CableModel, DeviceModel, InputsModel, ModelData, Scope, UnitModel,
    Words, resolve_rules,
};
use bellwire_plan::sentence::{capital, count, either};
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::{Dimension, Measures, in_usual_unit};

use super::page::{CAUTION, Page, code, escaped};
use crate::address;
use crate::amounts::{ampere_hours, amperes, between, draw, hours, volts, within};
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
        ModelData::Unit(model) => unit(&mut page, model, measures),
        ModelData::Device(model) => device(&mut page, model),
        ModelData::Cable(model) => cable(&mut page, model, measures),
        ModelData::Battery(model) => battery(&mut page, model),
        ModelData::Series(_) => page.lines([describe::model(model, measures).join(", ")]),
    }
    page.note(item, item.root().note);
    page.finish()
}

fn unit(page: &mut Page, model: &UnitModel, measures: Measures) {
    let amount = |what: &str, value: Option<At<f64>>, show: fn(f64) -> String| {
        value.map(|at| format!("{what} {}", show(at.value)))
    };
    // Without a word of it, nobody knows what it draws.
    let own = |draw: Option<Draw>| draw.filter(|_| model.draw_named);
    let lines = [
        own(model.standby).map(|own| format!("Standby {}", draw(own))),
        own(model.alarm).map(|own| format!("Alarm {}", draw(own))),
        amount("Battery cut off at", model.cutoff, volts),
        amount("Charger", model.charger, amperes),
        model
            .mains
            .map(|mains| format!("Mains side {}", draw(mains.value))),
        amount("Battery at most", model.battery_max, ampere_hours),
        amount("All outputs together", model.limit, amperes),
        model
            .partitions
            .map(|most| format!("Partitions {}", most.value)),
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
    for bus in &model.buses {
        page.lines(bus_lines(model, bus, measures));
    }
    page.lines(input_lines(&model.inputs));
    page.add(CAUTION);
}

/// A bus: its addresses, what it can carry, and how its cable may lie.
fn bus_lines(model: &UnitModel, bus: &BusModel, measures: Measures) -> Vec<String> {
    let range = |(first, last): (u32, u32)| between(first.to_string(), last.to_string());
    let places = bus.places.iter();
    let places = places.map(|(kind, at)| format!("{} {}", kind.value.name, range(at.value)));
    let mut places: Vec<String> = places.collect();
    if places.is_empty() {
        let all = bus.addresses;
        places.extend(all.map(|all| format!("addresses {}", range(all.value))));
    }
    let enabled = bus.enabled.iter().map(|(at, since)| match since {
        Some(revision) => format!("{} from revision {revision}", range(at.value)),
        None => range(at.value),
    });
    let in_unit = |at: At<f64>, dimension| measures.in_usual_unit(at.value, dimension);
    let metres = |at: At<f64>| in_unit(at, Dimension::Length);
    let most = [
        bus.devices.map(|most| count(most.value, "device")),
        bus.unit_loads
            .map(|most| format!("{} unit loads", most.value)),
        bus.length.map(|most| format!("{} of cable", metres(most))),
        bus.longest
            .map(|most| format!("{} to the farthest device", metres(most))),
        bus.capacitance
            .map(|most| in_unit(most, Dimension::Capacitance)),
        bus.shift
            .map(|most| format!("{} between the negatives", volts(most.value))),
    ];
    let layouts = bus.layouts.iter().map(|layout| layout.value.name());
    let terminals = bus.terminals.iter();
    let terminals = terminals.map(|(core, number)| format!("{} {}", core.value, number.value));
    let together = |what: &str, parts: Vec<String>, between: &str| {
        (!parts.is_empty()).then(|| format!("{what} {}", parts.join(between)))
    };
    let power = bus.power.and_then(|index| model.outputs.get(index));
    let lines = [
        Some(format!(
            "Bus {}: {}",
            code(&bus.name.value),
            places.join(", ")
        )),
        power.map(|output| format!("Power from {}", code(&output.name.value))),
        together("Enabled from the factory:", enabled.collect(), ", "),
        together("At most", most.into_iter().flatten().collect(), ", "),
        together("Laid as", layouts.map(String::from).collect(), " or "),
        bus.terminated.map(|ohms| {
            let ohms = measures.in_usual_unit(ohms, Dimension::Resistance);
            format!("{ohms} across the data at both ends")
        }),
        together("Terminals", terminals.collect(), ", "),
    ];
    lines.into_iter().flatten().collect()
}

/// Blocks of inputs, with the loops that they can read.
fn input_lines(blocks: &[InputsModel]) -> impl Iterator<Item = String> {
    blocks.iter().filter_map(|block| {
        let (first, last) = block.range?.value;
        let loops = block.loops.iter().map(|own| code(&own.name.value));
        let loops: Vec<String> = loops.collect();
        let read = match loops.as_slice() {
            _ if block.as_panel => ", as the panel's".to_string(),
            [] => String::new(),
            loops => format!(": loop {}", either(loops)),
        };
        let range = between(first.to_string(), last.to_string());
        Some(format!("Inputs {range}{read}"))
    })
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
    lines.extend(input_lines(&model.inputs));
    lines.extend(model.contacts.iter().map(|contact| {
        let role = if contact.tamper { "Tamper" } else { "Alarm" };
        let rest = if contact.closed { "closed" } else { "open" };
        let ohms = match contact.ohms {
            0.0 => String::new(),
            ohms => format!(", {}", in_usual_unit(ohms, Dimension::Resistance)),
        };
        format!("{role} contact, {rest} while all is quiet{ohms}")
    }));
    let weighs = model.unit_load.filter(|weighs| *weighs != 1.0);
    lines.extend(weighs.map(|weighs| format!("Unit load {weighs}")));
    if let Some(setting) = &model.setting_address {
        lines.push(match setting.bits {
            Some(bits) => format!("Address set on its switches ({bits} switches)"),
            None => format!("Address {}", address::setting(setting, 0)),
        });
    }
    page.lines(lines);
}

fn cable(page: &mut Page, model: &CableModel, measures: Measures) {
    let cores = model.cores.map(|cores| count(cores, "core"));
    let mut lines: Vec<String> = cores.into_iter().collect();
    let size = model.conductor.filter(|_| model.resistance.is_none());
    lines.extend(size.map(|size| {
        let size = match size {
            Size::Awg(gauge) => in_usual_unit(gauge, Dimension::Gauge),
            Size::SquareMillimetres(area) => in_usual_unit(area, Dimension::Area),
        };
        let metal = match model.metal {
            Metal::Copper => "copper",
            Metal::TinnedCopper => "tinned copper",
            Metal::CopperCladAluminium => "copper-clad aluminium",
        };
        match model.strands {
            1 => format!("{size} {metal}, solid"),
            strands => format!("{size} {metal}, {strands} strands"),
        }
    }));
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
    page.add(CAUTION);
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
