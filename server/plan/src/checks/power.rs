//! What devices get.

use bellwire_circuit::Draw;
use rustc_hash::FxHashSet;

use super::Given;
use super::mend::moves::Mover;
use super::mend::volts::{Mender, VoltsNeeded, give};
use super::numbers::volts;
use super::unequal::Unequal;
use crate::figures::{
    ByState, Consumer, DeviceFigures, DeviceState, FaultFigures, FaultKind, Figures, Solved, State,
    Why, above, below, is_in_alarm,
};
use crate::finding::{Code, Finding, Mend, Severity};
use crate::model::{DeviceId, OutputId, Site};
use crate::sentence::list;
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Checks devices against their range; without those on outputs of different voltage that
/// are joined.
pub(super) fn check<'a>(
    site: &'a Site,
    figures: &'a Figures,
    given: &'a Given<'a>,
    unequal: &Unequal,
    mover: &mut Mover<'a>,
    findings: &mut Vec<Finding>,
) {
    let mut check = Voltages {
        site,
        figures,
        given,
        mender: None,
        mover,
        stuck: cannot_be_fed(figures),
    };
    for device in &figures.devices {
        findings.extend(check.silent(device));
        if unequal.feed(device) {
            continue;
        }
        findings.extend(check.low(device));
        findings.extend(check.high(device));
    }
    check.faults(findings);
}

struct Voltages<'a, 'b> {
    site: &'a Site,
    figures: &'a Figures,
    given: &'a Given<'a>,
    mender: Option<Mender<'a>>,
    mover: &'b mut Mover<'a>,
    /// Devices that the cable cannot feed in some state, which says enough.
    stuck: FxHashSet<DeviceId>,
}

/// Who gets too little.
fn lacking(site: &Site, figures: &Figures) -> Vec<VoltsNeeded> {
    let of_device = |device| {
        let own = lacks(site, device).map(|(need, _)| need);
        let own = own.or_else(|| unfed(site, device));
        own.into_iter().chain(untriggered(device))
    };
    figures.devices.iter().flat_map(of_device).collect()
}

