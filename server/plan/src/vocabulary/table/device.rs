//! What stands in a device of a site.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "address",
        &[Device],
        &[needs("address", Address)],
        Once,
        "Its place on the bus.",
        "address 2",
    ),
    word(
        "partition",
        &[Device, Zone],
        &[several("number", Named(Names::Partition))],
        Once,
        "The partition that it belongs to.",
        "partition 2",
    ),
    word(
        "sounds",
        &[Device],
        &[needs("sound", Named(Names::Sound))],
        Once,
        "How it sounds: one of those that its model lists.",
        "sounds silent",
    ),
    second_place(
        "receiver",
        "The place of the receiver that is part of it, or `off`.",
        "receiver 13",
    ),
    second_place(
        "reader",
        "The place of the reader that is part of it, or `off`.",
        "reader 5",
    ),
    second_place(
        "expander",
        "The place of the expander that is part of it, or `off`.",
        "expander 9",
    ),
    second_place(
        "relay",
        "The place of the relay that is part of it, or `off`.",
        "relay off",
    ),
];
