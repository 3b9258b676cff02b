//! How much is wrong with a site by its sums, so that a change is not proposed
//! which only moves the trouble.

use super::negatives;
use crate::figures::{
    BatteryFigures, DeviceFigures, Figures, OutputFigures, State, above, below, mains,
};
use crate::model::{Site, Unit, UnitId};

/// How many sums of a site do not come out: outputs, units and mains sides that
/// carry too much, devices out of their range or not fed, batteries that do not
/// last or do not charge in time, states without a solution, outputs that are
/// joined, and negatives that nothing joins.
pub(super) fn trouble(site: &Site, figures: &Figures) -> usize {
    let outputs = figures.outputs.iter();
    let units = site.units.iter().enumerate();
    let devices = figures.devices.iter();
    let batteries = figures.batteries.iter();
    outputs.filter(|output| is_overloaded(site, output)).count()
        + units
            .map(|(id, unit)| {
                usize::from(carries_too_much(site, figures, id, unit))
                    + usize::from(asks_too_much(site, figures, id))
            })
            .sum::<usize>()
        + devices.filter(|device| fails(site, device)).count()
        + batteries
            .map(|battery| usize::from(battery.is_short()) + usize::from(is_slow(site, battery)))
            .sum::<usize>()
        + figures.faults.len()
        + figures.joins.len()
        + negatives::apart(site, figures)
}

/// Whether a load leaves less of a limit free than the rules ask.
fn is_over(site: &Site, amperes: f64, limit: f64) -> bool {
    let kept = 1.0 - site.rules.set.headroom.unwrap_or(0.0);
    above(amperes, limit * kept)
}

fn carried(output: &OutputFigures, state: State) -> Option<f64> {
    Some(output.states[state].as_ref().ok()?.amperes)
}

fn is_overloaded(site: &Site, output: &OutputFigures) -> bool {
    let Some(limit) = output.limit else {
        return false;
    };
    let mut carried = State::ALL
        .into_iter()
        .filter_map(|state| carried(output, state));
    carried.any(|amperes| is_over(site, amperes, limit))
}

/// Whether the outputs of a unit carry more together than they may.
fn carries_too_much(site: &Site, figures: &Figures, id: UnitId, unit: &Unit) -> bool {
    let Some(limit) = unit.model().and_then(|model| model.limit) else {
        return false;
    };
    let own = || figures.outputs.iter().filter(|output| output.unit == id);
    let sum = |state| {
        own()
            .map(|output| carried(output, state))
            .sum::<Option<f64>>()
    };
    let mut sums = State::ALL.into_iter().filter_map(sum);
    sums.any(|amperes| is_over(site, amperes, limit.value))
}

/// Whether a unit asks more of its mains side than that gives.
fn asks_too_much(site: &Site, figures: &Figures, id: UnitId) -> bool {
    let states = [State::MainsStandby, State::MainsAlarm].into_iter();
    let mut asked = states.filter_map(|state| mains(site, figures, id, state));
    asked.any(|asked| above(asked.total(), asked.rating))
}

/// Whether a device does not work in some state, or nobody can tell; nor whether it
/// is triggered.
fn fails(site: &Site, device: &DeviceFigures) -> bool {
    let model = site
        .devices
        .get(device.device)
        .and_then(|device| device.model());
    let works = model.and_then(|model| model.works).map(|works| works.value);
    let mut triggered = device.trigger.iter().flat_map(|own| own.states.iter());
    if triggered.any(|(_, solved)| solved.is_err()) {
        return true;
    }
    device
        .states
        .iter()
        .any(|(_, solved)| match (solved, works) {
            (Err(_), _) => true,
            (Ok(got), Some((from, to))) => {
                above(got.volts, to) || (got.volts > 0.0 && below(got.volts, from))
            }
            (Ok(_), None) => false,
        })
}

/// Whether a battery takes longer to recharge than the rules allow.
fn is_slow(site: &Site, battery: &BatteryFigures) -> bool {
    let times = battery.recharge_hours.zip(site.rules.set.recharge);
    times.is_some_and(|(takes, rules)| above(takes, rules.hours))
}
