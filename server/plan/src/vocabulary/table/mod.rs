//! The table itself, one file for each kind of statement that its words stand
//! in; [`WORDS`] is all of them, in the order in which the reference and
//! completion have them.

mod anywhere;
mod bus_models;
mod device;
mod device_models;
mod file;
mod goods;
mod inputs;
mod rules;
mod site;
mod unit;
mod unit_models;
mod zone;

use std::ops::Bound::{Excluded, Included, Unbounded};

use super::Context::*;
use super::Count::{AtLeastOnce, Many, Once, Required as One};
use super::Dimension as D;
use super::What::*;
use super::{Bounds, Context, Count, Names, Presence, Slot, What, Word};

const fn needs(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Required)
}

const fn may(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Optional)
}

const fn several(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Several)
}

const fn slot(title: &'static str, what: What, presence: Presence) -> Slot {
    Slot {
        title,
        what,
        presence,
        bounds: &[],
    }
}

const NAME: Slot = needs("name", NewName);
const LABEL: Slot = may("label", Label);
const DRAW: Slot =
    needs("draw", Amount(&[D::Current, D::Power, D::Resistance])).within(&[Bounds {
        outside: "a draw of {} is a short circuit: write what the product's sheet says",
        ..some(D::Resistance)
    }]);

/// What a product has some of.
const fn some(of: D) -> Bounds {
    Bounds {
        of: Some(of),
        range: (Excluded(0.0), Unbounded),
        outside: "{} is none at all: write what the product's sheet says",
    }
}

/// How many unit loads there are.
const UNIT_LOADS: Bounds = Bounds {
    of: None,
    range: (Included(0.0), Unbounded),
    outside: "there is no load of {}: write what the product's sheet says",
};

/// How far resistors may be off.
const TOLERANCE: Slot = needs("share", Amount(&[D::Share])).within(&[Bounds {
    of: Some(D::Share),
    range: (Unbounded, Excluded(1.0)),
    outside: "a resistor that may be off by {} may be none at all: write a share below 100 %",
}]);

impl Slot {
    const fn within(self, bounds: &'static [Bounds]) -> Slot {
        Slot { bounds, ..self }
    }
}

const fn word(
    name: &'static str,
    within: &'static [Context],
    slots: &'static [Slot],
    count: Count,
    meaning: &'static str,
    example: &'static str,
) -> Word {
    Word {
        name,
        within,
        slots,
        list: false,
        model: None,
        needs_model: false,
        count,
        instead_of: None,
        opens: None,
        opens_by_kind: false,
        meaning,
        example,
    }
}

impl Word {
    const fn opens(self, context: Context) -> Word {
        Word {
            opens: Some(context),
            ..self
        }
    }

    const fn opens_by_kind(self) -> Word {
        Word {
            opens_by_kind: true,
            ..self
        }
    }

    const fn instead_of(self, other: &'static str) -> Word {
        Word {
            instead_of: Some(other),
            ..self
        }
    }

    const fn list(self) -> Word {
        Word { list: true, ..self }
    }

    const fn of(self, names: Names) -> Word {
        Word {
            model: Some(names),
            needs_model: true,
            ..self
        }
    }

    const fn may_be_of(self, names: Names) -> Word {
        Word {
            model: Some(names),
            ..self
        }
    }
}

const fn device(name: &'static str, meaning: &'static str, example: &'static str) -> Word {
    word(name, &[Site, Bus], &[NAME, LABEL], Many, meaning, example)
        .of(Names::Model(""))
        .opens(Device)
}

const fn second_place(name: &'static str, meaning: &'static str, example: &'static str) -> Word {
    const SLOTS: &[Slot] = &[needs("address", Place)];
    word(name, &[Device], SLOTS, Once, meaning, example)
}

/// The files of the table.
const PARTS: &[&[Word]] = &[
    file::WORDS,
    unit_models::WORDS,
    bus_models::WORDS,
    inputs::WORDS,
    device_models::WORDS,
    goods::WORDS,
    rules::WORDS,
    site::WORDS,
    unit::WORDS,
    device::WORDS,
    zone::WORDS,
    anywhere::WORDS,
];

/// Every word of the notation.
pub const WORDS: &[Word] = &ALL;

const ALL: [Word; count(PARTS)] = joined(PARTS);

const fn count(parts: &[&[Word]]) -> usize {
    let (mut count, mut part) = (0, 0);
    while part < parts.len() {
        count += parts[part].len();
        part += 1;
    }
    count
}

const fn joined<const COUNT: usize>(parts: &[&[Word]]) -> [Word; COUNT] {
    let mut all = [parts[0][0]; COUNT];
    let (mut next, mut part) = (0, 0);
    while part < parts.len() {
        let mut row = 0;
        while row < parts[part].len() {
            all[next] = parts[part][row];
            next += 1;
            row += 1;
        }
        part += 1;
    }
    all
}
