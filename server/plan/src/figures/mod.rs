//! What is computed for a site: plain numbers in SI units, by the site's own
//! indices. Nothing here judges.

mod apart;
mod battery;
mod buses;
mod cable;
mod circuits;
mod condition_names;
mod conditions;
mod cut;
mod data_reach;
mod discharge;
mod limit;
mod mains;
mod negatives;
mod network;
mod power;
mod power_figures;
mod route;
mod solve;
mod sorted;
mod state;
mod supply;
#[cfg(test)]
pub(crate) mod tests;
mod together;
mod what_if;
mod wiring;
mod zones;

pub use battery::{BatteryFigures, capacity_ah};
pub(crate) use battery::{
    ageing, drawn_at, is_short, need, ratings, replace_by, spare, usable_share,
};
pub use buses::{
    BusFigures, MOST_FREE, enabled_from, enabled_near, free_for, is_enabled, places_for,
};
pub use cable::ohms_per_metre;
pub(crate) use cable::{conductor, ohms_per_metre_of};
pub use circuits::{Carried, is_in_alarm};
pub(crate) use circuits::{bus_of, is_trigger, may_be_in_alarm};
pub use conditions::{ConditionFigures, ConditionKind, LoopContact};
pub use cut::{Cut, cuts};
pub(crate) use data_reach::DataReach;
pub use data_reach::has_data;
pub(crate) use discharge::{Discharge, discharge};
pub use limit::{above, below};
pub(crate) use mains::{MainsFigures, mains};
pub(crate) use negatives::{Negatives, along_with_data, is_negative_core};
pub use network::{Consumer, JoinFigures};
pub use power_figures::{
    DeviceFigures, DeviceState, FaultFigures, FaultKind, FaultPlace, LegFigures, LegState,
    OutputFigures, OutputState, Tap, TriggerFigures,
};
pub use route::RouteLeg;
pub(crate) use state::Activity;
pub use state::{ByState, Solved, State, Why};
pub(crate) use supply::{lowest_volts, nominal_volts, takes_battery, usual_blocks};
pub(crate) use together::Together;
pub use what_if::{Change, WhatIf};
pub use wiring::PathFigures;
pub use zones::ZoneFigures;
pub(crate) use zones::{is_contradictory, loop_conditions};

use crate::model::{BusBlock, DeviceId, OutputId, RunId, Site, UnitId, ZoneId};
use solve::Asks;
use sorted::with_key;

/// Everything that a site's numbers imply.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figures {
    /// One for each output of each unit, in the order of the models.
    pub outputs: Vec<OutputFigures>,
    /// One for each device that is fed.
    pub devices: Vec<DeviceFigures>,
    /// One for each leg of each run whose length and cable are known.
    pub legs: Vec<LegFigures>,
    /// One for each unit that has or needs a battery.
    pub batteries: Vec<BatteryFigures>,
    /// One for each zone whose input is known.
    pub zones: Vec<ZoneFigures>,
    /// One for each bus in the plan that the model knows.
    pub buses: Vec<BusFigures>,
    /// One for each path of each run, in the order of the plan.
    pub paths: Vec<PathFigures>,
    /// Branches that have no solution in a state.
    pub faults: Vec<FaultFigures>,
    /// Where power arrives over a second route.
    pub joins: Vec<JoinFigures>,
}

impl Figures {
    /// The figures of an output.
    pub fn output(&self, output: OutputId) -> Option<&OutputFigures> {
        with_key(&self.outputs, output, OutputFigures::id).first()
    }

    /// The figures of the outputs of a unit.
    pub fn outputs_of(&self, unit: UnitId) -> &[OutputFigures] {
        with_key(&self.outputs, unit, |figures| figures.unit)
    }

    /// The figures of a device, if it is fed.
    pub fn device(&self, device: DeviceId) -> Option<&DeviceFigures> {
        with_key(&self.devices, device, |figures| figures.device).first()
    }

    /// The figures of a unit's battery, if it has or needs one.
    pub fn battery(&self, unit: UnitId) -> Option<&BatteryFigures> {
        with_key(&self.batteries, unit, |figures| figures.unit).first()
    }

    /// The figures of a zone.
    pub fn zone(&self, zone: ZoneId) -> Option<&ZoneFigures> {
        with_key(&self.zones, zone, |figures| figures.zone).first()
    }

    /// The figures of a bus.
    pub fn bus(&self, block: BusBlock) -> Option<&BusFigures> {
        with_key(&self.buses, block, |figures| figures.block).first()
    }

    /// The legs of a run.
    pub fn legs_of(&self, run: RunId) -> &[LegFigures] {
        with_key(&self.legs, run, |leg| leg.run)
    }

    /// Whether a leg is one core, between the negatives of units.
    pub fn is_negative(&self, leg: &LegFigures) -> bool {
        let path = self.paths_of(leg.run).get(leg.path);
        path.is_some_and(|path| path.is_negative)
    }

    /// The paths of a run.
    pub fn paths_of(&self, run: RunId) -> &[PathFigures] {
        with_key(&self.paths, run, |path| path.run)
    }
}

/// Computes all figures of a site.
pub fn figures(site: &Site) -> Figures {
    worked_out(site, Asks::Why)
}

/// Those of a site with a change tried: what loads are too much is counted, and not said.
pub(crate) fn figures_tried(site: &Site) -> Figures {
    worked_out(site, Asks::Whether)
}

fn worked_out(site: &Site, asks: Asks) -> Figures {
    let paths = wiring::wiring(site);
    let graph = network::Graph::new(site, &paths);
    let power = power::power(site, &graph, asks);
    let batteries = battery::batteries(site, &power);
    let loops = zones::Loops::new(site, &graph, &paths);
    Figures {
        zones: zones::zones(site, &loops),
        buses: buses::buses(site, &graph, &paths),
        joins: graph.joins(),
        batteries,
        outputs: power.outputs,
        devices: power.devices,
        legs: power.legs,
        faults: power.faults,
        paths,
    }
}
