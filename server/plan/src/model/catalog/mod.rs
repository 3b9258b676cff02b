//! What a top-level statement declares by itself: each file has types of it, and how they are read.

mod bus;
mod device;
mod goods;
mod inputs;
mod output;
mod read;
mod rules;
mod unit;
mod version;

pub use bus::{BusModel, Layout};
pub use device::{ContactModel, DeviceModel, SetBy, SettingAddress};
pub(crate) use goods::BLOCK_VOLTS;
pub use goods::{BatteryModel, CableModel, Capacity};
pub use inputs::{InputsModel, LoopModel, Meaning, Reads};
pub use output::OutputModel;
pub use read::DrawsAt;
pub(super) use read::owned;
pub(super) use rules::rule_set;
pub use rules::{Recharge, RuleSet};
pub use unit::UnitModel;
pub use version::Version;

use std::sync::Arc;

use bellwire_circuit::Series;

use crate::model::at::At;
use crate::model::part_of::has_loose;
use crate::model::words::Words;
use crate::model::{Declaration, Declared};
use crate::source::Item;
use crate::vocabulary::{Group, Kind, kind};
use device::device_model;
use goods::{battery_model, cable_model, series};
use unit::unit_model;

/// The first and the last of a range of whole numbers.
pub type Counts = (u32, u32);

/// A product.
#[derive(Debug)]
pub struct Model {
    /// What it is.
    pub kind: &'static Kind,
    /// What plans call it.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// What it can do.
    pub data: ModelData,
}

impl Model {
    /// The loops that its inputs can read.
    pub fn loops(&self) -> impl Iterator<Item = &LoopModel> {
        let loops = self.inputs().iter().flat_map(|inputs| &inputs.loops);
        loops.map(Arc::as_ref)
    }

    fn inputs(&self) -> &[InputsModel] {
        match &self.data {
            ModelData::Unit(model) => &model.inputs,
            ModelData::Device(model) => &model.inputs,
            _ => &[],
        }
    }

    /// Whether it says how loops are wired to its inputs, read or not.
    pub fn says_loops(&self) -> bool {
        self.inputs()
            .iter()
            .any(|inputs| inputs.loops_unread || !inputs.loops.is_empty())
    }

    /// Whether there is a loop that cannot be read: a name that no other has may be its.
    pub fn has_loops_unread(&self) -> bool {
        self.has_more() || self.inputs().iter().any(|inputs| inputs.loops_unread)
    }

    /// Whether there is a line that cannot be read, and may say what is not said else.
    pub fn has_more(&self) -> bool {
        match &self.data {
            ModelData::Unit(model) => model.has_more,
            ModelData::Device(model) => model.has_more,
            _ => false,
        }
    }

    /// Its values, if it is a series.
    pub fn series(&self) -> Option<&Series> {
        match &self.data {
            ModelData::Series(series) => series.as_ref(),
            _ => None,
        }
    }
}

/// What the models of each group know.
#[derive(Debug)]
pub enum ModelData {
    /// Panels and supplies.
    Unit(UnitModel),
    /// Devices.
    Device(DeviceModel),
    /// Cables.
    Cable(CableModel),
    /// Batteries.
    Battery(BatteryModel),
    /// Series of resistor values; `None` while no value of it can be read.
    Series(Option<Series>),
}

/// A monitoring centre.
#[derive(Debug, Clone, Default)]
pub struct Monitoring {
    /// The account numbers that were given out.
    pub accounts: Option<At<Counts>>,
}

/// Reads what an item declares.
pub(in crate::model) fn declared(item: &Arc<Item>) -> Declared {
    let has_loose = has_loose(item, item.root());
    let words = Words::told(item, item.root(), has_loose);
    let mut name = words.name().map(|name| name.span);
    let what = match words.keyword() {
        "use" => {
            name = None;
            Declaration::Use(words.label().map(|path| path.span))
        }
        "model" => {
            name = words.second_name().map(|name| name.span);
            model(words).map_or(Declaration::Nothing, |model| {
                Declaration::Model(Box::new(model))
            })
        }
        "rules" => Declaration::Rules(rule_set(words)),
        "monitoring" => Declaration::Monitoring(Monitoring {
            accounts: words.get("accounts").and_then(|words| words.whole_range()),
        }),
        "site" => Declaration::Site,
        _ => {
            name = None;
            Declaration::Nothing
        }
    };
    Declared {
        name,
        what,
        has_loose,
    }
}

fn model(words: Words) -> Option<Model> {
    let kind = kind(words.name()?.value)?;
    let name = owned(words.second_name()?);
    let data = match kind.group {
        Group::Unit => ModelData::Unit(unit_model(words)),
        Group::Device => ModelData::Device(device_model(words, kind)),
        Group::Cable => ModelData::Cable(cable_model(words)),
        Group::Battery => ModelData::Battery(battery_model(words)),
        Group::Series => ModelData::Series(series(words)),
    };
    Some(Model {
        kind,
        name,
        label: words.label().map(|label| label.value.into_owned()),
        data,
    })
}
