//! Devices, and the places that they take.

use std::sync::Arc;

use super::BusBlock;
use crate::model::at::At;
use crate::model::catalog::{DeviceModel, Model, ModelData, SettingAddress};
use crate::source::{Item, Span};
use crate::vocabulary::Kind;

/// A device.
#[derive(Debug, Clone)]
pub struct Device {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// What it is.
    pub kind: &'static Kind,
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// The bus that it is on.
    pub bus: Option<BusBlock>,
    /// Its address on the bus.
    pub address: Option<At<u32>>,
    /// It has one, and that cannot be read.
    pub address_unread: bool,
    /// A block stands below it that belongs to no statement: it may have more.
    pub block_unread: bool,
    /// The partitions that it belongs to.
    pub partitions: Vec<At<u32>>,
    /// It says which, and none of them can be read.
    pub partitions_unread: bool,
    /// The places of what else it is.
    pub also: Vec<AlsoPlace>,
    /// How it sounds.
    pub sounds: Option<At<String>>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}

impl Device {
    /// Whether users set and unset at it.
    pub fn is_keypad(&self) -> bool {
        self.kind.is_keypad()
    }

    /// Whether it senses.
    pub fn is_detector(&self) -> bool {
        self.kind.name == "detector"
    }

    /// Whether it is heard or seen in alarm.
    pub fn is_warning(&self) -> bool {
        matches!(self.kind.name, "sounder" | "beacon")
    }

    /// Whether it switches other equipment.
    pub fn is_relay(&self) -> bool {
        self.kind.name == "relay"
    }

    /// Its model.
    pub fn product(&self) -> Option<&Model> {
        self.model_item.as_ref()?.model()
    }

    /// Its model's data.
    pub fn model(&self) -> Option<&DeviceModel> {
        match &self.product()?.data {
            ModelData::Device(model) => Some(model),
            _ => None,
        }
    }

    /// Whether it has a contact; `None` if its model, or a contact of it, is not known.
    pub fn has_contact(&self) -> Option<bool> {
        let model = self.model().filter(|model| !model.contacts_unread)?;
        Some(!model.contacts.is_empty())
    }

    /// The greatest address that it can be set to: with switches, what they count to.
    pub fn most_settable(&self) -> u64 {
        let setting = self
            .model()
            .and_then(|model| model.setting_address.as_ref());
        let switches = setting.and_then(SettingAddress::switches);
        switches.map_or(u64::MAX, |switches| (1 << switches) - 1)
    }
}

/// The place of a second thing that a device is.
#[derive(Debug, Clone, Copy)]
pub struct AlsoPlace {
    /// What it is.
    pub kind: &'static Kind,
    /// Where it is on the bus.
    pub place: Place,
    /// The clause.
    pub span: Span,
}

/// An address, or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At an address.
    Address(At<u32>),
    /// Switched off.
    Off,
    /// Cannot be read.
    Unread,
}
