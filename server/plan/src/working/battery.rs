//! The battery of a panel or supply: what it carries, what it must hold, how it
//! empties and charges; and the mains side behind it.

use bellwire_circuit::battery::{
    CHARGE_FACTOR, PEUKERT, Ratings, TABLED_CELSIUS, temperature_factor,
};

use super::along::Along;
use super::{Part, Working, ampere_hours, amperes, fixed, known, short, titled, volts};
use crate::figures::{
    Activity, BatteryFigures, Discharge, Figures, State, ageing, discharge, drawn_at, mains,
    nominal_volts, ratings, spare, takes_battery, usable_share,
};
use crate::model::{Site, Unit, UnitId};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, id: UnitId) -> Option<Working> {
    let unit = site.units.get(id)?;
    let mut title = titled(&unit.name.value, unit.label.as_deref());
    let fitted = unit.battery.as_ref();
    if let Some(name) = fitted.and_then(|battery| battery.model_name.as_ref()) {
        let count = fitted
            .and_then(|battery| Some(u64::from(battery.count?) * u64::from(battery.in_series?)));
        let count = match count {
            None | Some(1) => String::new(),
            Some(count) => format!("{count} x "),
        };
        title += &format!(", battery {count}{}", name.value);
    }
    let mut parts = Vec::new();
    match figures.battery(id) {
        Some(own) => {
            parts.push(carried(figures, id, unit, own)?);
            parts.extend(needed(site, unit, own));
            parts.extend(charging(site, figures, unit, own));
            parts.extend(emptying(site, figures, id, own));
        }
        None => {
            let mut part = Part::sum("Battery");
            part.note(match takes_battery(unit) {
                true => "None is fitted.",
                false => "It takes none.",
            });
            parts.push(part);
        }
    }
    parts.extend(mains_side(site, figures, id));
    if let Some(part) = parts.last_mut() {
        part.note("Isolate the mains and disconnect the battery before touching terminals: a battery can deliver hundreds of amperes. The standard's own text and the maker's instructions rule.");
    }
    Some(Working { title, parts })
}

fn carried(figures: &Figures, id: UnitId, unit: &Unit, own: &BatteryFigures) -> Option<Part> {
    let model = unit.model()?;
    let nominal = nominal_volts(unit)?;
    let mut part = Part::new("What it carries, amperes", &["", " standby", " alarm"]);
    let draws = [model.standby, model.alarm].map(|draw| Some(drawn_at(draw?, nominal)));
    let row = |part: &mut Part, what: &str, values: [Option<f64>; 2]| {
        let cells = values.map(|value| known(value, |value| fixed(value, 3)));
        part.row([what.to_string()].into_iter().chain(cells));
    };
    row(&mut part, &format!("{} itself", unit.name.value), draws);
    let all = [own.standby_amperes, own.alarm_amperes];
    let outputs = figures.outputs_of(id);
    let name = |output: usize| {
        let output = model.outputs.get(output);
        output.map_or(String::new(), |output| {
            format!("{}.{}", unit.name.value, output.name.value)
        })
    };
    let names: Vec<String> = outputs.iter().map(|output| name(output.output)).collect();
    let rest = [0, 1].map(|index| Some(all[index]? - draws[index]?));
    let what = match names.len() {
        0 => String::new(),
        1 | 2 => names.join(" and "),
        count => format!("its {count} outputs"),
    };
    if !what.is_empty() {
        row(&mut part, &what, rest);
    }
    row(&mut part, "together", all);
    part.note(format!(
        "The outputs are solved at the battery's nominal {} V; that they carry more or less as it falls is in the discharge below.",
        short(nominal)
    ));
    Some(part)
}

