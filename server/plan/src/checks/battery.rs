//! Whether batteries last, fit, charge in time, and are young enough.

use bellwire_circuit::battery::TABLED_CELSIUS;

use super::Given;
use super::battery_age::old;
use super::case::Case;
use super::mend::battery_choice::Wanted;
use super::mend::battery_exchange::Fitted;
use super::mend::block::first_line;
use super::models::cutoff;
use crate::figures::{
    BatteryFigures, above, below, lowest_volts, nominal_volts, takes_battery, usable_share,
    usual_blocks,
};
use crate::finding::{Code, Finding, Mend};
use crate::model::{BLOCK_VOLTS, BatteryFitted, Site, Unit};
use crate::source::Span;
use crate::vocabulary::{Dimension, beside, hours, in_usual_unit, value_and_limit};

/// Checks the batteries of a site; how large they are not where outputs of different voltage
/// are joined.
pub(super) fn check(case: &Case, findings: &mut Vec<Finding>) {
    let Case {
        site,
        figures,
        given,
        unequal,
        ..
    } = case;
    for (id, unit) in site.units.iter().enumerate() {
        let figures = figures.battery(id);
        let Some(battery) = &unit.battery else {
            findings.extend(missing(site, unit, figures, given));
            continue;
        };
        findings.extend(unruled(site, unit, battery));
        // A cutoff that is above what any output gives is told in the model.
        let is_told = unit.model().is_some_and(|model| cutoff(model).is_some());
        let of_wrong_volts = voltage(unit, battery).filter(|_| !is_told);
        // How large one must be shows once it has the right voltage.
        let is_joined = unequal.is_on(id);
        if let Some(figures) =
            figures.filter(|_| of_wrong_volts.is_none() && !is_joined && !is_told)
        {
            let fitted = Fitted {
                site,
                unit,
                battery,
                figures,
                given,
            };
            findings.extend(too_large(&fitted));
            findings.extend(short(&fitted));
            findings.extend(slow(&fitted));
        }
        findings.extend(of_wrong_volts);
        findings.extend(old(unit, battery, given.today));
    }
}

/// Where a battery is named, or the statement if its model is not.
fn place(battery: &BatteryFitted) -> Span {
    let name = battery.model_name.as_ref();
    name.map_or(battery.span, |name| name.span)
}

/// A battery of another voltage than the unit is made for: it is cut off at
/// once, never charged, or boiled.
fn voltage(unit: &Unit, battery: &BatteryFitted) -> Option<Finding> {
    let (model, block) = (unit.model()?, battery.model()?.volts?);
    let (nominal, name) = (nominal_volts(unit)?, &unit.name.value);
    let volts = |volts: f64| in_usual_unit(volts, Dimension::Voltage);
    let outputs = model.outputs.iter().filter_map(|output| output.volts);
    let highest = outputs.reduce(f64::max);
    let (limit, message, unless) = if let Some(cutoff) =
        model.cutoff.filter(|at| at.value >= nominal)
    {
        let message = format!(
            "the battery of {name} has {}, and {name} cuts it off at {}",
            volts(nominal),
            volts(cutoff.value),
        );
        (Some(cutoff.span), message, "")
    } else if nominal > BLOCK_VOLTS && highest.is_some_and(|highest| nominal > highest) {
        // Outputs below 12 V may be regulated down from what charges the battery.
        let message = format!(
            "the battery of {name} has {}, and {name} gives {} at most, which never charges it",
            volts(nominal),
            volts(highest.unwrap_or(0.0)),
        );
        (None, message, "")
    } else if let Some(lowest) = lowest_volts(model).filter(|_| {
        let is_said = model.cutoff.is_some() || model.cutoff_unread;
        !is_said && nominal < BLOCK_VOLTS * usual_blocks(unit)
    }) {
        let message = format!(
            "the battery of {name} has {}, and {name} gives {} at least, which would boil it dry",
            volts(nominal),
            volts(lowest),
        );
        let unless = " If its charger gives less, say the unit's `cutoff` in its model.";
        (None, message, unless)
    } else {
        return None;
    };
    let blocks = (BLOCK_VOLTS * usual_blocks(unit) / block).round();
    let right = blocks >= 2.0 && battery.in_series == Some(1) && blocks * block > nominal;
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
        format!("{message}: {hint}{unless}"),
    );
    let finding = finding.mended_by(mend);
    Some(finding.in_model(unit.model_item.as_ref(), limit, "where it is cut off"))
}

