//! The words of the notation: what may stand where, with which arguments, in
//! which units, how often, and what it means.
//!
//! One table serves everything. Checking a plan's shape, completion, hover
//! texts, the formatter's columns and the printed reference are drawn from it,
//! so a new statement is a new row in `table`.

mod bounds;
mod digits;
mod measures;
mod slots;
mod space;
mod table;
mod units;
mod what;

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

pub use bounds::Bounds;
pub use digits::{beside, value_and_limit};
pub use measures::Measures;
pub use slots::Slots;
pub use space::Space;
pub use table::WORDS;
pub use units::{Dimension, UNITS, Unit, hours, in_usual_unit, unit};
pub use what::{Names, What};

/// The surroundings in which a word may stand: the file, or the statement
/// around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Context {
    /// Outside every statement.
    File,
    /// `model panel …` and `model supply …`.
    UnitModel,
    /// `model keypad …` and the models of all other devices.
    DeviceModel,
    /// `model cable …`
    CableModel,
    /// `model battery …`
    BatteryModel,
    /// `model series …`
    SeriesModel,
    /// `output` of a model.
    OutputModel,
    /// `bus` of a model.
    BusModel,
    /// `enabled` of a bus.
    Enabled,
    /// `inputs` of a model.
    Inputs,
    /// `loop` of inputs.
    Loop,
    /// `contact` of a device.
    Contact,
    /// `setting-address` of a device.
    SettingAddress,
    /// `capacity` of a battery.
    Capacity,
    /// `rules`
    Rules,
    /// `recharge` of rules.
    Recharge,
    /// `monitoring`
    Monitoring,
    /// `site`
    Site,
    /// `report` of a site.
    Report,
    /// `panel` of a site.
    Panel,
    /// `supply` of a site.
    Supply,
    /// `battery` of a panel or supply.
    Battery,
    /// `bus` of a panel.
    Bus,
    /// A device of a site.
    Device,
    /// `zone` of a panel.
    Zone,
    /// `joint` of a site.
    Joint,
    /// `run` of a site; its lines may also be paths.
    Run,
}

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

/// How often a word may stand in one block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    /// Once, or not at all.
    Once,
    /// Exactly once: without it the statement means nothing.
    Required,
    /// As often as wanted.
    Many,
    /// As often as wanted, but once at least.
    AtLeastOnce,
}

impl Count {
    /// Whether there must be one.
    pub fn must_be(self) -> bool {
        matches!(self, Count::Required | Count::AtLeastOnce)
    }

    /// Whether there may be several.
    pub fn may_repeat(self) -> bool {
        matches!(self, Count::Many | Count::AtLeastOnce)
    }
}

/// Whether an argument must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// It must.
    Required,
    /// It may.
    Optional,
    /// One or more of it.
    Several,
}

/// One argument of a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// What it is called in messages and in the reference: `limit`.
    pub title: &'static str,
    /// What may stand there.
    pub what: What,
    /// Whether something must.
    pub presence: Presence,
    /// What a number there must keep within; each is of other numbers.
    pub bounds: &'static [Bounds],
}

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// The keyword.
    pub name: &'static str,
    /// Where it may stand.
    pub within: &'static [Context],
    /// Its arguments, in order.
    pub slots: &'static [Slot],
    /// Whether further clauses may repeat the arguments: `sounds all, silent`.
    pub list: bool,
    /// What `: MODEL` names, if it may be there.
    pub model: Option<Names>,
    /// Whether `: MODEL` must be there.
    pub needs_model: bool,
    /// How often it may stand.
    pub count: Count,
    /// The word that it stands instead of: only one of the two may be there.
    pub instead_of: Option<&'static str>,
    /// The context of its clauses and its block, if it takes any and it is always the same.
    pub opens: Option<Context>,
    /// Whether the kind that it names says which context that is.
    pub opens_by_kind: bool,
    /// What it means: full sentences.
    pub meaning: &'static str,
    /// It in use.
    pub example: &'static str,
}

impl Word {
    /// The context that it opens, where `kind_word` is the first name behind it.
    pub fn context(&self, kind_word: Option<&str>) -> Option<Context> {
        if self.opens_by_kind {
            return kind(kind_word?).map(|kind| kind.group.context());
        }
        self.opens
    }

    /// Whether it gives the second thing that a device is a place of its own.
    pub fn gives_place(&self) -> bool {
        let mut slots = self.slots.iter();
        slots.any(|slot| slot.what == What::Place)
    }

