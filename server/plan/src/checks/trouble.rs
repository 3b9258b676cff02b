//! How much is wrong with a site by its sums, so that a change is not proposed
//! which only moves the trouble.

use super::{battery, mains, needs, negatives, overload};
use crate::figures::{DeviceFigures, Figures};
use crate::model::Site;

/// How many sums of a site do not come out: outputs, units and mains sides that
/// carry too much, devices out of their range or not fed, batteries that do not
/// last or do not charge in time, states without a solution, outputs that are
/// joined, and negatives that nothing joins.
pub(super) fn trouble(site: &Site, figures: &Figures) -> usize {
    let outputs = figures.outputs.iter();
    let units = || 0..site.units.len();
    let devices = figures.devices.iter();
    let batteries = || figures.batteries.iter();
    let overloaded = outputs.filter(|output| overload::is_overloaded(site, output));
    let together = units().filter(|id| overload::is_overloaded_in_all(site, figures, *id));
    let too_much = units().filter(|id| mains::too_much(site, figures, *id).is_some());
    let failing = devices.filter(|device| needs::fails(site, device) || is_untriggered(device));
    let short = batteries().filter(|battery| battery.is_short());
    let slow = batteries().filter(|battery| battery::is_slow(site, battery));
    overloaded.count()
        + together.count()
        + too_much.count()
        + failing.count()
        + short.count()
        + slow.count()
        + figures.faults.len()
        + figures.joins.len()
        + negatives::apart(site, figures)
}

/// Whether nobody can tell that a device is triggered.
fn is_untriggered(device: &DeviceFigures) -> bool {
    let mut states = device.trigger.iter().flat_map(|own| own.states.iter());
    states.any(|(_, solved)| solved.is_err())
}
