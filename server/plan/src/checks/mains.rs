//! What units ask of their mains side, against the rating that a model gives.

use super::moves::Mover;
use super::words::apart;
use crate::figures::{Figures, OutputId, State, mains};
use crate::finding::{Code, Finding};
use crate::model::{Site, UnitId};
use crate::source::Spot;
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the mains side of each unit whose model rates it.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    mover: &mut Mover,
    findings: &mut Vec<Finding>,
) {
    for id in 0..site.units.len() {
        findings.extend(overloaded(site, figures, mover, id));
    }
}

fn overloaded(site: &Site, figures: &Figures, mover: &mut Mover, id: UnitId) -> Option<Finding> {
    let unit = site.units.get(id)?;
    let rating = unit.model()?.mains?;
    let states = [State::MainsStandby, State::MainsAlarm];
    let (state, asked) = states
        .into_iter()
        .filter_map(|state| Some((state, mains(site, figures, id, state)?)))
        .max_by(|a, b| a.1.total().total_cmp(&b.1.total()))?;
    if asked.total() <= asked.rating * (1.0 + 1e-9) {
        return None;
    }
    let (total, most) = apart(asked.total(), asked.rating, Dimension::Power);
    let outputs = figures.outputs.iter().filter(|output| output.unit == id);
    let outputs: Vec<OutputId> = outputs.map(|output| (id, output.output)).collect();
    let moved = mover.relieve(&outputs, 0.0, |site, figures| {
        states.into_iter().all(|state| {
            mains(site, figures, id, state).is_some_and(|asked| asked.total() <= asked.rating)
        })
    });
    let least = asked.own + asked.charger;
    let hint = match &moved {
        Some(moved) => format!("{}.", moved.mend.title),
        None if least > asked.rating * (1.0 + 1e-9) => format!(
            "Its own draw and its charger come to {} with nothing on the outputs: fit one with a larger rating.",
            in_usual_unit(least, Dimension::Power)
        ),
        None => "Move load to another supply, or fit one with a larger rating.".to_string(),
    };
    let watts = |watts| in_usual_unit(watts, Dimension::Power);
    let message = format!(
        "{} asks {total} of its mains side {}: {} itself, {} on its outputs, {} to charge the battery; it gives {most}. {hint}",
        unit.name.value,
        match state.is_alarm() {
            true => "in alarm",
            false => "in standby",
        },
        watts(asked.own),
        watts(asked.outputs),
        watts(asked.charging),
    );
    let finding = Finding::new(Code::OutputOverloaded, unit.name.span, message)
        .mended_by(moved.map(|moved| moved.mend));
    Some(match &unit.model_item {
        Some(item) => {
            let spot = Spot {
                item: item.clone(),
                span: rating.span,
            };
            finding.with(spot, "what the mains side gives")
        }
        None => finding,
    })
}