    /// The unit that a number without one is most likely meant in: that of the example, or the
    /// one that the plan has instead; or, where the number would be out of all proportion to the
    /// example in it, one in which it is not.
    pub fn likely_unit(
        &self,
        dimensions: &[Dimension],
        number: f64,
        measures: Measures,
    ) -> Option<&'static Unit> {
        /// So many times more or less is out of proportion.
        const FAR: f64 = 100.0;
        // A gauge has no decimals.
        let is_gauge = |of: &Dimension| *of == Dimension::Gauge;
        let whole = number.fract() == 0.0;
        let mut dimensions = dimensions.to_vec();
        dimensions.retain(|of| whole || !is_gauge(of));
        let words: Vec<&str> = self.example.split([' ', ',']).collect();
        let shown = words.windows(2).find_map(|pair| {
            let &[number, name] = pair else { return None };
            let unit = unit(name).filter(|unit| dimensions.contains(&unit.dimension))?;
            Some((number.parse::<f64>().ok()?, unit))
        });
        let Some((example, shown)) = shown else {
            return Some(measures.usual(*dimensions.first()?));
        };
        let times = |unit: &Unit| {
            let times = (number * unit.factor / (example * shown.factor)).abs();
            times.max(1.0 / times)
        };
        let nearer = |a: &&Unit, b: &&Unit| times(a).total_cmp(&times(b));
        let own = measures.instead_of(shown);
        match number == 0.0 || times(own) < FAR {
            true => Some(own),
            false => shown.dimension.units().min_by(nearer),
        }
    }

    /// Its shape as the reference prints it: `address NUMBER`.
    pub fn shape(&self) -> String {
        let mut shape = self.name.to_string();
        for slot in self.slots {
            let title = slot.title.to_uppercase();
            shape += &match (slot.presence, slot.what) {
                (_, What::Choice([(only, _)])) => format!(" {only}"),
                (Presence::Required, _) => format!(" {title}"),
                (Presence::Optional, _) => format!(" [{title}]"),
                (Presence::Several, _) => format!(" {title}…"),
            };
        }
        if self.model.is_some() {
            shape += if self.needs_model {
                " : MODEL"
            } else {
                " [: MODEL]"
            };
        }
        shape
    }
}

/// The words that may stand in `context`, in the order of the table.
pub fn words(context: Context) -> impl Iterator<Item = &'static Word> {
    // They are asked for every statement, over and over.
    static WITHIN: LazyLock<FxHashMap<Context, Vec<&Word>>> = LazyLock::new(|| {
        let mut within: FxHashMap<Context, Vec<&Word>> = FxHashMap::default();
        for word in WORDS {
            for context in word.within {
                within.entry(*context).or_default().push(word);
            }
        }
        within
    });
    WITHIN.get(&context).into_iter().flatten().copied()
}

/// The word `name` in `context`.
pub fn word(name: &str, context: Context) -> Option<&'static Word> {
    // It is asked for every statement, over and over.
    static PLACES: LazyLock<FxHashMap<(Context, &str), &Word>> = LazyLock::new(|| {
        let words = WORDS.iter();
        let places = words.flat_map(|word| word.within.iter().map(move |place| (place, word)));
        places
            .map(|(place, word)| ((*place, word.name), word))
            .collect()
    });
    PLACES.get(&(context, name)).copied()
}

/// Whether a number behind a word keeps within what it must, wherever the word stands.
pub fn keeps_within(name: &str, of: Option<Dimension>, value: f64) -> bool {
    let slots = rows(name).flat_map(|row| row.slots);
    let mut bounds = slots.flat_map(|slot| slot.bounds);
    bounds.all(|bounds| bounds.lets(of, value))
}

/// Whether it is a word, wherever that may stand.
pub fn is_word(name: &str) -> bool {
    rows(name).next().is_some()
}

/// Whether a clause may belong to a statement, by the words that they start with,
/// wherever the statement stands.
pub fn takes(name: &str, clause: &str) -> bool {
    let opens = |context| word(clause, context).is_some();
    rows(name).any(|row| row.list || row.opens_by_kind || row.opens.is_some_and(opens))
}

/// The rows of that name.
fn rows(name: &str) -> impl Iterator<Item = &'static Word> {
    static ROWS: LazyLock<FxHashMap<&str, Vec<&Word>>> = LazyLock::new(|| {
        let mut rows: FxHashMap<&str, Vec<&Word>> = FxHashMap::default();
        for word in WORDS {
            rows.entry(word.name).or_default().push(word);
        }
        rows
    });
    ROWS.get(name).into_iter().flatten().copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Those who read a number know the word in front of it, and not always where that stands.
    #[test]
    fn numbers_keep_within_the_same_wherever_their_word_stands() {
        let takes = |slot: &Slot, of: Option<Dimension>| match (slot.what, of) {
            (What::Amount(dimensions), Some(of)) => dimensions.contains(&of),
            (What::Factor, None) => true,
            _ => false,
        };
        for word in WORDS {
            for bounds in word.slots.iter().flat_map(|slot| slot.bounds) {
                let slots = rows(word.name).flat_map(|row| row.slots);
                let mut same = slots.filter(|slot| takes(slot, bounds.of));
                assert!(
                    same.all(|slot| slot.bounds.contains(bounds)),
                    "{}",
                    word.name
                );
            }
        }
    }
}
