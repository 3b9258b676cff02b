//! Choosing a battery: of those that the site's file can use, one that lasts and
//! that the unit may charge. Each is asked with its own rates.

use std::sync::Arc;

use crate::checks::Given;
use crate::figures::{above, capacity_ah, is_short, need, usable_share};
use crate::model::{BLOCK_VOLTS, BatteryModel, ModelData, Site, Unit};
use crate::source::Item;

/// More in parallel are no longer one battery: they share current badly
/// (common practice).
const MOST: u32 = 4;

/// What a battery is wanted for.
#[derive(Clone, Copy)]
pub(in crate::checks) struct Wanted<'a> {
    pub site: &'a Site,
    pub unit: &'a Unit,
    /// In standby and in alarm.
    pub currents: (f64, f64),
    /// The one that it replaces, whose voltage it must have.
    pub now: Option<&'a BatteryModel>,
    /// How many of it.
    pub count: u32,
}

impl Wanted<'_> {
    /// The smallest.
    pub fn smallest(&self, given: &Given) -> Option<Arc<Item>> {
        self.pick(given, |capacity, best| capacity < best, |_| true)
    }

    /// One if one will do, or else as few as will, in parallel: how many, and of
    /// which, the smallest.
    pub fn fewest(&self, given: &Given) -> Option<(u32, Arc<Item>)> {
        (1..=MOST).find_map(|count| {
            let smallest = Wanted { count, ..*self }.smallest(given)?;
            Some((count, smallest))
        })
    }

    /// The largest whose capacity, of all of them together, will also do.
    pub fn largest(&self, given: &Given, fits: impl Fn(f64) -> bool) -> Option<Arc<Item>> {
        self.pick(given, |capacity, best| capacity > best, fits)
    }

    fn pick(
        &self,
        given: &Given,
        better: impl Fn(f64, f64) -> bool,
        fits: impl Fn(f64) -> bool,
    ) -> Option<Arc<Item>> {
        let most = self.unit.model()?.battery_max;
        let usable = usable_share(self.unit)?;
        let volts = self.now.map_or(Some(BLOCK_VOLTS), |model| model.volts)?;
        let mut found: Option<(f64, Arc<Item>)> = None;
        for item in given.batteries() {
            let Some(ModelData::Battery(model)) = item.model().map(|model| &model.data) else {
                continue;
            };
            let Some(capacity) = capacity_ah(model) else {
                continue;
            };
            let capacity = capacity * f64::from(self.count);
            let may = most.is_none_or(|most| !above(capacity, most.value));
            let better = found
                .as_ref()
                .is_none_or(|(best, _)| better(capacity, *best));
            if model.volts != Some(volts) || !may || !better || !fits(capacity) {
                continue;
            }
            let need = need(self.site, self.unit, self.currents, Some(model), self.count);
            let need = need.and_then(|need| need.ampere_hours);
            if need.is_some_and(|need| !is_short(capacity * usable, need)) {
                found = Some((capacity, item));
            }
        }
        found.map(|(_, item)| item)
    }
}
