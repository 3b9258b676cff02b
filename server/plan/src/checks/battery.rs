//! Whether batteries last, fit, charge in time, and are young enough.

use std::sync::Arc;

use bellwire_circuit::battery::TABLED_CELSIUS;

use super::Given;
use super::age::old;
use super::wanted::Wanted;
use super::words::{apart, beside};
use crate::figures::{
    BatteryFigures, Figures, above, below, nominal_volts, takes_battery, usable_share, usual_blocks,
};
use crate::finding::{Code, Finding, Mend};
use crate::model::{BLOCK_VOLTS, BatteryFitted, Site, Unit, Words};
use crate::source::{Item, Span};
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the batteries of a site.
pub(super) fn check(site: &Site, figures: &Figures, given: &Given, findings: &mut Vec<Finding>) {
    for (id, unit) in site.units.iter().enumerate() {
        let figures = figures.batteries.iter().find(|battery| battery.unit == id);
        let Some(battery) = &unit.battery else {
            findings.extend(missing(site, unit, figures, given));
            continue;
        };
        findings.extend(unruled(site, unit, battery));
        findings.extend(voltage(unit, battery));
        findings.extend(too_large(site, unit, battery, figures, given));
        findings.extend(old(unit, battery, given.today));
        if let Some(figures) = figures {
            findings.extend(short(site, unit, battery, figures, given));
            findings.extend(slow(site, unit, battery, figures, given));
        }
    }
}

/// Where a battery is named, or the statement if its model is not.
fn place(battery: &BatteryFitted) -> Span {
    let name = battery.model_name.as_ref();
    name.map_or(battery.span, |name| name.span)
}

fn hours(hours: f64) -> String {
    in_usual_unit(hours * 3600.0, Dimension::Time)
}

fn ampere_hours(charge: f64) -> String {
    in_usual_unit(charge, Dimension::Charge)
}

/// A battery of another voltage than the unit is made for: it is cut off at
/// once, or never charged.
fn voltage(unit: &Unit, battery: &BatteryFitted) -> Option<Finding> {
    let (model, block) = (unit.model()?, battery.model()?.volts);
    let (nominal, name) = (nominal_volts(unit), &unit.name.value);
    let volts = |volts: f64| in_usual_unit(volts, Dimension::Voltage);
    let outputs = model.outputs.iter().filter_map(|output| output.volts);
    let highest = outputs.reduce(f64::max);
    let (limit, message) = if let Some(cutoff) = model.cutoff.filter(|at| at.value >= nominal) {
        let message = format!(
            "the battery of {name} has {}, and {name} cuts it off at {}",
            volts(nominal),
            volts(cutoff.value),
        );
        (Some(cutoff.span), message)
    } else if nominal > BLOCK_VOLTS && highest.is_some_and(|highest| nominal > highest) {
        // Outputs below 12 V may be regulated down from what charges the battery.
        let message = format!(
            "the battery of {name} has {}, and {name} gives {} at most, which never charges it",
            volts(nominal),
            volts(highest.unwrap_or(0.0)),
        );
        (None, message)
    } else {
        return None;
    };
    let blocks = (BLOCK_VOLTS * usual_blocks(unit) / block).round();
    let right = blocks >= 2.0 && battery.in_series == 1 && blocks * block > nominal;
    let (hint, mend) = match right {
        true => (
            format!("fit {blocks} in series, `in-series {blocks}`."),
            Some(Mend {
                title: format!("Fit {blocks} in series to {name}"),
                edits: vec![(place(battery).after(), format!(", in-series {blocks}"))],
            }),
        ),
        false => (
            "fit one of the voltage that the unit is made for.".to_string(),
            None,
        ),
    };
    let finding = Finding::new(
        Code::WrongKind,
        place(battery),
        format!("{message}: {hint}"),
    );
    let finding = finding.mended_by(mend);
    Some(finding.in_model(unit.model_item.as_ref(), limit, "where it is cut off"))
}

/// A battery that is fitted in place of another: `count` of it in parallel.
fn of(battery: &BatteryFitted, count: u32, item: &Arc<Item>) -> String {
    let name = item.name().unwrap_or("");
    match count.saturating_mul(battery.in_series) {
        1 if battery.count > 1 => format!("One {name}"),
        1 => name.to_string(),
        all => format!("{all} of {name}"),
    }
}

/// What the rules ask for, with the reader's own name for them.
fn asked(site: &Site) -> Option<String> {
    let rules = &site.rules;
    let standby = rules.set.standby.filter(|hours| *hours > 0.0)?;
    let alarm = match rules.set.alarm.filter(|hours| *hours > 0.0) {
        Some(alarm) => format!(" and {} of alarm after that", hours(alarm)),
        None => String::new(),
    };
    let name = rules
        .name
        .as_ref()
        .map_or("the rule set", |name| &name.value);
    Some(format!(
        "{name} asks for {} in standby{alarm}",
        hours(standby)
    ))
}

