//! What a leg of cable resists.

use bellwire_circuit::Conductor;

use crate::model::{CableModel, Run, Site};

/// Ohms per metre of one conductor at a temperature, if that is known. A resistance that the
/// model gives is the site's own and is taken as it is. `None` if the model
/// gives neither that nor a conductor, says something of it that cannot be read,
/// or makes no finite number of it.
pub fn ohms_per_metre(cable: &CableModel, celsius: Option<f64>) -> Option<f64> {
    let ohms = match cable.resistance {
        Some(ohms) => ohms,
        None if cable.ohms_unread || cable.make_unread => return None,
        None => conductor(cable)?.resistance(celsius?).ohms_per_metre,
    };
    (ohms.is_finite() && ohms >= 0.0).then_some(ohms)
}

/// The same for the cable of a run, at the site's warmest.
pub fn ohms_per_metre_of(site: &Site, run: &Run) -> Option<f64> {
    ohms_per_metre(run.cable()?, site.warmest())
}

/// One conductor, if the model gives its size.
pub fn conductor(cable: &CableModel) -> Option<Conductor> {
    Some(Conductor {
        size: cable.conductor?,
        metal: cable.metal,
        strands: cable.strands,
    })
}

/// Ohms of a pair, out and back. Doubled conductors have half the resistance.
pub(super) fn pair_ohms(ohms_per_metre: f64, metres: f64, doubled: bool) -> f64 {
    let pair = 2.0 * metres * ohms_per_metre;
    if doubled { pair / 2.0 } else { pair }
}
