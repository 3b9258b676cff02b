//! Random plans, and what they should give, by ways that share nothing with the project's own but
//! the physics.
//!
//! A [`Job`] is the numbers of a plan. `text` writes them as a plan; `conductors` makes of the same
//! numbers, with arithmetic of its own, a circuit in which both conductors of every cable are
//! resistors; `dense` solves that with nalgebra, `spice` writes it for a circuit simulator; and
//! `compare` holds a solution against the plan's figures.

pub mod compare;
pub mod conductors;
pub mod dense;
pub mod spice;
mod strategy;
mod text;

pub use strategy::{Loads, Shapes, jobs};

use crate::support::net::Draw;

/// The numbers of a plan.
#[derive(Debug, Clone)]
pub struct Job {
    /// One or two.
    pub supplies: Vec<Supply>,
    /// What hangs on the cable.
    pub places: Vec<Place>,
    /// The runs.
    pub runs: Vec<Run>,
    /// The warmest, °C.
    pub celsius: f64,
}

/// A supply with one output.
#[derive(Debug, Clone)]
pub struct Supply {
    /// On mains.
    pub volts: f64,
    /// Where it leaves its battery; none: it has none.
    pub cutoff: Option<f64>,
    /// Its output gives nothing in standby.
    pub in_alarm: bool,
}

/// A device or a joint.
#[derive(Debug, Clone)]
pub enum Place {
    /// What it draws; at least one of the two is said.
    Device {
        standby: Option<Draw>,
        alarm: Option<Draw>,
    },
    /// Ohms in either core.
    Joint { ohms: f64 },
}

impl Place {
    /// What it draws. The one that is not said: `standby` holds in alarm too, and with `alarm`
    /// alone nothing is drawn in standby.
    pub fn draw(&self, in_alarm: bool) -> Option<Draw> {
        let Place::Device { standby, alarm } = self else {
            return None;
        };
        let said = if in_alarm {
            alarm.or(*standby)
        } else {
            *standby
        };
        Some(said.unwrap_or(Draw::Amperes(0.0)))
    }

    /// Whether it is a joint.
    pub fn is_joint(&self) -> bool {
        matches!(self, Place::Joint { .. })
    }
}

/// A run of cable.
#[derive(Debug, Clone)]
pub struct Run {
    /// Its cable.
    pub cable: Cable,
    /// Spare cores in parallel.
    pub doubled: bool,
    /// Its paths.
    pub paths: Vec<Path>,
}

/// A path: where it starts, and metres to each further end.
#[derive(Debug, Clone)]
pub struct Path {
    pub from: End,
    pub legs: Vec<(f64, End)>,
}

impl Path {
    /// Each leg with both ends.
    pub fn with_ends(&self) -> impl Iterator<Item = (End, End, f64)> + '_ {
        let starts = std::iter::once(self.from).chain(self.legs.iter().map(|leg| leg.1));
        let legs = starts.zip(&self.legs);
        legs.map(|(from, &(metres, to))| (from, to, metres))
    }
}

/// Where a leg starts or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The output of a supply.
    Output(usize),
    /// A device or a joint.
    Place(usize),
}

/// What a cable's model says of its conductor.
#[derive(Debug, Clone, Copy)]
pub enum Cable {
    /// Measured, ohm/km.
    Measured(f64),
    /// A gauge, solid or of 7 strands, copper or copper-clad.
    Gauge {
        awg: u32,
        stranded: bool,
        clad: bool,
    },
    /// 0.5, 0.75 or 1 mm²: index into IEC 60228's maxima.
    Metric(usize),
}
