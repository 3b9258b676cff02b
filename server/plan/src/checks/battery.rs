//! Whether batteries last, fit, charge in time, and are young enough.

use std::sync::Arc;

use super::words::apart;
use super::{Context, Day};
use crate::figures::{BatteryFigures, Figures, need, takes_battery};
use crate::finding::{Code, Finding, Mend};
use crate::model::{BatteryFitted, BatteryModel, ModelData, Site, Unit};
use crate::source::{Item, Span, Spot};
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the batteries of a site.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    context: &Context,
    findings: &mut Vec<Finding>,
) {
    for (id, unit) in site.units.iter().enumerate() {
        let figures = figures.batteries.iter().find(|battery| battery.unit == id);
        let Some(battery) = &unit.battery else {
            findings.extend(missing(site, unit, figures, context));
            continue;
        };
        findings.extend(too_large(unit, battery, figures));
        findings.extend(old(unit, battery, context.today));
        if let Some(figures) = figures {
            findings.extend(short(site, unit, battery, figures, context));
            findings.extend(slow(site, unit, battery, figures));
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

fn missing(
    site: &Site,
    unit: &Unit,
    figures: Option<&BatteryFigures>,
    context: &Context,
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
    let enough = currents.and_then(|currents| smallest(site, unit, currents, None, 1, context));
    let (hint, mend) = match &enough {
        Some(item) => (
            format!(" {} would do.", item.name().unwrap_or("")),
            Some(Mend {
                title: format!("Fit {} to {name}", item.name().unwrap_or("")),
                edits: vec![(
                    unit.head.after(),
                    format!(", battery : {}", item.name().unwrap_or("")),
                )],
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
    context: &Context,
) -> Option<Finding> {
    let (fitted, needed) = (figures.fitted_ah?, figures.needed_ah?);
    if fitted >= needed {
        return None;
    }
    let asked = asked(site)?;
    let model = battery.model()?;
    let currents = (figures.standby_amperes?, figures.alarm_amperes?);
    let enough = smallest(site, unit, currents, Some(model), battery.count, context);
    let hint = match &enough {
        Some(item) => format!(" {} would do.", item.name().unwrap_or("")),
        None => match unit.model().and_then(|model| model.battery_max) {
            Some(most) => format!(
                " No battery that {} may charge (up to {}) does: move load to a supply with a battery of its own.",
                unit.name.value,
                ampere_hours(most.value)
            ),
            None => String::new(),
        },
    };
    let lasts = figures.standby_hours.unwrap_or(0.0);
    let (has, needs) = apart(fitted, needed, Dimension::Charge);
    let message = format!(
        "the battery of {} lasts {} in standby; {asked}. That needs {needs}, and {has} are fitted.{hint}",
        unit.name.value,
        hours(lasts),
    );
    let mend = enough.and_then(|item| exchange(unit, battery, &item));
    Some(Finding::new(Code::BatteryShort, place(battery), message).mended_by(mend))
}

fn exchange(unit: &Unit, battery: &BatteryFitted, item: &Arc<Item>) -> Option<Mend> {
    let name = item.name()?;
    Some(Mend {
        title: format!("Fit {name} to {}", unit.name.value),
        edits: vec![(battery.model_name.as_ref()?.span, name.to_string())],
    })
}

/// The smallest battery that lasts and that the unit may charge, each asked
/// with its own rates.
fn smallest(
    site: &Site,
    unit: &Unit,
    currents: (f64, f64),
    now: Option<&BatteryModel>,
    count: u32,
    context: &Context,
) -> Option<Arc<Item>> {
    let most = unit.model()?.battery_max;
    let volts = now.map_or(12.0, |model| model.volts);
    let mut found: Option<(f64, Arc<Item>)> = None;
    for item in context.batteries() {
        let Some(ModelData::Battery(model)) = item.model().map(|model| &model.data) else {
            continue;
        };
        let Some(nominal) = model.nominal() else {
            continue;
        };
        let capacity = nominal * f64::from(count);
        let fits = most.is_none_or(|most| capacity <= most.value * (1.0 + 1e-9));
        let smaller = found.as_ref().is_none_or(|(best, _)| capacity < *best);
        if model.volts != volts || !fits || !smaller {
            continue;
        }
        let need = need(site, currents, Some(model), count).and_then(|need| need.ampere_hours);
        if need.is_some_and(|need| need <= capacity) {
            found = Some((capacity, item));
        }
    }
    found.map(|(_, item)| item)
}

fn too_large(
    unit: &Unit,
    battery: &BatteryFitted,
    figures: Option<&BatteryFigures>,
) -> Option<Finding> {
    let most = unit.model()?.battery_max?;
    let fitted = figures?.fitted_ah?;
    if fitted <= most.value * (1.0 + 1e-9) {
        return None;
    }
    let (has, may) = apart(fitted, most.value, Dimension::Charge);
    let message = format!(
        "{} may charge a battery of up to {may}, and {has} are fitted: fit a smaller one.",
        unit.name.value
    );
    let finding = Finding::new(Code::BatteryTooLarge, place(battery), message);
    Some(match &unit.model_item {
        Some(item) => {
            let spot = Spot {
                item: item.clone(),
                span: most.span,
            };
            finding.with(spot, "the largest that it may charge")
        }
        None => finding,
    })
}

fn slow(
    site: &Site,
    unit: &Unit,
    battery: &BatteryFitted,
    figures: &BatteryFigures,
) -> Option<Finding> {
    let rules = site.rules.set.recharge?;
    let takes = figures.recharge_hours?;
    if takes <= rules.hours {
        return None;
    }
    let asks = site.rules.name.as_ref();
    let asks = asks.map_or("the rule set", |name| &name.value);
    let share = in_usual_unit(rules.share, Dimension::Share);
    let name = &unit.name.value;
    let message = if takes.is_finite() {
        let (takes, most) = (takes * 3600.0, rules.hours * 3600.0);
        let (takes, most) = apart(takes, most, Dimension::Time);
        format!(
            "the charger of {name} takes {takes} to bring the battery to {share}; {asks} asks for {most}. Move load to another supply, or fit one with a larger charger."
        )
    } else {
        format!(
            "the outputs of {name} take in standby all that its charger gives, so the battery never charges; {asks} asks for {share} in {}. Move load to another supply.",
            hours(rules.hours)
        )
    };
    let finding = Finding::new(Code::RechargeSlow, place(battery), message);
    let charger = unit.model()?.charger?;
    Some(match &unit.model_item {
        Some(item) => {
            let spot = Spot {
                item: item.clone(),
                span: charger.span,
            };
            finding.with(spot, "the charger")
        }
        None => finding,
    })
}

/// A battery past the life that its model gives. Fitted in a month, it counts
/// from the month's first day.
fn old(unit: &Unit, battery: &BatteryFitted, today: Day) -> Option<Finding> {
    let fitted = battery.fitted.as_ref()?;
    let life = battery.model()?.life?;
    let since = Day::parse(&fitted.value)?;
    let years = (today.number() - since.number()) as f64 / DAYS_A_YEAR;
    if years <= life {
        return None;
    }
    let message = format!(
        "the battery of {} was fitted {}, {years:.1} years ago, and is meant to last {} years: replace it.",
        unit.name.value,
        fitted.value,
        (life * 10.0).round() / 10.0,
    );
    Some(Finding::new(Code::BatteryOld, fitted.span, message))
}

const DAYS_A_YEAR: f64 = 365.25;

impl Day {
    /// Reads `2025-03` or `2025-03-14`.
    fn parse(text: &str) -> Option<Day> {
        let mut parts = text.split('-');
        let year = parts.next()?.parse().ok()?;
        let month = parts.next()?.parse().ok()?;
        let day = match parts.next() {
            Some(day) => day.parse().ok()?,
            None => 1,
        };
        let real = (1..=12).contains(&month) && (1..=31).contains(&day);
        (real && parts.next().is_none()).then_some(Day { year, month, day })
    }

    /// Days, counted through in the Gregorian calendar.
    fn number(self) -> i64 {
        // Years are counted from March, so that the leap day is a year's last.
        let (year, month) = match self.month {
            1 | 2 => (i64::from(self.year) - 1, i64::from(self.month) + 9),
            _ => (i64::from(self.year), i64::from(self.month) - 3),
        };
        let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        365 * year + leap_days + (153 * month + 2) / 5 + i64::from(self.day) - 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_leap_years() {
        let number = |text: &str| Day::parse(text).unwrap().number();
        assert_eq!(number("2024-03-01") - number("2024-02-28"), 2);
        assert_eq!(number("2025-03") - number("2024-03"), 365);
        assert_eq!(number("2024-03") - number("2023-03"), 366);
        assert_eq!(number("2000-12-31") - number("2000-01-01"), 365);
        assert_eq!(number("1900-12-31") - number("1900-01-01"), 364);
        assert_eq!(Day::parse("2025-13"), None);
        assert_eq!(Day::parse("2025"), None);
    }
}