/// A battery that nobody has said anything about: it is not judged, which looks
/// like a battery that is enough.
fn unruled(site: &Site, unit: &Unit, battery: &BatteryFitted) -> Option<Finding> {
    let written = Words::root(&site.item).has("rules");
    // Told once for the site.
    let first = site.units.iter().find(|unit| unit.battery.is_some());
    let is_first = first.is_some_and(|first| first.span == unit.span);
    if written || !is_first || battery.model().is_none() {
        return None;
    }
    let message = format!(
        "the site names no rule set, so nothing says whether the battery of {} lasts long enough: write one, `rules intruder-grade-2` for example.",
        unit.name.value
    );
    Some(Finding::new(Code::RulesMissing, place(battery), message))
}

fn missing(
    site: &Site,
    unit: &Unit,
    figures: Option<&BatteryFigures>,
    given: &Given,
) -> Option<Finding> {
    let asked = asked(site)?;
    unit.model()?;
    let name = &unit.name.value;
    if !takes_battery(unit) {
        let message = format!(
            "{name} takes no battery, and {asked}: use a model with a charger, or feed what hangs on it from one."
        );
        return Some(Finding::new(Code::BatteryMissing, unit.name.span, message));
    }
    let currents = figures.and_then(|figures| figures.standby_amperes.zip(figures.alarm_amperes));
    let enough = currents.and_then(|currents| {
        Wanted {
            site,
            unit,
            currents,
            now: None,
            count: 1,
        }
        .fewest(given)
    });
    let blocks = usual_blocks(unit);
    let enough = enough.filter(|(count, _)| *count == 1 || blocks <= 1.0);
    let count = enough.as_ref().map_or(1, |(count, _)| *count);
    let (of, in_series, clause) = match (blocks > 1.0, count) {
        (true, _) => (
            format!("{blocks} of "),
            " in series",
            format!(" {{ in-series {blocks} }}"),
        ),
        (false, 2..) => (
            format!("{count} of "),
            " in parallel",
            format!(" {{ count {count} }}"),
        ),
        (false, _) => (String::new(), "", String::new()),
    };
    let (hint, mend) = match enough.as_ref().and_then(|(_, item)| item.name()) {
        Some(model) => (
            format!(" {of}{model}{in_series} would do."),
            Some(Mend {
                title: format!("Fit {of}{model} to {name}"),
                edits: vec![(unit.head.after(), format!(", battery : {model}{clause}"))],
            }),
        ),
        None => (String::new(), None),
    };
    let needed = figures.and_then(|figures| figures.needed_ah);
    let needed = needed.map_or(String::new(), |needed| {
        format!(" That needs {}.", ampere_hours(needed))
    });
    let message = format!("{name} has no battery, and {asked}.{needed}{hint}");
    Some(Finding::new(Code::BatteryMissing, unit.name.span, message).mended_by(mend))
}

fn short(
    site: &Site,
    unit: &Unit,
    battery: &BatteryFitted,
    figures: &BatteryFigures,
    given: &Given,
) -> Option<Finding> {
    let (fitted, needed) = (figures.fitted_ah?, figures.needed_ah?);
    // One that is cut off at once is of the wrong voltage, which is told already.
    let share = usable_share(unit);
    let usable = fitted * if share > 0.0 { share } else { 1.0 };
    if !below(usable, needed) {
        return None;
    }
    let asked = asked(site)?;
    let model = battery.model()?;
    let currents = (figures.standby_amperes?, figures.alarm_amperes?);
    let enough = Wanted {
        site,
        unit,
        currents,
        now: Some(model),
        count: battery.count,
    }
    .fewest(given);
    let (hint, mend) = if let Some((count, item)) = &enough {
        let hint = format!(" {} would do.", of(battery, *count, item));
        (hint, exchange(unit, battery, *count, item))
    } else {
        let most = unit.model().and_then(|model| model.battery_max);
        let none = match most {
            Some(most) => format!(
                " No battery that {} may charge (up to {}) does",
                unit.name.value,
                ampere_hours(most.value)
            ),
            None => " No battery at hand does, several in parallel neither".to_string(),
        };
        let hint = format!("{none}: move load to a supply with a battery of its own.");
        (hint, None)
    };
    let cold = match *TABLED_CELSIUS.start() > site.ambient.0 {
        true => format!(
            " {} is colder than IEEE 485's table goes, so the factor for it is an estimate.",
            in_usual_unit(site.ambient.0, Dimension::Temperature)
        ),
        false => String::new(),
    };
    let name = &unit.name.value;
    let message = if below(fitted, needed) {
        let lasts = figures.standby_hours.unwrap_or(0.0);
        let asked_for = site.rules.set.standby.unwrap_or(0.0);
        let (has, needs) = apart(fitted, needed, Dimension::Charge);
        format!(
            "the battery of {name} lasts {} in standby; {asked}. That needs {needs}, and {has} are fitted.{hint}{cold}",
            beside(lasts * 3600.0, asked_for * 3600.0, Dimension::Time),
        )
    } else {
        let cutoff = unit.model()?.cutoff?.value;
        let (has, needs) = apart(usable, needed, Dimension::Charge);
        format!(
            "{asked}, which needs {needs}. {} are fitted, of which {has} can be had: {name} cuts its battery off at {}, where by a typical discharge (from memory) {} are still in it; a battery's capacity is told down to 1.75 V a cell.{hint}{cold}",
            ampere_hours(fitted),
            in_usual_unit(cutoff, Dimension::Voltage),
            in_usual_unit(1.0 - usable_share(unit), Dimension::Share),
        )
    };
    Some(Finding::new(Code::BatteryShort, place(battery), message).mended_by(mend))
}