/// What the rules ask for, with the reader's own name for them.
fn asked(site: &Site) -> Option<String> {
    let rules = &site.rules;
    let standby = rules.set.standby.filter(|hours| *hours > 0.0)?;
    let alarm = match rules.set.alarm.filter(|hours| *hours > 0.0) {
        Some(alarm) => format!(" and {} of alarm after that", hours(alarm)),
        None => String::new(),
    };
    Some(format!(
        "{} asks for {} in standby{alarm}",
        rules.called(),
        hours(standby)
    ))
}

/// A battery that nobody has said anything about: it is not judged, which looks
/// like a battery that is enough.
fn unruled(site: &Site, unit: &Unit, battery: &BatteryFitted) -> Option<Finding> {
    // Told once for the site.
    let first = site.units.iter().find(|unit| unit.battery.is_some());
    let is_first = first.is_some_and(|first| first.span == unit.span);
    if site.rules.named || !is_first || battery.model().is_none() {
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
    if unit.block_unread {
        return None;
    }
    let currents = figures.and_then(|figures| figures.standby_amperes.zip(figures.alarm_amperes));
    let enough = currents.and_then(|currents| first_battery(site, unit, currents, given));
    let (hint, mend) = enough.map_or((String::new(), None), |(hint, mend)| (hint, Some(mend)));
    let needed = figures.and_then(|figures| figures.needed_ah);
    let needed = needed.map_or(String::new(), |needed| {
        format!(" That needs {}.", in_usual_unit(needed, Dimension::Charge))
    });
    let message = format!("{name} has no battery, and {asked}.{needed}{hint}");
    Some(Finding::new(Code::BatteryMissing, unit.name.span, message).mended_by(mend))
}

/// The smallest battery that would do for a unit that has none, in words and as a change.
fn first_battery(
    site: &Site,
    unit: &Unit,
    currents: (f64, f64),
    given: &Given,
) -> Option<(String, Mend)> {
    let wanted = Wanted {
        site,
        unit,
        currents,
        now: None,
        count: 1,
    };
    let blocks = usual_blocks(unit);
    let enough = wanted.fewest(given);
    let (count, item) = enough.filter(|(count, _)| *count == 1 || blocks <= 1.0)?;
    let model = item.name()?;
    let (of, joined, clause) = if blocks > 1.0 {
        let clause = format!(", in-series {blocks}");
        (format!("{blocks} of "), " in series", clause)
    } else if count > 1 {
        let clause = format!(", count {count}");
        (format!("{count} of "), " in parallel", clause)
    } else {
        (String::new(), "", String::new())
    };
    let mend = Mend {
        title: format!("Fit {of}{model} to {}", unit.name.value),
        edits: first_line(site, unit, &format!("battery : {model}{clause}")),
    };
    Some((format!(" {of}{model}{joined} would do."), mend))
}

fn short(fitted: &Fitted) -> Option<Finding> {
    let (site, unit, figures) = (fitted.site, fitted.unit, fitted.figures);
    if !figures.is_short() {
        return None;
    }
    let (capacity, usable) = (figures.fitted_ah?, figures.usable_ah?);
    let needed = figures.needed_ah?;
    let asked = asked(site)?;
    let (hint, mend) = fitted.larger()?;
    let coldest = site.coldest()?;
    let cold = match *TABLED_CELSIUS.start() > coldest {
        true => format!(
            " {} is colder than IEEE 485's table goes, so the factor for it is an estimate.",
            site.measures()
                .in_usual_unit(coldest, Dimension::Temperature)
        ),
        false => String::new(),
    };
    let name = &unit.name.value;
    let message = if below(capacity, needed) {
        let lasts = figures.standby_hours.unwrap_or(0.0);
        let asked_for = site.rules.set.standby.unwrap_or(0.0);
        let (has, needs) = value_and_limit(capacity, needed, Dimension::Charge);
        format!(
            "the battery of {name} lasts {} in standby; {asked}. That needs {needs}, and {has} are fitted.{hint}{cold}",
            beside(lasts * 3600.0, asked_for * 3600.0, Dimension::Time),
        )
    } else {
        let cutoff = unit.model()?.cutoff?.value;
        let (has, needs) = value_and_limit(usable, needed, Dimension::Charge);
        format!(
            "{asked}, which needs {needs}. {} are fitted, of which {has} can be had: {name} cuts its battery off at {}, where by a typical discharge (from memory) {} are still in it; a battery's capacity is told down to 1.75 V a cell.{hint}{cold}",
            in_usual_unit(capacity, Dimension::Charge),
            in_usual_unit(cutoff, Dimension::Voltage),
            in_usual_unit(1.0 - usable_share(unit)?, Dimension::Share),
        )
    };
    Some(Finding::new(Code::BatteryShort, place(fitted.battery), message).mended_by(mend))
}

fn too_large(fitted: &Fitted) -> Option<Finding> {
    let unit = fitted.unit;
    let most = unit.model()?.battery_max?;
    let capacity = fitted.figures.fitted_ah?;
    if !above(capacity, most.value) {
        return None;
    }
    let (hint, mend) = fitted.smaller();
    let (has, may) = value_and_limit(capacity, most.value, Dimension::Charge);
    let message = format!(
        "{} may charge a battery of up to {may}, and {has} are fitted.{hint}",
        unit.name.value
    );
    let finding =
        Finding::new(Code::BatteryTooLarge, place(fitted.battery), message).mended_by(mend);
    Some(finding.in_model(
        unit.model_item.as_ref(),
        most.span,
        "the largest that it may charge",
    ))
}

/// Whether a battery takes longer to recharge than the rules allow.
pub(super) fn is_slow(site: &Site, figures: &BatteryFigures) -> bool {
    let allowed = site.rules.set.recharge.map(|rules| rules.hours);
    figures
        .recharge_hours
        .is_some_and(|takes| takes.is_infinite() || allowed.is_some_and(|most| above(takes, most)))
}

fn slow(fitted: &Fitted) -> Option<Finding> {
    let (site, unit, figures) = (fitted.site, fitted.unit, fitted.figures);
    let takes = figures.recharge_hours?;
    if !is_slow(site, figures) {
        return None;
    }
    let asks = site.rules.called();
    let name = &unit.name.value;
    let (hint, mend) = fitted.faster();
    let asked = site.rules.set.recharge.map(|rules| {
        let share = in_usual_unit(rules.share, Dimension::Share);
        (share, rules.hours)
    });
    let message = match asked {
        Some((share, most)) if takes.is_finite() => {
            let (takes, most) = value_and_limit(takes * 3600.0, most * 3600.0, Dimension::Time);
            format!(
                "the charger of {name} takes {takes} to bring the battery to {share}; {asks} asks for {most}.{hint}"
            )
        }
        _ => {
            let asked = asked.map_or(String::new(), |(share, most)| {
                format!("; {asks} asks for {share} in {}", hours(most))
            });
            format!(
                "the outputs of {name} take in standby all that its charger gives, so the battery never charges{asked}.{hint}"
            )
        }
    };
    let finding = Finding::new(Code::RechargeSlow, place(fitted.battery), message).mended_by(mend);
    let charger = unit.model()?.charger?;
    Some(finding.in_model(unit.model_item.as_ref(), charger.span, "the charger"))
}
