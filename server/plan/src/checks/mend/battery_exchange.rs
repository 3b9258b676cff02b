//! Another battery in place of the one fitted: which would do, and the change that fits it.

use std::sync::Arc;

use super::battery_choice::Wanted;
use crate::checks::Given;
use crate::figures::{BatteryFigures, above};
use crate::finding::Mend;
use crate::model::{BatteryFitted, Site, Unit};
use crate::source::Item;
use crate::vocabulary::{Dimension, in_usual_unit};

/// A battery, and what is known of it where it is fitted.
pub(in crate::checks) struct Fitted<'a> {
    pub site: &'a Site,
    pub unit: &'a Unit,
    pub battery: &'a BatteryFitted,
    pub figures: &'a BatteryFigures,
    pub given: &'a Given<'a>,
}

impl Fitted<'_> {
    /// What is asked of another one; `None` while nobody knows what it is to carry.
    fn wanted(&self) -> Option<Wanted<'_>> {
        let figures = self.figures;
        Some(Wanted {
            site: self.site,
            unit: self.unit,
            currents: figures.standby_amperes.zip(figures.alarm_amperes)?,
            now: self.battery.model(),
            count: self.battery.count?,
        })
    }

    /// What lasts long enough, in words and as a mend; or where the load is to go.
    pub fn larger(&self) -> Option<(String, Option<Mend>)> {
        self.battery.model()?;
        if let Some((count, item)) = self.wanted()?.fewest(self.given) {
            let hint = format!(" {} would do.", self.called(count, &item));
            return Some((hint, self.exchange(count, &item)));
        }
        let most = self.unit.model().and_then(|model| model.battery_max);
        let none = match most {
            Some(most) => format!(
                " No battery that {} may charge (up to {}) does",
                self.unit.name.value,
                in_usual_unit(most.value, Dimension::Charge)
            ),
            None => " No battery at hand does, several in parallel neither".to_string(),
        };
        let hint = format!("{none}: move load to a supply with a battery of its own.");
        Some((hint, None))
    }

    /// What the unit may charge and still lasts; one that charges in time, if there is one.
    pub fn smaller(&self) -> (String, Option<Mend>) {
        let known = self.wanted().filter(|_| self.figures.needed_ah.is_some());
        let found = known.and_then(|wanted| {
            let in_time = wanted.largest(self.given, |capacity| self.in_time(capacity));
            let item = in_time.or_else(|| wanted.largest(self.given, |_| true))?;
            Some((wanted.count, item))
        });
        let Some((count, item)) = found else {
            return (" Fit a smaller one.".to_string(), None);
        };
        let hint = format!(" {} would do.", self.called(count, &item));
        (hint, self.exchange(count, &item))
    }

    /// What still lasts, and charges in time.
    pub fn faster(&self) -> (String, Option<Mend>) {
        let found = || {
            let wanted = self.wanted()?;
            let item = wanted.largest(self.given, |capacity| self.in_time(capacity))?;
            Some((wanted.count, item))
        };
        let Some((count, item)) = found() else {
            let hint = " Move load to another supply, or fit one with a larger charger.";
            return (hint.to_string(), None);
        };
        let name = item.name().unwrap_or("");
        let hint = format!(" {name} still lasts, and charges in time.");
        (hint, self.exchange(count, &item))
    }

    /// Whether a battery of so many ampere-hours is full again in the time that the rules give:
    /// it takes in proportion to the capacity.
    fn in_time(&self, capacity: f64) -> bool {
        let figures = self.figures;
        let now = figures.recharge_hours.zip(figures.fitted_ah);
        let most = self.site.rules.set.recharge;
        let most = most.map_or(f64::MAX, |rules| rules.hours);
        now.is_none_or(|(takes, fitted)| !above(takes * capacity / fitted, most))
    }

    /// How `count` of another battery in parallel are called.
    fn called(&self, count: u32, item: &Arc<Item>) -> String {
        let battery = self.battery;
        let name = item.name().unwrap_or("");
        match count.saturating_mul(battery.in_series.unwrap_or(1)) {
            1 if battery.count > Some(1) => format!("One {name}"),
            1 => name.to_string(),
            all => format!("{all} of {name}"),
        }
    }

    /// `count` of another battery in parallel.
    fn exchange(&self, count: u32, item: &Arc<Item>) -> Option<Mend> {
        let (unit, battery) = (self.unit, self.battery);
        let name = item.name()?;
        let model = battery.model_name.as_ref()?;
        let same = model.value == name;
        let number = (Some(count) != battery.count).then(|| match battery.count_at {
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
}
