//! What is computed for a site: plain numbers in SI units, by the site's own
//! indices. Nothing here judges.

mod apart;
mod battery;
mod buses;
mod cable;
mod circuits;
mod conditions;
mod cut;
mod discharge;
mod limit;
mod mains;
mod negatives;
mod network;
mod power;
mod route;
mod solve;
mod sorted;
mod state;
#[cfg(test)]
pub(crate) mod tests;
mod together;
mod tried;
mod what_if;
mod wiring;
mod zones;

use std::collections::BTreeMap;
use std::sync::Arc;

pub use battery::capacity_ah;
pub(crate) use battery::{
    ageing, drawn_at, is_short, need, ratings, replace_by, spare, usable_share,
};
pub use buses::{enabled_from, enabled_near, free_for, is_enabled, places_for};
pub use cable::ohms_per_metre;
pub(crate) use cable::{conductor, ohms_per_metre_of};
pub use circuits::{Carried, is_in_alarm};
pub(crate) use circuits::{bus_of, is_trigger, output_model};
pub use conditions::{ConditionFigures, ConditionKind, LoopContact};
pub use cut::{Cut, cuts};
pub(crate) use discharge::{Discharge, discharge};
pub use limit::{above, below};
pub(crate) use mains::{MainsFigures, mains};
pub(crate) use negatives::{Negatives, is_negative_core};
pub use network::Consumer;
pub use route::RouteLeg;
pub(crate) use solve::{nominal_volts, takes_battery, usual_blocks};
pub(crate) use state::Activity;
pub use state::{ByState, Solved, State, Why};
pub(crate) use together::Together;
pub(crate) use tried::tried;
pub use what_if::{Change, WhatIf};
pub use wiring::PathFigures;
pub(crate) use zones::loop_conditions;

use crate::day::Date;
use crate::model::{BusBlock, DeviceId, OutputId, RunId, Site, Terminal, UnitId, ZoneId};
use crate::vocabulary::{Dimension, Kind};
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

/// A branch of the network that has no solution; the same one in each state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct FaultPlace {
    /// The part of the network that it belongs to.
    pub part: usize,
    /// Its first node there; `None` is the part as a whole.
    pub first: Option<usize>,
}

/// A branch that has no solution in a state.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultFigures {
    /// Which branch.
    pub place: FaultPlace,
    /// In which state.
    pub state: State,
    /// What stands against it.
    pub kind: FaultKind,
    /// The devices on the branch that draw.
    pub devices: Vec<DeviceId>,
    /// The same in words, as the states of what hangs on it have them.
    pub why: Arc<str>,
}

/// What stands against a solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FaultKind {
    /// The cable cannot feed a device.
    TooMuch {
        /// What weighs most where the voltage falls lowest.
        consumer: Consumer,
        /// What it could have, in amperes or watts.
        most: f64,
        /// What it asks for, in the same unit.
        wanted: f64,
        /// Of what these are.
        dimension: Dimension,
        /// Where several devices draw: the share of what they ask for that all
        /// of them alike could have, and what the outputs would then give, amperes.
        together: Option<(f64, f64)>,
    },
    /// Outputs of different voltage are joined with nothing between them.
    Conflict {
        /// One output.
        first: OutputId,
        /// The other.
        second: OutputId,
    },
}

/// A leg that brings power where power is already, or joins two outputs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoinFigures {
    /// Its run.
    pub run: RunId,
    /// Index into the run's paths.
    pub path: usize,
    /// Index into the path's legs.
    pub leg: usize,
    /// The outputs that it joins; `None` if it brings more of the same power.
    pub outputs: Option<[OutputId; 2]>,
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

impl OutputFigures {
    /// The output.
    pub fn id(&self) -> OutputId {
        (self.unit, self.output)
    }
}

/// An output in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutputState {
    /// Voltage at its terminals, volts; 0 where it is switched off.
    pub volts: f64,
    /// All that it carries, amperes.
    pub amperes: f64,
}

impl OutputState {
    /// What its unit gives, amperes: what another unit pushes into it spares the unit nothing.
    pub(crate) fn given(&self) -> f64 {
        self.amperes.max(0.0)
    }
}

/// A device and what reaches it.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceFigures {
    /// The device.
    pub device: DeviceId,
    /// The outputs that feed it. Empty: not wired.
    pub fed_by: Arc<[OutputId]>,
    /// What it gets.
    pub states: ByState<Solved<DeviceState>>,
    /// Its trigger, if its model has one.
    pub trigger: Option<Box<TriggerFigures>>,
}

impl DeviceFigures {
    /// Where it takes power: itself and, from other outputs, its trigger.
    pub fn taps(&self) -> impl Iterator<Item = Tap<'_>> {
        let own = Tap {
            is_trigger: false,
            outputs: &self.fed_by,
            states: &self.states,
        };
        let trigger = self.trigger.iter().map(|trigger| Tap {
            is_trigger: true,
            outputs: &trigger.by,
            states: &trigger.states,
        });
        [own].into_iter().chain(trigger)
    }
}

