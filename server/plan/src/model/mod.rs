//! The typed plan: what the statements mean, with the place of every part.
//!
//! `catalog` holds what a top-level statement declares by itself (models, rule
//! sets, monitoring centres); it is worked out once for each item. `site` holds
//! a site with its names resolved in a [`Scope`].

mod accepts;
mod at;
mod catalog;
mod loops;
mod names;
mod part_of;
mod resolve;
mod scope;
mod site;
mod words;

pub use accepts::Accept;
pub(crate) use accepts::accepts;
pub use at::At;
pub(crate) use catalog::BLOCK_VOLTS;
pub use catalog::{
    BatteryModel, BusModel, CableModel, Capacity, ContactModel, Counts, DeviceModel, DrawsAt,
    InputsModel, Layout, LoopModel, Meaning, Model, ModelData, Monitoring, OutputModel, Reads,
    Recharge, RuleSet, SetBy, SettingAddress, UnitModel, Version,
};
pub use part_of::PartOf;
pub(crate) use resolve::resolve_model;
pub use resolve::{resolve, resolve_rules};
pub use scope::Scope;
pub use site::{
    AlsoPlace, BatteryFitted, Bus, BusBlock, BusId, Device, DeviceId, Joint, JointId, Occurrence,
    OutputId, Partition, Path, Place, Report, Rules, Run, RunId, Site, Terminal, Unit, UnitId,
    Zone, ZoneId,
};
pub use words::{Amount, Words};

use std::sync::Arc;

use crate::source::{Item, Span};

/// What a top-level statement declares.
#[derive(Debug)]
pub struct Declared {
    /// The name's place, if there is a name.
    pub name: Option<Span>,
    /// What the name stands for.
    pub what: Declaration,
    /// Whether any clause in the item is [loose](PartOf::Nothing). Hardly ever is one, so
    /// this is found out before anybody asks clause by clause.
    has_loose: bool,
}

/// The kinds of top-level statement.
#[derive(Debug)]
pub enum Declaration {
    /// `use`, and the path's place between its quotes.
    Use(Option<Span>),
    /// `model`
    Model(Box<Model>),
    /// `rules`
    Rules(RuleSet),
    /// `monitoring`
    Monitoring(Monitoring),
    /// `site`; its contents need a scope and are not read here.
    Site,
    /// Something else: nobody can refer to it.
    Nothing,
}

impl Item {
    /// What the item declares; worked out when first asked for.
    pub fn declared(self: &Arc<Self>) -> &Declared {
        self.derived.get_or_make(|| catalog::declared(self))
    }

    /// The declared name.
    pub fn name(self: &Arc<Self>) -> Option<&str> {
        let span = self.declared().name?;
        Some(self.text(span))
    }

    /// The model that the item declares.
    pub fn model(self: &Arc<Self>) -> Option<&Model> {
        match &self.declared().what {
            Declaration::Model(model) => Some(model),
            _ => None,
        }
    }

    /// The rule set that the item declares.
    pub fn rules(self: &Arc<Self>) -> Option<&RuleSet> {
        match &self.declared().what {
            Declaration::Rules(rules) => Some(rules),
            _ => None,
        }
    }
}
