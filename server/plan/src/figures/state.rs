//! The four states in which a system is worked out.

use std::fmt;
use std::sync::Arc;

/// A state of operation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum State {
    /// On mains, nothing happens.
    MainsStandby,
    /// On mains, in alarm.
    MainsAlarm,
    /// The battery at its end, nothing happens.
    BatteryStandby,
    /// The battery at its end, in alarm: the one that usually decides.
    BatteryAlarm,
}

impl State {
    /// All four.
    pub const ALL: [State; 4] = [
        State::MainsStandby,
        State::MainsAlarm,
        State::BatteryStandby,
        State::BatteryAlarm,
    ];

    /// Its name, as the JSON output has it.
    pub fn name(self) -> &'static str {
        match self {
            State::MainsStandby => "mains-standby",
            State::MainsAlarm => "mains-alarm",
            State::BatteryStandby => "battery-standby",
            State::BatteryAlarm => "battery-alarm",
        }
    }

    /// The state in a table: `battery, alarm`.
    pub fn short(self) -> &'static str {
        match self {
            State::MainsStandby => "mains, standby",
            State::MainsAlarm => "mains, alarm",
            State::BatteryStandby => "battery, standby",
            State::BatteryAlarm => "battery, alarm",
        }
    }

    /// The state in a sentence: `it gets 9.7 V …`.
    pub fn phrase(self) -> &'static str {
        match self {
            State::MainsStandby => "on mains in standby",
            State::MainsAlarm => "on mains with the system in alarm",
            State::BatteryStandby => "with the battery at its end in standby",
            State::BatteryAlarm => "with the battery at its end and the system in alarm",
        }
    }

    /// What the system does.
    pub(super) fn activity(self) -> Activity {
        match self {
            State::MainsStandby | State::BatteryStandby => Activity::Standby,
            State::MainsAlarm | State::BatteryAlarm => Activity::Alarm,
        }
    }

    /// Whether the system is in alarm.
    pub fn is_alarm(self) -> bool {
        self.activity() == Activity::Alarm
    }

    /// Whether the mains have failed.
    pub fn is_battery(self) -> bool {
        matches!(self, State::BatteryStandby | State::BatteryAlarm)
    }
}

/// What a system does, whatever feeds it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Activity {
    /// Nothing happens.
    Standby,
    /// It is in alarm.
    Alarm,
}

impl Activity {
    /// Both, in the order of their numbers.
    pub const ALL: [Activity; 2] = [Activity::Standby, Activity::Alarm];
}

/// A figure, or why there is none.
pub type Solved<T> = Result<T, Why>;

/// Why there is no figure, in a clause that can end a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// Something that it takes is not known: a length, a voltage, a battery.
    Unknown(Arc<str>),
    /// All is known, and the network has no solution: a fault says what stands against it.
    Fault(Arc<str>),
}

impl Why {
    /// The clause.
    pub fn as_str(&self) -> &str {
        match self {
            Why::Unknown(why) | Why::Fault(why) => why,
        }
    }

    /// Whether the network has no solution.
    pub(crate) fn is_fault(&self) -> bool {
        matches!(self, Why::Fault(_))
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// One of each state.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ByState<T>([T; 4]);

impl<T> ByState<T> {
    /// Works out one of each.
    pub fn new(make: impl FnMut(State) -> T) -> ByState<T> {
        ByState(State::ALL.map(make))
    }

    /// Each in turn, to change it.
    pub(super) fn iter_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.0.iter_mut()
    }

    /// Each with its state.
    pub fn iter(&self) -> impl Iterator<Item = (State, &T)> {
        State::ALL.into_iter().zip(&self.0)
    }
}

/// One of each in the order of [`State::ALL`].
impl<T> From<[T; 4]> for ByState<T> {
    fn from(states: [T; 4]) -> ByState<T> {
        ByState(states)
    }
}

impl<T> ByState<Solved<T>> {
    /// Each that there is, with its state.
    pub fn solved(&self) -> impl Iterator<Item = (State, &T)> {
        let states = self.iter();
        states.filter_map(|(state, solved)| Some((state, solved.as_ref().ok()?)))
    }
}

impl<T> std::ops::Index<State> for ByState<T> {
    type Output = T;

    fn index(&self, state: State) -> &T {
        &self.0[state as usize]
    }
}
