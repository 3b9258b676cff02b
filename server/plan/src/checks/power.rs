//! What outputs carry and what devices get.

use super::Context;
use super::mend::Mender;
use super::moves::Mover;
use super::words::{apart, volts};
use crate::figures::{
    ByState, DeviceFigures, FaultFigures, FaultKind, Figures, OutputFigures, OutputId, State,
};
use crate::finding::{Code, Finding, Mend, Severity};
use crate::model::{At, DeviceId, Site, Terminal, Unit, UnitId};
use crate::source::Spot;
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks outputs against their limits and devices against their range.
pub(super) fn check<'a>(
    site: &'a Site,
    figures: &'a Figures,
    context: &'a Context<'a>,
    mover: &mut Mover<'a>,
    findings: &mut Vec<Finding>,
) {
    for output in &figures.outputs {
        findings.extend(output_load(site, figures, mover, output));
    }
    for (id, unit) in site.units.iter().enumerate() {
        findings.extend(unit_load(site, figures, mover, id, unit));
    }
    let mut check = Voltages {
        site,
        figures,
        context,
        mender: None,
        mover,
    };
    for device in &figures.devices {
        findings.extend(check.low(device));
        findings.extend(check.high(device));
    }
    check.faults(findings);
}

/// The most that is carried in any state.
#[derive(Clone, Copy)]
struct Worst {
    state: State,
    amperes: f64,
    /// On mains and on battery alike, in the same state of the system.
    alike: bool,
}

impl Worst {
    fn of(mut amperes: impl FnMut(State) -> Option<f64>) -> Option<Worst> {
        let all = ByState::new(&mut amperes);
        let (state, most) = all
            .iter()
            .filter_map(|(state, amperes)| Some((state, (*amperes)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let alike = all.iter().all(|(other, amperes)| {
            other.is_alarm() != state.is_alarm()
                || amperes.is_some_and(|amperes| amperes >= most * 0.999)
        });
        Some(Worst {
            state,
            amperes: most,
            alike,
        })
    }

    fn phrase(&self) -> &'static str {
        match self.state {
            State::MainsAlarm | State::BatteryAlarm if self.alike => "with the system in alarm",
            State::MainsStandby | State::BatteryStandby if self.alike => "in standby",
            state => state.phrase(),
        }
    }
}

fn output_load(
    site: &Site,
    figures: &Figures,
    mover: &mut Mover,
    output: &OutputFigures,
) -> Option<Finding> {
    let unit = site.units.get(output.unit)?;
    let limit = unit.model()?.outputs.get(output.output)?.limit?;
    let worst = Worst::of(|state| Some(output.states[state].as_ref().ok()?.amperes))?;
    let id = (output.unit, output.output);
    let called = site.terminal_name(Terminal::Output(output.unit, output.output));
    let load = Load {
        site,
        unit,
        called: &called,
        worst,
        limit,
    };
    load.check(figures, mover, &[id])
}

/// All outputs of a unit against what they may carry together.
fn unit_load(
    site: &Site,
    figures: &Figures,
    mover: &mut Mover,
    id: UnitId,
    unit: &Unit,
) -> Option<Finding> {
    let limit = unit.model()?.limit?;
    let outputs = || figures.outputs.iter().filter(|output| output.unit == id);
    let ids: Vec<OutputId> = outputs().map(|output| (id, output.output)).collect();
    let worst = Worst::of(|state| together(figures, &ids, state))?;
    let called = format!("all outputs of {} together", unit.name.value);
    let load = Load {
        site,
        unit,
        called: &called,
        worst,
        limit,
    };
    load.check(figures, mover, &ids)
}

/// What outputs carry together in a state.
fn together(figures: &Figures, outputs: &[OutputId], state: State) -> Option<f64> {
    outputs.iter().try_fold(0.0, |sum, output| {
        let output = figures.output(*output)?;
        Some(sum + output.states[state].as_ref().ok()?.amperes)
    })
}

struct Load<'a> {
    site: &'a Site,
    unit: &'a Unit,
    called: &'a str,
    worst: Worst,
    limit: At<f64>,
}

impl Load<'_> {
    fn check(&self, figures: &Figures, mover: &mut Mover, outputs: &[OutputId]) -> Option<Finding> {
        let limit = self.limit.value;
        let share = self.site.rules.set.headroom.unwrap_or(0.0);
        let kept = limit * (1.0 - share);
        let verb = if self.called.starts_with("all ") {
            "carry"
        } else {
            "carries"
        };
        let too_much = self.worst.amperes - kept;
        if too_much <= kept * 1e-9 {
            return None;
        }
        let greatest = greatest(self.site, figures, outputs, self.worst.state);
        let moved = mover.relieve(outputs, too_much, |_, figures| {
            let carried = |state| together(figures, outputs, state);
            let within = |amperes: f64| amperes <= kept * (1.0 + 1e-9);
            State::ALL
                .into_iter()
                .all(|state| carried(state).is_some_and(within))
        });
        let hint = match &moved {
            Some(moved) => {
                let left = together(&moved.figures, outputs, self.worst.state).unwrap_or(0.0);
                let left = in_usual_unit(left, Dimension::Current);
                format!(" {}: {left} are left on it.", moved.mend.title)
            }
            None => " Move a device to another output or supply.".to_string(),
        };
        let (code, message) = if self.worst.amperes > limit * (1.0 + 1e-9) {
            let (amperes, most) = apart(self.worst.amperes, limit, Dimension::Current);
            let message = format!(
                "{} {verb} {amperes} {}; the limit is {most}.{greatest}{hint}",
                self.called,
                self.worst.phrase(),
            );
            (Code::OutputOverloaded, message)
        } else {
            let (amperes, most) = apart(self.worst.amperes, kept, Dimension::Current);
            let rules = self.site.rules.name.as_ref();
            let message = format!(
                "{} {verb} {amperes} {}; with the {} that {} keeps free, {} of {} are left to use.{greatest}{hint}",
                self.called,
                self.worst.phrase(),
                in_usual_unit(share, Dimension::Share),
                rules.map_or("the rule set", |name| &name.value),
                most,
                in_usual_unit(limit, Dimension::Current),
            );
            (Code::Headroom, message)
        };
        let finding = Finding::new(code, self.unit.name.span, message)
            .mended_by(moved.map(|moved| moved.mend));
        Some(match &self.unit.model_item {
            Some(item) => {
                let spot = Spot {
                    item: item.clone(),
                    span: self.limit.span,
                };
                finding.with(spot, "the limit")
            }
            None => finding,
        })
    }
}

