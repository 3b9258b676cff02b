//! What a unit asks of its mains side: its own draw, what its outputs give,
//! and what charges its battery, in watts on the direct-current side.
//! Asked for only where a model gives the rating.

use bellwire_circuit::Draw;

use super::battery::spare;
use super::supply::{nominal_volts, own_draw};
use super::{Figures, State};
use crate::model::{Site, UnitId};

/// What a unit asks of its mains side in a state on mains, watts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MainsFigures {
    /// What the mains side can give.
    pub rating: f64,
    /// The unit's own draw.
    pub own: f64,
    /// What its outputs give.
    pub outputs: f64,
    /// What charges the battery.
    pub charging: f64,
    /// What would charge it if the outputs gave nothing.
    pub charger: f64,
}

impl MainsFigures {
    /// All that is asked for.
    pub fn total(&self) -> f64 {
        self.own + self.outputs + self.charging
    }
}

/// `None` if the model does not rate its mains side, what it asks of that cannot be read, or the
/// outputs have no solution.
pub fn mains(site: &Site, figures: &Figures, id: UnitId, state: State) -> Option<MainsFigures> {
    let unit = site.units.get(id)?;
    let model = unit.model()?;
    let rating = model.mains?.value;
    let volts = model.outputs.iter().map(|output| output.volts);
    let volts = volts.collect::<Option<Vec<f64>>>()?;
    let volts = volts.into_iter().fold(0.0, f64::max);
    let volts = match volts > 0.0 {
        true => volts,
        false => nominal_volts(unit)?,
    };
    let watts = |draw: Draw| match draw {
        Draw::Amperes(amperes) => amperes * volts,
        Draw::Watts(watts) => watts,
        Draw::Ohms(ohms) => volts * volts / ohms,
    };
    let mut outputs = 0.0;
    for output in figures.outputs_of(id) {
        let solved = output.states[state].as_ref().ok()?;
        outputs += solved.given() * solved.volts;
    }
    if model.charger_unread {
        return None;
    }
    let charger = model.charger.filter(|_| unit.battery.is_some());
    let charger = charger.map_or(0.0, |charger| charger.value);
    let spare = spare(charger, figures.outputs_of(id), state)?.max(0.0);
    Some(MainsFigures {
        charger: charger * volts,
        rating: watts(rating),
        own: watts(own_draw(model, state.activity())?),
        outputs,
        charging: spare * volts,
    })
}
