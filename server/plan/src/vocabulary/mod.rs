//! The words of the notation: what may stand where, with which arguments, in
//! which units, how often, and what it means.
//!
//! One table serves everything. Checking a plan's shape, completion, hover
//! texts, the formatter's columns and the printed reference are drawn from it,
//! so a new statement is a new row in `table`.

mod bounds;
mod digits;
mod kinds;
mod measures;
mod slots;
mod space;
mod table;
mod units;
mod what;
mod word;

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

pub use bounds::Bounds;
pub use digits::{beside, value_and_limit};
pub use kinds::{Group, KINDS, Kind, kind, kinds};
pub use measures::Measures;
pub use slots::Slots;
pub use space::Space;
pub use table::WORDS;
pub use units::{Dimension, UNITS, Unit, can_be, hours, in_usual_unit, unit};
pub use what::{Names, What};
pub use word::{Count, Presence, Slot, Word};

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