/// Which device draws most, a sentence.
fn greatest(site: &Site, figures: &Figures, outputs: &[OutputId], state: State) -> String {
    let drawn = |device: &DeviceFigures| {
        let amperes = device.states[state].as_ref().ok()?.amperes;
        let fed = device.fed_by.iter().any(|output| outputs.contains(output));
        fed.then_some((device.device, amperes))
    };
    let most = figures
        .devices
        .iter()
        .filter_map(drawn)
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
    match most.and_then(|(device, amperes)| Some((site.devices.get(device)?, amperes))) {
        Some((device, amperes)) if amperes > 0.0 => format!(
            " {} draws the most, {}.",
            device.name.value,
            in_usual_unit(amperes, Dimension::Current)
        ),
        _ => String::new(),
    }
}

struct Voltages<'a, 'b> {
    site: &'a Site,
    figures: &'a Figures,
    context: &'a Context<'a>,
    mender: Option<Mender<'a>>,
    mover: &'b mut Mover<'a>,
}

/// Whether a device works in all states in which it has voltage.
fn works(site: &Site, figures: &Figures, device: DeviceId) -> bool {
    let range = site.devices.get(device).and_then(|device| device.model());
    let range = range.and_then(|model| model.works);
    let (from, to) = range.map_or((0.0, f64::INFINITY), |works| works.value);
    figures.device(device).is_some_and(|device| {
        let mut states = device.states.iter();
        states.all(|(_, state)| {
            let volts = state.as_ref().map(|state| state.volts);
            volts.is_ok_and(|volts| volts == 0.0 || (from..=to).contains(&volts))
        })
    })
}

