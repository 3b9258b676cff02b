//! What is computed for a site: plain numbers in SI units, by the site's own
//! indices. Nothing here judges.

mod state;

use std::collections::BTreeMap;

pub use state::{ByState, Solved, State};

use crate::model::{DeviceId, RunId, Site, Terminal, UnitId, ZoneId};
use crate::vocabulary::Kind;

/// Everything that a site's numbers imply.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figures {
    /// One for each output of each unit, in the order of the models.
    pub outputs: Vec<OutputFigures>,
    /// One for each device that is fed.
    pub devices: Vec<DeviceFigures>,
    /// One for each leg of each run.
    pub segments: Vec<SegmentFigures>,
    /// One for each unit that has or needs a battery.
    pub batteries: Vec<BatteryFigures>,
    /// One for each zone whose loop is known.
    pub zones: Vec<ZoneFigures>,
    /// One for each bus in the plan that the model knows.
    pub buses: Vec<BusFigures>,
}

/// An output and its load.
#[derive(Debug, Clone, PartialEq)]
pub struct OutputFigures {
    /// Its unit.
    pub unit: UnitId,
    /// Index into the outputs of the unit's model.
    pub output: usize,
    /// What it can carry, amperes.
    pub limit: Option<f64>,
    /// What it gives.
    pub states: ByState<Solved<OutputState>>,
}

/// An output in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutputState {
    /// Voltage at its terminals; 0 where it is switched off.
    pub volts: f64,
    /// All that it carries.
    pub amperes: f64,
}

/// A device and what reaches it.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceFigures {
    /// The device.
    pub device: DeviceId,
    /// The outputs that feed it: unit, and index into its model's outputs. Empty: not wired.
    pub fed_by: Vec<(UnitId, usize)>,
    /// What it gets.
    pub states: ByState<Solved<DeviceState>>,
}

/// A device in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceState {
    /// Voltage at its terminals.
    pub volts: f64,
    /// Lost on the way from the output.
    pub drop: f64,
    /// What it draws.
    pub amperes: f64,
    /// How far its negative lies above that of the output.
    pub shift: f64,
}

/// A leg of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct SegmentFigures {
    /// The run.
    pub run: RunId,
    /// Index into its paths.
    pub path: usize,
    /// Index into the path's legs.
    pub leg: usize,
    /// Where it starts.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// How long it is.
    pub metres: f64,
    /// Both conductors together, at the site's highest temperature.
    pub ohms: f64,
    /// What it carries. Nothing is carried by a leg that feeds nothing.
    pub states: ByState<Solved<SegmentState>>,
}

/// A leg in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SegmentState {
    /// From its start to its end.
    pub amperes: f64,
    /// Over both conductors.
    pub drop: f64,
}

/// A battery and what it must do.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryFigures {
    /// Its unit.
    pub unit: UnitId,
    /// What is fitted, ampere-hours at the 20-hour rate; `None` if nothing is.
    pub fitted_ah: Option<f64>,
    /// What is needed; `None` where the site has no rules, or the load has no solution.
    pub needed_ah: Option<f64>,
    /// How long the fitted battery carries the system before the alarm.
    pub standby_hours: Option<f64>,
    /// How long it must.
    pub required_hours: Option<f64>,
    /// What it carries in standby.
    pub standby_amperes: Option<f64>,
    /// What it carries in alarm.
    pub alarm_amperes: Option<f64>,
    /// How long it takes to be as full again as the rules ask.
    pub recharge_hours: Option<f64>,
}

/// A zone and what its input sees.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneFigures {
    /// The zone.
    pub zone: ZoneId,
    /// The cable, both ways; `None` if no cable reaches from the input to all detectors.
    pub cable_ohms: Option<f64>,
    /// What the input sees in each condition.
    pub conditions: Vec<ConditionFigures>,
}

/// A loop in one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct ConditionFigures {
    /// `normal`, `open-alarm`, `short`, `cut` …: its key in the JSON output.
    pub condition: String,
    /// The least that the input may see, ohms; infinite for an open loop.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// The window that it falls in wholly.
    pub reads: Option<String>,
}

/// A bus and its places.
#[derive(Debug, Clone, PartialEq)]
pub struct BusFigures {
    /// Its panel.
    pub unit: UnitId,
    /// Index into the panel's buses.
    pub bus: usize,
    /// All cable on it.
    pub metres: f64,
    /// The way to the farthest device.
    pub longest: f64,
    /// Of all its cable, farads; only cables that give it count.
    pub farads: f64,
    /// Who has which address; the first who asked for it.
    pub taken: BTreeMap<u32, DeviceId>,
    /// The addresses that are left for each kind that the bus has places for.
    pub free: Vec<(&'static Kind, Vec<u32>)>,
}

/// Computes all figures of a site.
pub fn figures(_site: &Site) -> Figures {
    Figures::default()
}
