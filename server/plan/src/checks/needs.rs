//! What devices need, and whether they get it.

use bellwire_circuit::Draw;
use rustc_hash::FxHashSet;

use crate::figures::{
    ByState, Consumer, DeviceFigures, DeviceState, FaultFigures, FaultKind, Figures, Solved, State,
    Why, above, below, is_in_alarm,
};
use crate::model::{DeviceId, OutputId, Site};

/// The volts that a device, or its trigger, needs in a state.
#[derive(Debug, Clone, Copy)]
pub(super) struct VoltsNeeded {
    pub consumer: Consumer,
    pub state: State,
    pub least: f64,
    /// Whether it needs them in the other states too.
    pub always: bool,
}

/// Who gets too little.
pub(super) fn lacking(site: &Site, figures: &Figures) -> Vec<VoltsNeeded> {
    let of_device = |device| {
        let own = lacks(site, device).map(|(need, _)| need);
        let own = own.or_else(|| unfed(site, device));
        own.into_iter().chain(untriggered(device))
    };
    figures.devices.iter().flat_map(of_device).collect()
}

/// Whether a device is known to work in all states in which it has voltage.
pub(super) fn works(site: &Site, figures: &Figures, device: DeviceId) -> bool {
    let own = figures.device(device);
    own.is_some_and(|own| !fails(site, own))
}

/// Whether a device gets too little or too much in some state, or nobody can tell.
pub(super) fn fails(site: &Site, figures: &DeviceFigures) -> bool {
    figures.states.iter().any(|(_, solved)| solved.is_err()) || is_out_of_range(site, figures)
}

/// Whether a device gets too little or too much in a state in which that is known.
pub(super) fn is_out_of_range(site: &Site, figures: &DeviceFigures) -> bool {
    silent_on(site, figures).is_some()
        || lacks(site, figures).is_some()
        || exceeds(site, figures).is_some()
}

/// The output of a device that draws in standby, where it gets nothing then.
pub(super) fn silent_on(site: &Site, figures: &DeviceFigures) -> Option<OutputId> {
    let model = site.devices.get(figures.device)?.model()?;
    let (first, others) = figures.fed_by.split_first()?;
    let off = |output: &OutputId| is_in_alarm(site, *output);
    let silent = !is_idle(model.standby?) && off(first) && others.iter().all(off);
    silent.then_some(*first)
}

/// What a device needs and does not get, and what it gets, in the state with
/// the least. A state in which the output is off is none to work in.
pub(super) fn lacks(site: &Site, figures: &DeviceFigures) -> Option<(VoltsNeeded, f64)> {
    let least = site.devices.get(figures.device)?.model()?.works?.value.0;
    let (state, got) = figures.states.lowest()?;
    let need = VoltsNeeded {
        consumer: Consumer::Device(figures.device),
        state,
        least,
        always: true,
    };
    below(got.volts, least).then_some((need, got.volts))
}

/// Where a device gets more than it works at, in the state with the most: that
/// state, what it gets, and what it works up to.
pub(super) fn exceeds(site: &Site, figures: &DeviceFigures) -> Option<(State, f64, f64)> {
    let most = site.devices.get(figures.device)?.model()?.works?.value.1;
    let got = figures.states.solved();
    let got = got.map(|(state, got)| (state, got.volts));
    let (state, volts) = got.max_by(|a, b| a.1.total_cmp(&b.1))?;
    above(volts, most).then_some((state, volts, most))
}

/// What a device needs in a state in which its network has no solution.
fn unfed(site: &Site, figures: &DeviceFigures) -> Option<VoltsNeeded> {
    let least = site.devices.get(figures.device)?.model()?.works?.value.0;
    Some(VoltsNeeded {
        consumer: Consumer::Device(figures.device),
        state: at_fault(&figures.states)?,
        least,
        always: true,
    })
}

/// The same for its trigger, which works from whatever reaches it.
fn untriggered(figures: &DeviceFigures) -> Option<VoltsNeeded> {
    Some(VoltsNeeded {
        consumer: Consumer::Trigger(figures.device),
        state: at_fault(&figures.trigger.as_ref()?.states)?,
        least: 0.0,
        always: true,
    })
}

/// Of each branch that has no solution, what stands against it in its worst state.
pub(super) fn worst_faults(figures: &Figures) -> Vec<&FaultFigures> {
    let mut faults: Vec<&FaultFigures> = figures.faults.iter().collect();
    let left = |fault: &FaultFigures| match fault.kind {
        FaultKind::TooMuch { most, wanted, .. } => most / wanted,
        FaultKind::Conflict { .. } => 0.0,
    };
    faults.sort_by(|a, b| {
        let place = a.place.cmp(&b.place);
        place.then(left(a).total_cmp(&left(b)))
    });
    faults.dedup_by_key(|fault| fault.place);
    faults
}

/// The devices of which is told that the cable cannot feed them.
pub(super) fn cannot_be_fed(figures: &Figures) -> FxHashSet<DeviceId> {
    let faults = worst_faults(figures).into_iter();
    let devices = faults.filter_map(|fault| match fault.kind {
        FaultKind::TooMuch {
            consumer: Consumer::Device(device),
            ..
        } => Some(device),
        FaultKind::TooMuch { .. } | FaultKind::Conflict { .. } => None,
    });
    devices.collect()
}

/// The first state in which the network has no solution.
fn at_fault(states: &ByState<Solved<DeviceState>>) -> Option<State> {
    let mut states = states.iter();
    let found = states.find(|(_, solved)| solved.as_ref().is_err_and(Why::is_fault));
    found.map(|(state, _)| state)
}

/// Whether what draws so draws nothing.
fn is_idle(draw: Draw) -> bool {
    matches!(draw, Draw::Amperes(0.0) | Draw::Watts(0.0))
}