impl<'a> Voltages<'a, '_> {
    fn mender(&mut self) -> &mut Mender<'a> {
        let (site, figures, context) = (self.site, self.figures, self.context);
        self.mender
            .get_or_insert_with(|| Mender::new(site, figures, context))
    }

    /// The least change that brings a device its volts: doubled cores, or the
    /// thinnest cable, or another output.
    fn more_volts(&mut self, device: DeviceId, state: State, least: f64) -> (String, Option<Mend>) {
        let (hint, mend) = self.mender().more_volts(device, state, least);
        if mend.is_some() {
            return (hint, mend);
        }
        match self.moved(device, state) {
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

    /// Too little voltage, in the state with the least. A state in which the
    /// output is off is none to work in.
    fn low(&mut self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.site.devices.get(figures.device)?;
        let least = device.model()?.works?.value.0;
        let (state, volts) = figures
            .states
            .iter()
            .filter_map(|(state, solved)| Some((state, solved.as_ref().ok()?.volts)))
            .filter(|(_, volts)| *volts > 0.0)
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        if volts >= least {
            return None;
        }
        let (hint, mend) = self.more_volts(figures.device, state, least);
        let (got, least) = apart(volts, least, Dimension::Voltage);
        let message = format!(
            "{} gets {got} {}; it works from {least}.{hint}",
            device.name.value,
            state.phrase()
        );
        Some(Finding::new(Code::VoltageLow, device.name.span, message).mended_by(mend))
    }

    /// Too much voltage, in the state with the most.
    fn high(&mut self, figures: &DeviceFigures) -> Option<Finding> {
        let device = self.site.devices.get(figures.device)?;
        let most = device.model()?.works?.value.1;
        let (state, volts) = figures
            .states
            .iter()
            .filter_map(|(state, solved)| Some((state, solved.as_ref().ok()?.volts)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        if volts <= most {
            return None;
        }
        let (hint, mend) = match self.moved(figures.device, state) {
            Some((hint, mend)) => (hint, Some(mend)),
            None => (
                " Feed it from an output of lower voltage.".to_string(),
                None,
            ),
        };
        let (got, most) = apart(volts, most, Dimension::Voltage);
        let message = format!(
            "{} gets {got} {}; it works up to {most}.{hint}",
            device.name.value,
            state.phrase()
        );
        Some(Finding::new(Code::VoltageHigh, device.name.span, message).mended_by(mend))
    }

    /// One finding for each network that has no solution, in its worst state.
    fn faults(&mut self, findings: &mut Vec<Finding>) {
        let mut faults: Vec<&FaultFigures> = self.figures.faults.iter().collect();
        let left = |fault: &FaultFigures| match fault.kind {
            FaultKind::TooMuch { most, wanted, .. } => most / wanted,
            FaultKind::Conflict { .. } => 0.0,
        };
        faults.sort_by(|a, b| {
            let network = a.network.cmp(&b.network);
            network.then(left(a).total_cmp(&left(b)))
        });
        faults.dedup_by_key(|fault| fault.network);
        for fault in faults {
            findings.extend(match fault.kind {
                FaultKind::TooMuch { device, .. } => self.too_much(fault, device),
                FaultKind::Conflict { first, second } => self.conflict(fault, first, second),
            });
        }
    }

    fn too_much(&mut self, fault: &FaultFigures, id: DeviceId) -> Option<Finding> {
        let device = self.site.devices.get(id)?;
        let works = device.model().and_then(|model| model.works);
        let least = works.map_or(0.0, |works| works.value.0);
        let (hint, mend) = self.more_volts(id, fault.state, least);
        let message = format!("{}, {}.{hint}", fault.why, fault.state.phrase());
        let finding = Finding::new(Code::CannotBeFed, device.name.span, message);
        Some(finding.mended_by(mend))
    }

    fn conflict(&self, fault: &FaultFigures, first: OutputId, second: OutputId) -> Option<Finding> {
        let unit = |output: OutputId| self.site.units.get(output.0);
        let (first, second) = (unit(first)?, unit(second)?);
        let message = format!(
            "{}: the higher one would drive all it has into the lower. Feed each device from one of them.",
            fault.why
        );
        let mut finding = Finding::new(Code::WiredTwice, second.name.span, message);
        finding.severity = Severity::Error;
        Some(finding.with(self.site.spot(first.name.span), "the other one"))
    }
}
