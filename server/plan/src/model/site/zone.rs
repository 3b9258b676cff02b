//! Zones.

use std::sync::Arc;

use super::{DeviceId, Terminal, UnitId};
use crate::model::at::At;
use crate::model::catalog::LoopModel;
use crate::source::Span;

/// A zone.
#[derive(Debug, Clone)]
pub struct Zone {
    /// Its number.
    pub number: At<u32>,
    /// What people call it.
    pub label: Option<String>,
    /// Its panel.
    pub unit: UnitId,
    /// The input that reads it: [`Terminal::PanelInput`] or [`Terminal::DeviceInput`].
    pub input: Option<At<Terminal>>,
    /// The detectors on it.
    pub from: Vec<At<DeviceId>>,
    /// It names what may be one, and that cannot be read.
    pub from_unread: bool,
    /// The partitions that it belongs to.
    pub partitions: Vec<At<u32>>,
    /// It says which, and none of them can be read.
    pub partitions_unread: bool,
    /// Where its loop is named.
    pub loop_name: Option<At<String>>,
    /// The loop, as the input's model has it.
    pub loop_model: Option<Arc<LoopModel>>,
    /// Entry time, seconds.
    pub entry: Option<At<f64>>,
    /// Exit time, seconds.
    pub exit: Option<At<f64>>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}
