//! What units ask of their mains side, against the rating that a model gives.
//!
//! Which of its outputs feeds what is all one to a unit's mains side: only
//! another supply relieves it.

use super::case::Case;
use crate::figures::{Figures, MainsFigures, State, above, mains};
use crate::finding::{Code, Finding};
use crate::model::{Site, UnitId};
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Checks the mains side of each unit whose model rates it; without outputs of different
/// voltage that are joined.
pub(super) fn check(case: &Case, findings: &mut Vec<Finding>) {
    for id in 0..case.site.units.len() {
        if !case.unequal.is_on(id) {
            findings.extend(overloaded(case.site, case.figures, id));
        }
    }
}

/// What a unit asks of its mains side, in the state with the most, if it does not
/// get that.
pub(super) fn too_much(
    site: &Site,
    figures: &Figures,
    id: UnitId,
) -> Option<(State, MainsFigures)> {
    let states = [State::MainsStandby, State::MainsAlarm];
    let most = states
        .into_iter()
        .filter_map(|state| Some((state, mains(site, figures, id, state)?)))
        .max_by(|a, b| a.1.total().total_cmp(&b.1.total()));
    most.filter(|(_, asked)| above(asked.total(), asked.rating))
}

fn overloaded(site: &Site, figures: &Figures, id: UnitId) -> Option<Finding> {
    let unit = site.units.get(id)?;
    let rating = unit.model()?.mains?;
    let (state, asked) = too_much(site, figures, id)?;
    let (total, most) = value_and_limit(asked.total(), asked.rating, Dimension::Power);
    let watts = |watts| in_usual_unit(watts, Dimension::Power);
    let least = asked.own + asked.charger;
    let hint = match above(least, asked.rating) {
        true => format!(
            "Its own draw and its charger come to {} with nothing on the outputs: fit one with a larger rating.",
            watts(least)
        ),
        false => "Move load to another supply, or fit one with a larger rating.".to_string(),
    };
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
    let finding = Finding::new(Code::OutputOverloaded, unit.name.span, message);
    Some(finding.in_model(
        unit.model_item.as_ref(),
        rating.span,
        "what the mains side gives",
    ))
}
