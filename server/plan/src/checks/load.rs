//! What outputs carry against what they may.

use super::moves::Mover;
use super::words::apart;
use crate::figures::{ByState, DeviceFigures, Figures, OutputFigures, OutputId, State};
use crate::finding::{Code, Finding};
use crate::model::{At, Site, Terminal, Unit, UnitId};
use crate::source::Spot;
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the outputs of a site, each by itself and those of a unit together.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    mover: &mut Mover,
    findings: &mut Vec<Finding>,
) {
    for output in &figures.outputs {
        findings.extend(output_load(site, figures, mover, output));
    }
    for (id, unit) in site.units.iter().enumerate() {
        findings.extend(unit_load(site, figures, mover, id, unit));
    }
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
                format!(
                    " {}: {} then {} {left}.",
                    moved.mend.title, self.called, verb
                )
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
