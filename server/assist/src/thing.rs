//! What a statement stands for, by the vocabulary, and the names that it gives.

use std::borrow::Cow;

use bellwire_plan::source::{Item, Statement, Value, ValueKind, unescaped};
use bellwire_plan::vocabulary::{Context, What, Word, words};

use crate::walk::slotted;

/// The sorts of things that have names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Thing {
    /// A product.
    Model,
    /// A rule set.
    RuleSet,
    /// A monitoring centre.
    Monitoring,
    /// A site.
    Site,
    /// A panel or a supply.
    Unit,
    /// A device.
    Device,
    /// A joint.
    Joint,
    /// A run of cable.
    Run,
    /// A partition.
    Partition,
    /// A zone.
    Zone,
    /// An output of a model.
    Output,
    /// A bus, of a model or of a panel.
    Bus,
    /// The inputs of a model.
    Inputs,
    /// A way to wire a loop.
    Loop,
}

impl Thing {
    /// What the statements of a word stand for; `inner` is the context that
    /// they open. `None` for mere properties of the thing around them.
    pub(crate) fn of(word: &Word, inner: Option<Context>) -> Option<Thing> {
        let thing = match inner {
            Some(
                Context::UnitModel
                | Context::DeviceModel
                | Context::CableModel
                | Context::BatteryModel
                | Context::SeriesModel,
            ) => Thing::Model,
            Some(Context::Rules) => Thing::RuleSet,
            Some(Context::Monitoring) => Thing::Monitoring,
            Some(Context::Site) => Thing::Site,
            Some(Context::Panel | Context::Supply) => Thing::Unit,
            Some(Context::Device) => Thing::Device,
            Some(Context::Joint) => Thing::Joint,
            Some(Context::Run) => Thing::Run,
            Some(Context::Zone) => Thing::Zone,
            Some(Context::OutputModel) => Thing::Output,
            Some(Context::Bus | Context::BusModel) => Thing::Bus,
            Some(Context::Inputs) => Thing::Inputs,
            Some(Context::Loop) => Thing::Loop,
            _ if word.slots.iter().any(|slot| slot.what == What::NewNumber) => Thing::Partition,
            _ => return None,
        };
        Some(thing)
    }
}

/// The name that a statement declares, or the number that serves as one.
pub(crate) fn declared<'a>(word: &Word, statement: &'a Statement) -> Option<&'a Value> {
    let mut values = slotted(word.slots, &statement.arguments);
    let (name, _) = values.find(|(_, slot)| {
        slot.is_some_and(|slot| matches!(slot.what, What::NewName | What::NewNumber))
    })?;
    Some(name)
}

/// What people call the thing that a statement declares, if it has a label.
pub(crate) fn label<'a>(
    item: &'a Item,
    word: &Word,
    statement: &Statement,
) -> Option<Cow<'a, str>> {
    let mut values = slotted(word.slots, &statement.arguments);
    values.find_map(|(value, slot)| match (&value.kind, slot?.what) {
        (ValueKind::Text(span), What::Label) => Some(unescaped(item.text(*span))),
        _ => None,
    })
}

/// Whether a statement is usually written with a block: what stands at the top
/// level, and what holds statements that hold others.
pub(crate) fn takes_a_block(word: &Word, inner: Context) -> bool {
    let is_top = word.within.contains(&Context::File);
    let holds = words(inner).any(|word| word.opens.is_some());
    let may_stand_alone = word.model.is_some() && !word.needs_model;
    is_top || holds && !may_stand_alone
}
