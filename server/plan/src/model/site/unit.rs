//! Panels and supplies, with what stands in their blocks.

use std::sync::Arc;

use super::DeviceId;
use crate::day::Date;
use crate::model::at::At;
use crate::model::catalog::{BatteryModel, ModelData, UnitModel, Version};
use crate::source::{Block, Form, Item, Span};
use crate::vocabulary::Kind;

/// A panel or a supply.
#[derive(Debug, Clone)]
pub struct Unit {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// `panel` or `supply`.
    pub kind: &'static Kind,
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// Its revision.
    pub revision: Option<At<Version>>,
    /// It says a revision, and that cannot be read.
    pub revision_unread: bool,
    /// Its battery.
    pub battery: Option<BatteryFitted>,
    /// Its partitions.
    pub partitions: Vec<Partition>,
    /// There is a partition that cannot be read, and is none of them.
    pub partitions_unread: bool,
    /// Its buses, as far as the plan names them.
    pub buses: Vec<Bus>,
    /// Its block stands on a line below, or a line of it means nothing: what is missing may be
    /// there.
    pub block_unread: bool,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
    /// The braces of its block.
    pub block: Option<Block>,
}

impl Unit {
    /// Whether it is a panel: it has partitions, and reads zones.
    pub fn is_panel(&self) -> bool {
        self.kind.name == "panel"
    }

    /// Its model's data.
    pub fn model(&self) -> Option<&UnitModel> {
        match &self.model_item.as_ref()?.model()?.data {
            ModelData::Unit(model) => Some(model),
            _ => None,
        }
    }
}

/// A battery that is fitted.
#[derive(Debug, Clone)]
pub struct BatteryFitted {
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// When it was fitted.
    pub fitted: Option<At<Date>>,
    /// How many of them, in parallel; `None` if it says so and that cannot be read.
    pub count: Option<u32>,
    /// Where that is written.
    pub count_at: Option<Span>,
    /// How many blocks in series, likewise.
    pub in_series: Option<u32>,
    /// The whole statement.
    pub span: Span,
}

impl BatteryFitted {
    /// Its model's data.
    pub fn model(&self) -> Option<&BatteryModel> {
        match &self.model_item.as_ref()?.model()?.data {
            ModelData::Battery(model) => Some(model),
            _ => None,
        }
    }
}

/// A partition.
#[derive(Debug, Clone)]
pub struct Partition {
    /// Its number.
    pub number: At<u32>,
    /// What people call it.
    pub label: Option<String>,
    /// The whole statement.
    pub span: Span,
    /// How that is written: on a line of its own, or as a clause.
    pub form: Form,
}

/// A bus of a panel, as the plan has it.
#[derive(Debug, Clone)]
pub struct Bus {
    /// Its name.
    pub name: At<String>,
    /// Index into the model's buses, if the model has one of that name.
    pub model: Option<usize>,
    /// The devices on it, in the order of the plan.
    pub devices: Vec<DeviceId>,
    /// The whole statement.
    pub span: Span,
}
