//! Outputs of different voltage that are joined: what flows there is told of as that; sums of it
//! say nothing about the plan that is meant.

use crate::figures::{DeviceFigures, Figures};
use crate::model::{OutputId, Site, UnitId};

/// The outputs of a site that are joined to one of another voltage.
pub(super) struct Unequal(Vec<OutputId>);

impl Unequal {
    pub fn new(site: &Site, figures: &Figures) -> Unequal {
        let joins = figures.joins.iter().filter_map(|join| join.outputs);
        let unequal = joins.filter(|outputs| differ(site, *outputs));
        Unequal(unequal.flatten().collect())
    }

    /// Whether an output is one of them.
    pub fn has(&self, output: OutputId) -> bool {
        self.0.contains(&output)
    }

    /// Whether an output of a unit is.
    pub fn is_on(&self, unit: UnitId) -> bool {
        self.0.iter().any(|output| output.unit == unit)
    }

    /// Whether what feeds a device is.
    pub fn feed(&self, device: &DeviceFigures) -> bool {
        device.fed_by.iter().any(|output| self.has(*output))
    }
}

/// What an output gives on mains.
pub(super) fn on_mains(site: &Site, output: OutputId) -> Option<f64> {
    site.output(output)?.1.volts
}

/// Whether two outputs give different voltages.
pub(super) fn differ(site: &Site, [a, b]: [OutputId; 2]) -> bool {
    let known = on_mains(site, a).zip(on_mains(site, b));
    known.is_some_and(|(a, b)| a != b)
}
