//! What a leg of cable resists.

use bellwire_circuit::Conductor;

use crate::model::CableModel;

/// Ohms per metre of one conductor at a temperature. A resistance that the
/// model gives is the site's own and is taken as it is. `None` if the model
/// gives neither that nor a conductor, or makes no finite number of it.
pub fn ohms_per_metre(cable: &CableModel, celsius: f64) -> Option<f64> {
    let ohms = match (cable.resistance, cable.conductor) {
        (Some(ohms), _) => ohms,
        (None, Some(size)) => {
            let conductor = Conductor {
                size,
                metal: cable.metal,
                strands: cable.strands,
            };
            conductor.resistance(celsius).ohms_per_metre
        }
        (None, None) => return None,
    };
    (ohms.is_finite() && ohms >= 0.0).then_some(ohms)
}

/// Ohms of a pair, out and back. Doubled conductors have half the resistance.
pub(super) fn pair_ohms(ohms_per_metre: f64, metres: f64, doubled: bool) -> f64 {
    let pair = 2.0 * metres * ohms_per_metre;
    if doubled { pair / 2.0 } else { pair }
}
