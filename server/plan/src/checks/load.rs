//! Outputs that carry more than they may, and what relieves them.

use super::case::Case;
use super::mend::moves::Mover;
use super::overload::{Worst, kept, together, worst_of_output, worst_of_unit};
use crate::figures::{DeviceFigures, Figures, OutputFigures, State, Tap, above};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, DeviceId, OutputId, Site, Unit, UnitId};
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Checks the outputs of a site, each by itself and those of a unit together; without those
/// of different voltage that are joined.
pub(super) fn check(case: &Case, mover: &mut Mover, findings: &mut Vec<Finding>) {
    let Case {
        site,
        figures,
        unequal,
        ..
    } = case;
    for output in &figures.outputs {
        if !unequal.has(output.id()) {
            findings.extend(output_load(site, figures, mover, output));
        }
    }
    for (id, unit) in site.units.iter().enumerate() {
        if !unequal.is_on(id) {
            findings.extend(unit_load(site, figures, id, unit));
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
    let (worst, limit) = worst_of_output(site, output)?;
    let load = Load {
        site,
        figures,
        unit,
        outputs: &[output.id()],
        called: site.output_name(output.id()),
        carries: "carries",
        worst,
        limit,
    };
    load.check(Some(mover))
}

/// All outputs of a unit against what they may carry together. Which of them
/// carries what is all one to that: only another supply relieves them.
fn unit_load(site: &Site, figures: &Figures, id: UnitId, unit: &Unit) -> Option<Finding> {
    let (ids, worst, limit) = worst_of_unit(site, figures, id)?;
    let load = Load {
        site,
        figures,
        unit,
        outputs: &ids,
        called: format!("all outputs of {} together", unit.name.value),
        carries: "carry",
        worst,
        limit,
    };
    load.check(None)
}

/// What outputs carry, against the limit that their model gives them.
struct Load<'a> {
    site: &'a Site,
    figures: &'a Figures,
    unit: &'a Unit,
    outputs: &'a [OutputId],
    /// The outputs in words, and what they do: `main.aux`, `carries`.
    called: String,
    carries: &'static str,
    worst: Worst,
    limit: At<f64>,
}

impl Load<'_> {
    /// `mover` tries other outputs of the unit, where one of those could carry the load.
    fn check(&self, mover: Option<&mut Mover>) -> Option<Finding> {
        let (limit, carried) = (self.limit.value, self.worst.amperes);
        let share = self.site.rules.set.headroom.unwrap_or(0.0);
        let kept = kept(self.site, self.limit);
        let too_much = carried - kept;
        if !above(carried, kept) {
            return None;
        }
        let (code, bound) = if above(carried, limit) {
            (Code::OutputOverloaded, limit)
        } else {
            (Code::Headroom, kept)
        };
        let (amperes, most) = value_and_limit(carried, bound, Dimension::Current);
        let allowed = match code {
            Code::OutputOverloaded => format!("the limit is {most}"),
            _ => format!(
                "with the {} that {} keeps free, {most} of {} are left to use",
                in_usual_unit(share, Dimension::Share),
                self.site.rules.called(),
                in_usual_unit(limit, Dimension::Current),
            ),
        };
        let (hint, mend) = self.relief(mover, too_much, kept);
        let message = format!(
            "{} {} {amperes} {}; {allowed}.{}{hint}",
            self.called,
            self.carries,
            self.worst.phrase(),
            greatest(self.site, self.figures, self.outputs, self.worst.state),
        );
        let finding = Finding::new(code, self.unit.name.span, message).mended_by(mend);
        Some(finding.in_model(self.unit.model_item.as_ref(), self.limit.span, "the limit"))
    }

    /// What brings the outputs down to `kept` amperes: a sentence, and the change, if there is one.
    fn relief(
        &self,
        mover: Option<&mut Mover>,
        too_much: f64,
        kept: f64,
    ) -> (String, Option<Mend>) {
        let Some(mover) = mover else {
            return (" Move a device to another supply.".to_string(), None);
        };
        let carried = |figures: &Figures, state| together(figures, self.outputs, state);
        // Without a battery there is nothing to know of what it would feed.
        let known = |state: &State| carried(self.figures, *state).is_some();
        let moved = mover.relieve(self.outputs, too_much, |_, figures| {
            let within = |amperes: f64| !above(amperes, kept);
            let mut states = State::ALL.into_iter().filter(known);
            states.all(|state| carried(figures, state).is_some_and(within))
        });
        let Some(moved) = moved else {
            let hint = " Move a device to another output or supply.";
            return (hint.to_string(), None);
        };
        let left = together(&moved.figures, self.outputs, self.worst.state).unwrap_or(0.0);
        let hint = format!(
            " {}: {} then {} {}.",
            moved.mend.title,
            self.called,
            self.carries,
            in_usual_unit(left, Dimension::Current)
        );
        (hint, Some(moved.mend))
    }
}

/// Which device draws most, a sentence; none where that of one is not known.
fn greatest(site: &Site, figures: &Figures, outputs: &[OutputId], state: State) -> String {
    let drawn = |device: &DeviceFigures| {
        let here = |tap: &Tap| tap.outputs.iter().any(|output| outputs.contains(output));
        let taps = device.taps().filter(here);
        let amperes = taps.map(|tap| Some(tap.states[state].as_ref().ok()?.amperes));
        let amperes = amperes.sum::<Option<f64>>()?;
        Some((device.device, amperes))
    };
    let drawn = figures.devices.iter().map(drawn);
    let drawn: Option<Vec<(DeviceId, f64)>> = drawn.collect();
    let most = drawn.into_iter().flatten();
    let most = most.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
    match most.and_then(|(device, amperes)| Some((site.devices.get(device)?, amperes))) {
        Some((device, amperes)) if amperes > 0.0 => format!(
            " {} draws the most, {}.",
            device.name.value,
            in_usual_unit(amperes, Dimension::Current)
        ),
        _ => String::new(),
    }
}
