//! Which of the four states leaves a device least, and how much.

use bellwire_plan::figures::{ByState, DeviceState, Figures, OutputId, Solved, State};
use bellwire_plan::model::{DeviceId, Site};

/// The state in which a device gets least, of those in which it is switched on.
pub(crate) fn lowest(states: &ByState<Solved<DeviceState>>) -> Option<(State, DeviceState)> {
    let solved = states.iter().filter_map(|(state, solved)| {
        let solved = solved.as_ref().ok().filter(|solved| solved.volts > 0.0);
        Some((state, *solved?))
    });
    solved.min_by(|(_, a), (_, b)| a.volts.total_cmp(&b.volts))
}

/// How far a device is from where it stops working, and in which state it is
/// closest. Negative where it does not work; states in which nothing feeds it
/// do not count.
pub(crate) fn margin(site: &Site, figures: &Figures, id: DeviceId) -> Option<(f64, State)> {
    let device = site.devices.get(id)?;
    let (least, most) = device.model()?.works?.value;
    let found = figures.device(id)?;
    let is_on = |state: State| {
        let mut feeds = found.fed_by.iter();
        state.is_alarm() || feeds.any(|feed| !only_in_alarm(site, *feed))
    };
    let states = found.states.iter();
    states
        .filter(|(state, _)| is_on(*state))
        .filter_map(|(state, solved)| {
            let volts = solved.as_ref().ok()?.volts;
            Some(((volts - least).min(most - volts), state))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Whether an output gives nothing in standby.
fn only_in_alarm(site: &Site, (unit, output): OutputId) -> bool {
    let model = site.units.get(unit).and_then(|unit| unit.model());
    let output = model.and_then(|model| model.outputs.get(output));
    output.is_some_and(|output| output.in_alarm)
}