fn needed(site: &Site, unit: &Unit, own: &BatteryFigures) -> Option<Part> {
    let rules = &site.rules.set;
    let name = site.rules.name.as_ref()?;
    let mut part = Part::sum(format!("What it must hold, by {}", name.value));
    let (standby, alarm) = own.standby_amperes.zip(own.alarm_amperes)?;
    let needed = own.needed_ah?;
    let ratings = ratings(unit.battery.as_ref().and_then(|battery| battery.model()))?;
    let mut sum = 0.0;
    for (what, drawn, hours) in [
        ("standby", standby, rules.standby.unwrap_or(0.0)),
        ("alarm", alarm, rules.alarm.unwrap_or(0.0)),
    ] {
        let share = ratings.fraction(drawn, needed);
        let taken = drawn * hours / share;
        sum += taken;
        part.line(
            what,
            format!(
                "{} x {} h / {}",
                amperes(drawn),
                short(hours),
                fixed(share, 3)
            ),
            ampere_hours(taken),
        );
    }
    let (ageing, coldest) = ageing(site).zip(site.coldest())?;
    let cold = temperature_factor(coldest);
    part.line("together", "", ampere_hours(sum));
    part.line(
        "for its last year",
        format!("x {}", short(ageing)),
        ampere_hours(sum * ageing),
    );
    part.line(
        format!("at {}", Along::of(site).temperature(coldest)),
        format!("x {}", fixed(cold, 3)),
        ampere_hours(needed),
    );
    if let Some(capacity) = own.fitted_ah {
        fitted(&mut part, unit, own, capacity)?;
    }
    if let (Some(lasts), Some(asked)) = (own.standby_hours, own.required_hours) {
        part.line(
            "so it lasts in standby, before the alarm",
            format!("of {} h", short(asked)),
            or_ever(lasts),
        );
    }
    footnotes(&mut part, site, unit, own, &ratings);
    Some(part)
}

/// What is fitted against what is needed.
fn fitted(part: &mut Part, unit: &Unit, own: &BatteryFigures, capacity: f64) -> Option<()> {
    part.line("fitted", "", ampere_hours(capacity));
    let (share, had) = (usable_share(unit)?, own.usable_ah?);
    if share < 1.0 {
        let what = "of which it gives before it is cut off";
        part.line(what, format!("x {}", fixed(share, 3)), ampere_hours(had));
    }
    let what = match own.is_short() {
        false => "in hand",
        true => "too little",
    };
    part.line(what, "", ampere_hours((had - own.needed_ah?).abs()));
    Some(())
}

/// Hours to a tenth.
fn or_ever(hours: f64) -> String {
    match hours.is_finite() {
        true => format!("{} h", fixed(hours, 1)),
        false => "for ever".to_string(),
    }
}

/// Where the factors of what it must hold come from, and what they leave out.
fn footnotes(part: &mut Part, site: &Site, unit: &Unit, own: &BatteryFigures, ratings: &Ratings) {
    part.note(match ratings.single() {
        true => format!(
            "The last figure of a line is the share of its capacity that a battery of the size needed gives at that current: Peukert's exponent {PEUKERT}, from memory, since the model gives one rate only."
        ),
        false => "The last figure of a line is the share of its capacity that a battery of the size needed gives at that current, from the model's own rates.".to_string(),
    });
    let left = usable_share(unit).map(|share| 1.0 - share);
    if let Some(left) = left.filter(|left| *left > 0.0) {
        part.note(format!(
            "The sum counts a battery empty at 1.75 V a cell, as its rates do. {} cuts it off higher, where by a typical discharge, from memory, {} are still in it: so much more must be fitted.",
            unit.name.value,
            in_usual_unit(left, Dimension::Share)
        ));
    }
    part.note("Ageing: IEEE 485, from memory, unless the rule set says its own. Temperature: IEEE 485, read in a third-party chart.");
    let coldest = site.coldest();
    let along = Along::of(site);
    if let Some(coldest) = coldest.filter(|coldest| coldest < TABLED_CELSIUS.start()) {
        part.note(format!(
            "{} is colder than that table goes ({}): the factor carries on with its coldest slope, which is our own and not the standard's.",
            along.temperature(coldest),
            along.tabled_temperature(*TABLED_CELSIUS.start())
        ));
    }
    if let Some((name, source)) = site.rules.name.as_ref().zip(site.rules.set.source.as_ref()) {
        part.note(format!("{}: {source}.", name.value));
    }
    if let Some(date) = &own.replace_by {
        part.note(format!("Its life is over in {date}: replace it then."));
    }
}

