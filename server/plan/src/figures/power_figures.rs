//! What outputs, devices and legs carry, and what has no solution.

use std::sync::Arc;

use super::{ByState, Consumer, Solved, State};
use crate::model::{DeviceId, OutputId, RunId, Terminal, UnitId};
use crate::vocabulary::Dimension;

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
        OutputId {
            unit: self.unit,
            index: self.output,
        }
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
