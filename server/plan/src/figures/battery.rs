//! What batteries must hold, how long they last, how long they charge.
//!
//! A unit's battery carries the unit's own draw and what its outputs carry,
//! both at the battery's nominal voltage.

use bellwire_circuit::Draw;
use bellwire_circuit::battery::{
    Demand, Rate, Ratings, needed, recharge_hours, standby_hours, temperature_factor, typical_share,
};

use super::power::Power;
use super::supply::{blocks, end_volts, nominal_volts, own_draw, takes_battery};
use super::{Activity, OutputFigures, State, below};
use crate::day::Date;
use crate::model::{BatteryFitted, BatteryModel, Capacity, Site, Unit, UnitId};

/// Capacity kept in hand where a rule set does not say: IEEE 485's, from memory.
const AGEING: f64 = 1.25;

/// A battery and what it must do.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryFigures {
    /// Its unit.
    pub unit: UnitId,
    /// What is fitted, ampere-hours at the 20-hour rate; `None` if nothing is.
    pub fitted_ah: Option<f64>,
    /// What can be had of that before its unit cuts it off.
    pub usable_ah: Option<f64>,
    /// What is needed, ampere-hours at the 20-hour rate; `None` where the site has no rules, or the load has no solution.
    pub needed_ah: Option<f64>,
    /// How long the fitted battery carries the system before the alarm, hours.
    pub standby_hours: Option<f64>,
    /// How long it must, hours.
    pub required_hours: Option<f64>,
    /// What it carries in standby, amperes.
    pub standby_amperes: Option<f64>,
    /// What it carries in alarm, amperes.
    pub alarm_amperes: Option<f64>,
    /// How long it takes to be as full again as the rules ask, hours.
    pub recharge_hours: Option<f64>,
    /// When its life is over, written as `fitted` is: `2029-03` or `2029-03-14`.
    pub replace_by: Option<Date>,
}

impl BatteryFigures {
    /// Whether it is not enough.
    pub fn is_short(&self) -> bool {
        let sizes = self.usable_ah.zip(self.needed_ah);
        sizes.is_some_and(|(usable, needed)| is_short(usable, needed))
    }
}

pub(super) fn batteries(site: &Site, power: &Power) -> Vec<BatteryFigures> {
    let units = site.units.iter().enumerate();
    let with_battery = units.filter(|(_, unit)| takes_battery(unit));
    with_battery
        .map(|(id, unit)| {
            let [standby, alarm] = Activity::ALL.map(|activity| carried(power, id, unit, activity));
            let model = unit.battery.as_ref().and_then(|battery| battery.model());
            let count = unit
                .battery
                .as_ref()
                .map_or(Some(1), |battery| battery.count);
            let fitted_ah = count.and_then(|count| fitted_ah(model, count));
            let need = standby
                .zip(alarm)
                .zip(count)
                .and_then(|(amperes, count)| need(site, unit, amperes, model, count));
            BatteryFigures {
                unit: id,
                fitted_ah,
                usable_ah: fitted_ah
                    .zip(usable_share(unit))
                    .map(|(fitted, share)| fitted * share),
                needed_ah: need.and_then(|need| need.ampere_hours),
                standby_hours: need.and_then(|need| need.standby_hours),
                required_hours: site.rules.set.standby,
                standby_amperes: standby,
                alarm_amperes: alarm,
                recharge_hours: recharge(site, power, id, fitted_ah),
                replace_by: unit.battery.as_ref().and_then(replace_by),
            }
        })
        .collect()
}

/// What a battery must hold for a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// At the 20-hour rate, for a battery that behaves like the one given;
    /// `None` if the site's rules ask for no time.
    pub ampere_hours: Option<f64>,
    /// What the one given holds in standby, with the alarm still to come.
    pub standby_hours: Option<f64>,
}

/// What a battery of `model`, `count` of them in parallel, must hold for
/// standby and alarm currents, and how long it lasts. Without a model, or with
/// one whose capacities contradict each other, one line and Peukert's exponent
/// stand for it. `None` if not even that gives numbers.
pub fn need(
    site: &Site,
    unit: &Unit,
    (standby_amperes, alarm_amperes): (f64, f64),
    model: Option<&BatteryModel>,
    count: u32,
) -> Option<Need> {
    let rules = &site.rules.set;
    if rules.alarm_unread() {
        return None;
    }
    let ratings = ratings(model)?;
    let demand = Demand {
        standby_amperes,
        standby_hours: rules.standby.unwrap_or(0.0),
        alarm_amperes,
        alarm_hours: rules.alarm.unwrap_or(0.0),
        ageing: ageing(site)?,
        temperature_factor: temperature_factor(site.coldest()?),
    };
    let finite = |value: &f64| value.is_finite() && *value >= 0.0;
    let numbers = [
        demand.standby_amperes,
        demand.standby_hours,
        demand.alarm_amperes,
        demand.alarm_hours,
        demand.ageing,
        demand.temperature_factor,
    ];
    if !numbers.iter().all(finite) {
        return None;
    }
    // Of what the unit leaves in it, nothing is had: so much more is kept in hand.
    let had = Demand {
        ageing: demand.ageing / usable_share(unit)?,
        ..demand
    };
    Some(Need {
        ampere_hours: rules.standby.map(|_| needed(&ratings, &demand)),
        standby_hours: fitted_ah(model, count).map(|fitted| standby_hours(&ratings, fitted, &had)),
    })
}