fn charging(site: &Site, figures: &Figures, unit: &Unit, own: &BatteryFigures) -> Option<Part> {
    let charger = unit.model()?.charger?.value;
    let rules = site.rules.set.recharge?;
    let fitted = own.fitted_ah?;
    let spare = spare(charger, figures.outputs_of(own.unit), State::MainsStandby)?;
    let share = in_usual_unit(rules.share, Dimension::Share);
    let mut part = Part::sum(format!("Charging it to {share} again"));
    part.line("charger", "", amperes(charger));
    part.line(
        "outputs in standby",
        "",
        format!("- {}", amperes(charger - spare)),
    );
    part.line("left for the battery", "", amperes(spare));
    let takes = own.recharge_hours?;
    part.line(
        "takes",
        format!(
            "{CHARGE_FACTOR} x {} x {share} / {}",
            ampere_hours(fitted),
            amperes(spare)
        ),
        or_ever(takes),
    );
    part.line("allowed", "", format!("{} h", fixed(rules.hours, 1)));
    part.note(format!(
        "{CHARGE_FACTOR} Ah go in for each that came out (lead-acid; IEEE 946, from memory)."
    ));
    Some(part)
}

/// The discharge, as a chart: a bar for the volts between those of an empty and
/// those of a full battery.
fn emptying(site: &Site, figures: &Figures, id: UnitId, own: &BatteryFigures) -> Option<Part> {
    const BAR: f64 = 30.0;
    const ROWS: usize = 10;
    let standby = discharge(site, figures, id, Activity::Standby)?;
    let (first, last) = (standby.points.first()?, standby.points.last()?);
    let columns = [" h", " V", " left", " A", ""];
    let mut part = Part::new("How it empties in standby, aged and cold", &columns);
    let every = (standby.points.len() / ROWS).max(1);
    for (index, point) in standby.points.iter().enumerate() {
        let is_last = index + 1 == standby.points.len();
        if index % every != 0 && !is_last {
            continue;
        }
        let span = (first.volts - last.volts).max(f64::EPSILON);
        let length = 1.0 + (BAR - 1.0) * (point.volts - last.volts) / span;
        part.row([
            fixed(point.hours, 1),
            fixed(point.volts, 2),
            format!("{} %", fixed(point.share * 100.0, 0)),
            fixed(point.amperes, 3),
            "#".repeat(length.round() as usize),
        ]);
    }
    part.note(format!(
        "From {} that ageing and the cold leave of it. A typical course of a lead-acid battery, from memory, with the load as the network draws it at each voltage; no promise of a time. What it must hold is the sum above.",
        ampere_hours(standby.aged_ah)
    ));
    if let Some(asked) = own.required_hours
        && let Some(point) = standby.at(asked)
    {
        part.note(format!(
            "After the {} h asked for it stands at {}.",
            short(asked),
            volts(point.volts)
        ));
    }
    let in_alarm = discharge(site, figures, id, Activity::Alarm);
    let alarm = in_alarm.as_ref().map(Discharge::hours);
    if let Some(hours) = alarm.filter(|hours| *hours > 0.0) {
        part.note(format!(
            "In alarm from the start it would be empty after {} h.",
            fixed(hours, 1)
        ));
    }
    if standby.cut_short {
        part.note("Below the last line the network cannot be fed, or nothing is drawn.");
    }
    Some(part)
}

fn mains_side(site: &Site, figures: &Figures, id: UnitId) -> Option<Part> {
    let states = [State::MainsStandby, State::MainsAlarm];
    let [standby, alarm] = states.map(|state| mains(site, figures, id, state));
    let (standby, alarm) = standby.zip(alarm)?;
    let mut part = Part::new(
        "What it asks of its mains side, watts",
        &["", " standby", " alarm"],
    );
    for (what, watts) in [
        ("itself", [standby.own, alarm.own]),
        ("outputs", [standby.outputs, alarm.outputs]),
        ("charging", [standby.charging, alarm.charging]),
        ("together", [standby.total(), alarm.total()]),
        ("it gives", [standby.rating, alarm.rating]),
    ] {
        let cells = watts.map(|watts| fixed(watts, 1));
        part.row([what.to_string()].into_iter().chain(cells));
    }
    part.note("What charges is what the outputs leave of the charger's current.");
    Some(part)
}
