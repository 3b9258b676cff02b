//! Kinds of things.

use super::{Context, word};

/// What a thing of a plan is; the first word after `model`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Kind {
    /// The word.
    pub name: &'static str,
    /// What models of it look like.
    pub group: Group,
    /// What it is, for hover and reference.
    pub meaning: &'static str,
}

impl Kind {
    /// Whether users set and unset partitions at it.
    pub fn is_keypad(&self) -> bool {
        self.name == "keypad"
    }
}

/// Kinds whose models take the same words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Group {
    /// Panels and supplies: they have outputs and a battery.
    Unit,
    /// Everything that is fed and may have an address.
    Device,
    /// Cables.
    Cable,
    /// Batteries.
    Battery,
    /// Series of resistor values.
    Series,
}

impl Group {
    /// Where the words of such a model stand.
    pub fn context(self) -> Context {
        match self {
            Group::Unit => Context::UnitModel,
            Group::Device => Context::DeviceModel,
            Group::Cable => Context::CableModel,
            Group::Battery => Context::BatteryModel,
            Group::Series => Context::SeriesModel,
        }
    }
}

const fn device(name: &'static str, meaning: &'static str) -> Kind {
    Kind {
        name,
        group: Group::Device,
        meaning,
    }
}

/// Every kind of thing.
pub const KINDS: &[Kind] = &[
    Kind {
        name: "panel",
        group: Group::Unit,
        meaning: "The control panel: it feeds outputs, runs buses, and reads detection loops.",
    },
    Kind {
        name: "supply",
        group: Group::Unit,
        meaning: "A power supply of its own, with outputs and a standby battery.",
    },
    device("keypad", "Where users set and unset the system."),
    device("expander", "Adds inputs to a panel, over its bus."),
    device(
        "receiver",
        "Receives wireless detectors and hands them on over the bus.",
    ),
    device("reader", "Reads cards or tags at a door."),
    device("communicator", "Reports to a monitoring centre."),
    device("relay", "Switches other equipment at the panel's word."),
    device(
        "detector",
        "Senses: movement, opening, breaking glass, vibration.",
    ),
    device("sounder", "Makes itself heard in alarm."),
    device("beacon", "Makes itself seen in alarm."),
    Kind {
        name: "cable",
        group: Group::Cable,
        meaning: "A cable: its cores, their conductor, and how they are told apart.",
    },
    Kind {
        name: "battery",
        group: Group::Battery,
        meaning: "A standby battery and what it gives at which rate.",
    },
    Kind {
        name: "series",
        group: Group::Series,
        meaning: "A series of preferred resistor values: those that are made and sold.",
    },
];

/// The kind of that name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.name == name)
}

/// The kinds that are words in a context; all without one.
pub fn kinds(there: Option<Context>) -> impl Iterator<Item = &'static Kind> {
    let is_word = move |kind: &&Kind| there.is_none_or(|there| word(kind.name, there).is_some());
    KINDS.iter().filter(is_word)
}