/// A fitted battery's capacity, and the share of it that ageing and the cold leave.
pub(super) fn aged(site: &Site, battery: &BatteryFitted) -> Option<(f64, f64)> {
    let fitted = fitted_ah(battery.model(), battery.count?)?;
    let left = 1.0 / (ageing(site)? * temperature_factor(site.coldest()?));
    let is_some = |value: f64| value.is_finite() && value > 0.0;
    is_some(fitted * left).then_some((fitted, left))
}

/// What can be had of a fitted battery before its unit cuts it off. The rates of
/// batteries count them empty at 10.5 V for 12 V (1.75 V a cell); what is still in
/// one at a higher cutoff follows the typical discharge, from memory. All of one that
/// is cut off at once: it is of the wrong voltage, which is told, and judged no further.
pub fn usable_share(unit: &Unit) -> Option<f64> {
    let left = typical_share(end_volts(unit)? / blocks(unit)?);
    Some(if left < 1.0 { 1.0 - left } else { 1.0 })
}

/// Whether less can be had of a battery than is needed.
pub fn is_short(usable_ah: f64, needed_ah: f64) -> bool {
    below(usable_ah, needed_ah)
}

/// The factor kept in hand for a battery's last year, if it can be told.
pub fn ageing(site: &Site) -> Option<f64> {
    let rules = &site.rules;
    let usual = match rules.name {
        _ if rules.set.ageing_unread() => return None,
        Some(_) => AGEING,
        None => 1.0,
    };
    Some(rules.set.ageing.unwrap_or(usual))
}

/// A battery's capacity at the 20-hour rate, ampere-hours, whichever rates its model
/// gives. That is what batteries are compared by, with each other and with a need.
pub fn capacity_ah(model: &BatteryModel) -> Option<f64> {
    Some(ratings(Some(model))?.nominal())
}

fn fitted_ah(model: Option<&BatteryModel>, count: u32) -> Option<f64> {
    Some(capacity_ah(model?)? * f64::from(count))
}

/// The month or day on which a battery's life is over.
pub fn replace_by(battery: &BatteryFitted) -> Option<Date> {
    let months = (battery.model()?.life? * 12.0).round();
    let fitted = battery.fitted?.value;
    let can_be = (0.0..=12_000.0).contains(&months);
    can_be.then(|| fitted.months_later(months as u32))?
}

/// The rates of a battery, if its model's capacities can be read; of none in particular, one line.
pub fn ratings(model: Option<&BatteryModel>) -> Option<Ratings> {
    // How large the one line is does not matter: everything goes in proportion.
    let usual = Rate {
        hours: 20.0,
        ampere_hours: 1.0,
    };
    let rates: Vec<Rate> = match model {
        Some(model) => model.capacities.iter().map(Capacity::rate).collect(),
        None => vec![usual],
    };
    let slowest = rates
        .iter()
        .copied()
        .max_by(|a, b| a.hours.total_cmp(&b.hours))?;
    Ratings::new(rates)
        .or_else(|_| Ratings::new(vec![slowest]))
        .ok()
}

/// What a unit's battery carries.
fn carried(power: &Power, id: UnitId, unit: &Unit, activity: Activity) -> Option<f64> {
    let model = unit.model()?;
    let own = own_draw(model, activity);
    let mut sum = drawn_at(own?, nominal_volts(unit)?);
    for (_, nominal) in power.outputs_of(id) {
        sum += nominal[activity as usize].as_ref().ok()?;
    }
    sum.is_finite().then_some(sum)
}

/// What is drawn at so many volts, amperes.
pub fn drawn_at(draw: Draw, volts: f64) -> f64 {
    match draw {
        Draw::Amperes(amperes) => amperes,
        Draw::Watts(watts) => watts / volts,
        Draw::Ohms(ohms) => volts / ohms,
    }
}

/// A charger gives its current to battery and outputs together, beyond the unit's own
/// draw: the battery gets what the outputs leave of it. `None` if one has no solution.
pub fn spare<'a>(
    charger: f64,
    outputs: impl IntoIterator<Item = &'a OutputFigures>,
    state: State,
) -> Option<f64> {
    let mut outputs = outputs.into_iter();
    outputs.try_fold(charger, |left, output| {
        Some(left - output.states[state].as_ref().ok()?.given())
    })
}

fn recharge(site: &Site, power: &Power, id: UnitId, fitted: Option<f64>) -> Option<f64> {
    let (fitted, rules) = (fitted?, site.rules.set.recharge);
    let charger = site.units.get(id)?.model()?.charger?.value;
    let outputs = power.outputs_of(id).map(|(output, _)| output);
    let spare = spare(charger, outputs, State::MainsStandby)?;
    match rules {
        Some(rules) => Some(recharge_hours(fitted, rules.share, spare)),
        // However full the battery is to be.
        None => (spare <= 0.0).then_some(f64::INFINITY),
    }
}
