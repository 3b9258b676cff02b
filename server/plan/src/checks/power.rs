//! Devices that get too little or too much, and branches that have no solution.

use super::case::Case;
use super::mend::moves::Mover;
use super::mend::volts::{Mender, give};
use super::needs::{VoltsNeeded, exceeds, lacking, lacks, silent_on, works, worst_faults};
use super::numbers::volts;
use crate::figures::{Consumer, DeviceFigures, FaultFigures, FaultKind, State};
use crate::finding::{Code, Finding, Mend, Severity};
use crate::model::{DeviceId, OutputId};
use crate::sentence::list;
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Checks devices against their range; without those on outputs of different voltage that
/// are joined.
pub(super) fn check<'a>(case: &'a Case<'a>, mover: &mut Mover<'a>, findings: &mut Vec<Finding>) {
    let mut check = Voltages {
        case,
        mender: None,
        mover,
    };
    for device in &case.figures.devices {
        findings.extend(check.silent(device));
        if case.unequal.feed(device) {
            continue;
        }
        findings.extend(check.low(device));
        findings.extend(check.high(device));
    }
    check.faults(findings);
}

struct Voltages<'a, 'b> {
    case: &'a Case<'a>,
    mender: Option<Mender<'a>>,
    mover: &'b mut Mover<'a>,
}

impl<'a> Voltages<'a, '_> {
    /// The least change that brings a device its volts: doubled cores, or the
    /// thinnest cable, or another output.
    fn more_volts(&mut self, need: VoltsNeeded) -> (String, Option<Mend>) {
        let case = self.case;
        let mender = self.mender.get_or_insert_with(|| {
            let lacking = lacking(case.site, case.figures);
            Mender::new(case.site, case.figures, case.given, lacking)
        });
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
        let name = &self.case.site.devices.get(device)?.name.value;
        let got = moved.figures.device(device)?.states[state].as_ref().ok()?;
        let hint = format!(" {name}, {}, would get {}.", moved.how, volts(got.volts));
        Some((hint, moved.mend))
    }

    /// Nothing in standby for what draws then: its output is on in alarm only. Its run is
    /// not moved: a sounder on it too would sound at all times.
    fn silent(&self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.case.site.devices.get(figures.device)?;
        let output = silent_on(self.case.site, figures)?;
        let message = format!(
            "{} gets nothing in standby: {} is on in alarm only. Feed it from an output that is always on.",
            device.name.value,
            self.case.site.output_name(output),
        );
        Some(Finding::new(Code::VoltageLow, device.name.span, message))
    }

    /// Too little voltage.
    fn low(&mut self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.case.site.devices.get(figures.device)?;
        if self.case.stuck.contains(&figures.device) {
            return None;
        }
        let (need, volts) = lacks(self.case.site, figures)?;
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
        let device = self.case.site.devices.get(figures.device)?;
        let (state, volts, most) = exceeds(self.case.site, figures)?;
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
        for fault in worst_faults(self.case.figures) {
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
        let device = self.case.site.devices.get(id)?;
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
                let few = few.iter().filter_map(|id| self.case.site.devices.get(*id));
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
        let name = &self.case.site.devices.get(id)?.name.value;
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
            .partition(|other| works(self.case.site, &after, **other));
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
        let unit = |output: OutputId| self.case.site.units.get(output.unit);
        let (first, second) = (unit(first)?, unit(second)?);
        let message = format!(
            "{}: the higher one would drive all it has into the lower. Feed each device from one of them.",
            fault.why
        );
        let finding = Finding::new(Code::WiredTwice, second.name.span, message);
        let finding = finding.weighing(Severity::Error);
        Some(finding.with(self.case.site.spot(first.name.span), "the other one"))
    }
}
