//! Runs of cable, their paths, and where these meet.

use std::sync::Arc;

use super::{BusId, DeviceId, JointId, OutputId, UnitId};
use crate::model::at::At;
use crate::model::catalog::{CableModel, ModelData};
use crate::source::{Item, Span};

/// A point where cables meet.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// Added to each core, ohms; `None` if it says so and that cannot be read.
    pub ohms: Option<f64>,
    /// The whole statement.
    pub span: Span,
}

/// A run of cable.
#[derive(Debug, Clone)]
pub struct Run {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// Where its cable is named.
    pub cable_name: Option<At<String>>,
    /// Its cable.
    pub cable_item: Option<Arc<Item>>,
    /// Spare cores lie in parallel.
    pub doubled: Option<Span>,
    /// It carries no power.
    pub data_only: bool,
    /// Its paths.
    pub paths: Vec<Path>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}

impl Run {
    /// Its cable's data.
    pub fn cable(&self) -> Option<&CableModel> {
        match &self.cable_item.as_ref()?.model()?.data {
            ModelData::Cable(model) => Some(model),
            _ => None,
        }
    }
}

/// A path of a cable. `legs[i]` lies between `points[i]` and `points[i + 1]`.
#[derive(Debug, Clone)]
pub struct Path {
    /// Where it ends or is cut into; each point may be several terminals.
    pub points: Vec<At<Vec<At<Terminal>>>>,
    /// Metres between two points; `None` while that is not written.
    pub legs: Vec<At<Option<f64>>>,
    /// The whole line.
    pub span: Span,
}

impl Path {
    /// Everything that it names, in the order of the text.
    pub fn terminals(&self) -> impl Iterator<Item = &At<Terminal>> + Clone {
        self.points.iter().flat_map(|point| &point.value)
    }
}

/// What a name in a path stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Terminal {
    /// A device, all its terminals.
    Device(DeviceId),
    /// A joint.
    Joint(JointId),
    /// An output.
    Output(OutputId),
    /// A bus.
    Bus(BusId),
    /// An input of a panel.
    PanelInput(UnitId, u32),
    /// An input of an expander.
    DeviceInput(DeviceId, u32),
    /// Nothing that the plan knows; reported where it was resolved.
    Unknown,
}
