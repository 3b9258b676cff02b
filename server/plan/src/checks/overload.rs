//! What outputs carry, and whether that is more than they may.

use crate::figures::{ByState, Figures, OutputFigures, State, above};
use crate::model::{At, OutputId, Site, UnitId};

/// The most that is carried in any state.
#[derive(Clone, Copy)]
pub(super) struct Worst {
    pub state: State,
    pub amperes: f64,
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

    /// The state, in words.
    pub fn phrase(&self) -> &'static str {
        match self.state {
            State::MainsAlarm | State::BatteryAlarm if self.alike => "with the system in alarm",
            State::MainsStandby | State::BatteryStandby if self.alike => "in standby",
            state => state.phrase(),
        }
    }
}

/// Whether an output carries more than the rules let it.
pub(super) fn is_overloaded(site: &Site, output: &OutputFigures) -> bool {
    let found = worst_of_output(site, output);
    found.is_some_and(|(worst, limit)| above(worst.amperes, kept(site, limit)))
}

/// Whether the outputs of a unit carry more together than the rules let them.
pub(super) fn is_overloaded_in_all(site: &Site, figures: &Figures, id: UnitId) -> bool {
    let found = worst_of_unit(site, figures, id);
    found.is_some_and(|(_, worst, limit)| above(worst.amperes, kept(site, limit)))
}

/// What the rules leave of a limit to use.
pub(super) fn kept(site: &Site, limit: At<f64>) -> f64 {
    limit.value * (1.0 - site.rules.set.headroom.unwrap_or(0.0))
}

/// The most that an output carries, and its limit.
pub(super) fn worst_of_output(site: &Site, output: &OutputFigures) -> Option<(Worst, At<f64>)> {
    let (_, model) = site.output(output.id())?;
    let limit = model.limit?;
    let worst = Worst::of(|state| Some(output.states[state].as_ref().ok()?.amperes))?;
    Some((worst, limit))
}

/// The outputs of a unit, the most that they carry together, and their limit.
pub(super) fn worst_of_unit(
    site: &Site,
    figures: &Figures,
    id: UnitId,
) -> Option<(Vec<OutputId>, Worst, At<f64>)> {
    let limit = site.units.get(id)?.model()?.limit?;
    let outputs = figures.outputs_of(id).iter();
    let ids: Vec<OutputId> = outputs.map(OutputFigures::id).collect();
    let worst = Worst::of(|state| together(figures, &ids, state))?;
    Some((ids, worst, limit))
}

/// What outputs carry together in a state.
pub(super) fn together(figures: &Figures, outputs: &[OutputId], state: State) -> Option<f64> {
    outputs.iter().try_fold(0.0, |sum, output| {
        let output = figures.output(*output)?;
        Some(sum + output.states[state].as_ref().ok()?.amperes)
    })
}