/// A place where a device takes power.
#[derive(Debug, Clone, Copy)]
pub struct Tap<'a> {
    /// Whether it is the trigger.
    pub is_trigger: bool,
    /// The outputs that it hangs on. Empty: not wired.
    pub outputs: &'a [OutputId],
    /// What it gets.
    pub states: &'a ByState<Solved<DeviceState>>,
}

impl Tap<'_> {
    /// What the outputs do with the device: it is `fed` or `triggered` by them.
    pub fn how(&self) -> &'static str {
        match self.is_trigger {
            true => "triggered",
            false => "fed",
        }
    }
}

/// The trigger of a device and what reaches it.
#[derive(Debug, Clone, PartialEq)]
pub struct TriggerFigures {
    /// The outputs that trigger it. Empty: not wired.
    pub by: Arc<[OutputId]>,
    /// What it gets.
    pub states: ByState<Solved<DeviceState>>,
}

/// A device in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceState {
    /// Voltage at its terminals, volts.
    pub volts: f64,
    /// Lost on the route from the output, volts.
    pub drop: f64,
    /// What it draws, amperes.
    pub amperes: f64,
    /// How far its negative lies above that of the output, volts.
    pub shift: f64,
}

impl ByState<Solved<DeviceState>> {
    /// The state in which a device gets least, of those in which it is switched on.
    pub fn lowest(&self) -> Option<(State, DeviceState)> {
        let on = self.solved().filter(|(_, got)| got.volts > 0.0);
        let lowest = on.min_by(|(_, a), (_, b)| a.volts.total_cmp(&b.volts));
        lowest.map(|(state, got)| (state, *got))
    }
}

/// A leg of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct LegFigures {
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
    /// How long it is, metres.
    pub metres: f64,
    /// Both conductors together, or the one between negatives, ohms, at the site's highest
    /// temperature, with half of the resistance of a joint at either end.
    pub ohms: f64,
    /// What it carries. Nothing is carried by a leg that feeds nothing.
    pub states: ByState<Solved<LegState>>,
}

/// A leg in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegState {
    /// From its start to its end, amperes.
    pub amperes: f64,
    /// Over both conductors, volts.
    pub drop: f64,
}

/// A battery and what it must do.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryFigures {
    /// Its unit.
    pub unit: UnitId,
    /// What is fitted, ampere-hours at the 20-hour rate; `None` if nothing is.
    pub fitted_ah: Option<f64>,
    /// What can be had of that before its unit cuts it off.
    pub usable_ah: Option<f64>,
    /// What is needed, ampere-hours at the 20-hour rate; `None` where the site has no rules, or the load has no solution.
    pub needed_ah: Option<f64>,
    /// How long the fitted battery carries the system before the alarm, hours.
    pub standby_hours: Option<f64>,
    /// How long it must, hours.
    pub required_hours: Option<f64>,
    /// What it carries in standby, amperes.
    pub standby_amperes: Option<f64>,
    /// What it carries in alarm, amperes.
    pub alarm_amperes: Option<f64>,
    /// How long it takes to be as full again as the rules ask, hours.
    pub recharge_hours: Option<f64>,
    /// When its life is over, written as `fitted` is: `2029-03` or `2029-03-14`.
    pub replace_by: Option<Date>,
}

impl BatteryFigures {
    /// Whether it is not enough.
    pub fn is_short(&self) -> bool {
        let sizes = self.usable_ah.zip(self.needed_ah);
        sizes.is_some_and(|(usable, needed)| is_short(usable, needed))
    }
}

/// A zone and what its input sees.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneFigures {
    /// The zone.
    pub zone: ZoneId,
    /// The cable, out and back; `None` if no cable reaches from the input to all
    /// detectors, or its length is not known.
    pub cable_ohms: Option<f64>,
    /// Detectors that no cable reaches from the input.
    pub unreached: Vec<DeviceId>,
    /// What the input sees in each condition; nothing while the cable, the loop
    /// or a detector's model is not known.
    pub conditions: Vec<ConditionFigures>,
}

/// A bus and its places.
#[derive(Debug, Clone, PartialEq)]
pub struct BusFigures {
    /// Where the plan has it.
    pub block: BusBlock,
    /// All cable on it, metres.
    pub metres: f64,
    /// The route to the farthest device, metres.
    pub longest: f64,
    /// Of all its cable, farads; only cables that give it count.
    pub farads: f64,
    /// Who has which address; the first who asked for it.
    pub taken: Arc<BTreeMap<u32, DeviceId>>,
    /// Where the cable ends, in the order of the plan; only of a bus whose ends
    /// take a resistor.
    pub ends: Arc<[Terminal]>,
    /// What its devices weigh together, in unit loads.
    pub unit_loads: f64,
    /// The addresses that are left for each kind that the bus has places for;
    /// for each kind that is on it, if the model says nothing of places. Never
    /// more than [`MOST_FREE`] of a kind.
    pub free: Arc<[(&'static Kind, Vec<u32>)]>,
}

/// How many free addresses of a kind are listed at most.
pub const MOST_FREE: usize = 1024;

/// Computes all figures of a site.
pub fn figures(site: &Site) -> Figures {
    let paths = wiring::wiring(site);
    let graph = network::Graph::new(site, &paths);
    let power = power::power(site, &graph);
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