/// Another battery in place of the one fitted, `count` of it in parallel.
fn exchange(unit: &Unit, battery: &BatteryFitted, count: u32, item: &Arc<Item>) -> Option<Mend> {
    let name = item.name()?;
    let model = battery.model_name.as_ref()?;
    let same = model.value == name;
    let number = (count != battery.count).then(|| match battery.count_at {
        Some(at) => (at, count.to_string()),
        None => (model.span.after(), format!(", count {count}")),
    });
    Some(Mend {
        title: match (same, count) {
            (true, _) => format!("Fit {count} of them to {}", unit.name.value),
            (false, 1) => format!("Fit {name} to {}", unit.name.value),
            (false, _) => format!("Fit {count} of {name} to {}", unit.name.value),
        },
        edits: (!same)
            .then(|| (model.span, name.to_string()))
            .into_iter()
            .chain(number)
            .collect(),
    })
}

fn too_large(
    site: &Site,
    unit: &Unit,
    battery: &BatteryFitted,
    figures: Option<&BatteryFigures>,
    given: &Given,
) -> Option<Finding> {
    let most = unit.model()?.battery_max?;
    let figures = figures?;
    let fitted = figures.fitted_ah?;
    if !above(fitted, most.value) {
        return None;
    }
    let currents = figures.standby_amperes.zip(figures.alarm_amperes);
    let enough = currents.zip(figures.needed_ah).and_then(|(currents, _)| {
        let now = battery.model();
        Wanted {
            site,
            unit,
            currents,
            now,
            count: battery.count,
        }
        .largest(given, |_| true)
    });
    let hint = match &enough {
        Some(item) => format!("{} would do.", of(battery, battery.count, item)),
        None => "Fit a smaller one.".to_string(),
    };
    let (has, may) = apart(fitted, most.value, Dimension::Charge);
    let message = format!(
        "{} may charge a battery of up to {may}, and {has} are fitted. {hint}",
        unit.name.value
    );
    let mend = enough.and_then(|item| exchange(unit, battery, battery.count, &item));
    let finding = Finding::new(Code::BatteryTooLarge, place(battery), message).mended_by(mend);
    Some(finding.in_model(
        unit.model_item.as_ref(),
        most.span,
        "the largest that it may charge",
    ))
}

fn slow(
    site: &Site,
    unit: &Unit,
    battery: &BatteryFitted,
    figures: &BatteryFigures,
    given: &Given,
) -> Option<Finding> {
    let rules = site.rules.set.recharge?;
    let takes = figures.recharge_hours?;
    if !above(takes, rules.hours) {
        return None;
    }
    let asks = site.rules.name.as_ref();
    let asks = asks.map_or("the rule set", |name| &name.value);
    let share = in_usual_unit(rules.share, Dimension::Share);
    let name = &unit.name.value;
    let (hint, mend) = faster(site, unit, battery, figures, given);
    let message = if takes.is_finite() {
        let (takes, most) = (takes * 3600.0, rules.hours * 3600.0);
        let (takes, most) = apart(takes, most, Dimension::Time);
        format!(
            "the charger of {name} takes {takes} to bring the battery to {share}; {asks} asks for {most}.{hint}"
        )
    } else {
        format!(
            "the outputs of {name} take in standby all that its charger gives, so the battery never charges; {asks} asks for {share} in {}.{hint}",
            hours(rules.hours)
        )
    };
    let finding = Finding::new(Code::RechargeSlow, place(battery), message).mended_by(mend);
    let charger = unit.model()?.charger?;
    Some(finding.in_model(unit.model_item.as_ref(), charger.span, "the charger"))
}

/// What brings the battery back in time: a smaller one that still lasts.
fn faster(
    site: &Site,
    unit: &Unit,
    battery: &BatteryFitted,
    figures: &BatteryFigures,
    given: &Given,
) -> (String, Option<Mend>) {
    let words = " Move load to another supply, or fit one with a larger charger.";
    let Some((rules, takes)) = site.rules.set.recharge.zip(figures.recharge_hours) else {
        return (words.to_string(), None);
    };
    let currents = figures.standby_amperes.zip(figures.alarm_amperes);
    let smaller = currents
        .zip(figures.fitted_ah)
        .and_then(|(currents, fitted)| {
            // The time is in proportion to the capacity.
            let in_time = |capacity: f64| !above(takes * capacity / fitted, rules.hours);
            let now = battery.model();
            Wanted {
                site,
                unit,
                currents,
                now,
                count: battery.count,
            }
            .largest(given, in_time)
        });
    if let Some(item) = &smaller {
        let hint = format!(
            " {} still lasts, and charges in time.",
            item.name().unwrap_or("")
        );
        return (hint, exchange(unit, battery, battery.count, item));
    }
    (words.to_string(), None)
}