/// Whether a device is known to work in all states in which it has voltage.
fn works(site: &Site, figures: &Figures, device: DeviceId) -> bool {
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
fn silent_on(site: &Site, figures: &DeviceFigures) -> Option<OutputId> {
    let model = site.devices.get(figures.device)?.model()?;
    let (first, others) = figures.fed_by.split_first()?;
    let off = |output: &OutputId| is_in_alarm(site, *output);
    let silent = !is_idle(model.standby?) && off(first) && others.iter().all(off);
    silent.then_some(*first)
}

/// What a device needs and does not get, and what it gets, in the state with
/// the least. A state in which the output is off is none to work in.
fn lacks(site: &Site, figures: &DeviceFigures) -> Option<(VoltsNeeded, f64)> {
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
fn exceeds(site: &Site, figures: &DeviceFigures) -> Option<(State, f64, f64)> {
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
fn worst_faults(figures: &Figures) -> Vec<&FaultFigures> {
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

impl<'a> Voltages<'a, '_> {
    /// The least change that brings a device its volts: doubled cores, or the
    /// thinnest cable, or another output.
    fn more_volts(&mut self, need: VoltsNeeded) -> (String, Option<Mend>) {
        let (site, figures, given) = (self.site, self.figures, self.given);
        let mender = self
            .mender
            .get_or_insert_with(|| Mender::new(site, figures, given, lacking(site, figures)));
        let say = |got: f64| give(got, need.least);
        let (hint, mend) = mender.more_volts(need, &say);
        if mend.is_some() {
            return (hint, mend);
        }
        let moved = match need.consumer {
            Consumer::Device(device) => self.moved(device, need.state),
            // Only an output that is on in alarm only triggers.
            Consumer::Trigger(_) => None,
        };
        match moved {
            Some((moved, mend)) => (moved, Some(mend)),
            None => (hint, None),
        }
    }

    /// Another output for a device, and what it then gets.
    fn moved(&mut self, device: DeviceId, state: State) -> Option<(String, Mend)> {
        let moved = self
            .mover
            .refeed(device, |site, figures| works(site, figures, device))?;
        let name = &self.site.devices.get(device)?.name.value;
        let got = moved.figures.device(device)?.states[state].as_ref().ok()?;
        let hint = format!(" {name}, {}, would get {}.", moved.how, volts(got.volts));
        Some((hint, moved.mend))
    }

    /// Nothing in standby for what draws then: its output is on in alarm only. Its run is
    /// not moved: a sounder on it too would sound at all times.
    fn silent(&self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.site.devices.get(figures.device)?;
        let output = silent_on(self.site, figures)?;
        let message = format!(
            "{} gets nothing in standby: {} is on in alarm only. Feed it from an output that is always on.",
            device.name.value,
            self.site.output_name(output),
        );
        Some(Finding::new(Code::VoltageLow, device.name.span, message))
    }

    /// Too little voltage.
    fn low(&mut self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.site.devices.get(figures.device)?;
        if self.stuck.contains(&figures.device) {
            return None;
        }
        let (need, volts) = lacks(self.site, figures)?;
        let (hint, mend) = self.more_volts(need);
        let (got, least) = value_and_limit(volts, need.least, Dimension::Voltage);
        let message = format!(
            "{} gets {got} {}; it works from {least}.{hint}",
            device.name.value,
            need.state.phrase()
        );
        Some(Finding::new(Code::VoltageLow, device.name.span, message).mended_by(mend))
    }

    /// Too much voltage, in the state with the most.
    fn high(&mut self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.site.devices.get(figures.device)?;
        let (state, volts, most) = exceeds(self.site, figures)?;
        let (hint, mend) = match self.moved(figures.device, state) {
            Some((hint, mend)) => (hint, Some(mend)),
            None => (
                " Feed it from an output of lower voltage.".to_string(),
                None,
            ),
        };
        let (got, most) = value_and_limit(volts, most, Dimension::Voltage);
        let message = format!(
            "{} gets {got} {}; it works up to {most}.{hint}",
            device.name.value,
            state.phrase()
        );
        Some(Finding::new(Code::VoltageHigh, device.name.span, message).mended_by(mend))
    }

    /// One finding for each branch that has no solution, in its worst state.
    fn faults(&mut self, findings: &mut Vec<Finding>) {
        for fault in worst_faults(self.figures) {
            findings.extend(match fault.kind {
                FaultKind::TooMuch {
                    consumer, together, ..
                } => self.too_much(fault, consumer, together),
                FaultKind::Conflict { first, second } => self.conflict(fault, first, second),
            });
        }
    }

    fn too_much(
        &mut self,
        fault: &FaultFigures,
        consumer: Consumer,
        together: Option<(f64, f64)>,
    ) -> Option<Finding> {
        let id = consumer.device();
        let device = self.site.devices.get(id)?;
        let works = device.model().and_then(|model| model.works);
        let (hint, mend) = self.more_volts(VoltsNeeded {
            consumer,
            state: fault.state,
            least: match consumer {
                Consumer::Device(_) => works.map_or(0.0, |works| works.value.0),
                Consumer::Trigger(_) => 0.0,
            },
            always: true,
        });
        let all = together.map_or(String::new(), |(share, amperes)| {
            format!(
                " All on this branch ({}) could have {:.0} % of what they ask for, {}.",
                self.named(&fault.devices),
                (share * 100.0).floor(),
                in_usual_unit(amperes, Dimension::Current),
            )
        });
        let without = self.without(fault, id).unwrap_or_default();
        let message = format!(
            "{}, {}.{all}{without}{hint}",
            fault.why,
            fault.state.phrase()
        );
        let finding = Finding::new(Code::CannotBeFed, device.name.span, message);
        Some(finding.mended_by(mend))
    }

    /// Devices by name, or how many.
    fn named(&self, devices: &[DeviceId]) -> String {
        match devices {
            [_, _, _, _, ..] => format!("{} devices", devices.len()),
            few => {
                let few = few.iter().filter_map(|id| self.site.devices.get(*id));
                let names: Vec<&str> = few.map(|device| device.name.value.as_str()).collect();
                list(&names)
            }
        }
    }

    /// What becomes of the others on the branch if the one that asks for too
    /// much is left out: whether all is well then, or there is more to mend.
    fn without(&mut self, fault: &FaultFigures, id: DeviceId) -> Option<String> {
        let mut others = fault.devices.clone();
        others.retain(|other| *other != id);
        let name = &self.site.devices.get(id)?.name.value;
        if others.is_empty() {
            return None;
        }
        let (_, after) = self.mover.tried(|site| {
            if let Some(device) = site.devices.get_mut(id) {
                // Without a model it draws nothing.
                (device.model_name, device.model_item) = (None, None);
            }
        })?;
        let (well, ill): (Vec<DeviceId>, Vec<DeviceId>) = others
            .iter()
            .partition(|other| works(self.site, &after, **other));
        Some(match (well.as_slice(), ill.as_slice()) {
            (_, []) => format!(" Without {name}, the rest of the branch gets what it needs."),
            ([], ill) => format!(
                " Without {name}, too little still reaches {}.",
                self.named(ill)
            ),
            (_, ill) => format!(
                " Without {name}, too little still reaches {}; the rest of the branch gets what it needs.",
                self.named(ill)
            ),
        })
    }

    fn conflict(&self, fault: &FaultFigures, first: OutputId, second: OutputId) -> Option<Finding> {
        let unit = |output: OutputId| self.site.units.get(output.unit);
        let (first, second) = (unit(first)?, unit(second)?);
        let message = format!(
            "{}: the higher one would drive all it has into the lower. Feed each device from one of them.",
            fault.why
        );
        let finding = Finding::new(Code::WiredTwice, second.name.span, message);
        let finding = finding.weighing(Severity::Error);
        Some(finding.with(self.site.spot(first.name.span), "the other one"))
    }
}
