//! What stands in a panel or supply of a site.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "revision",
        &[Panel],
        &[needs("revision", Version)],
        Once,
        "The revision of the panel. 10.23 is newer than 10.3.",
        "revision 4.2",
    ),
    word(
        "battery",
        &[Panel, Supply],
        &[],
        Once,
        "The standby battery that is fitted.",
        "battery : sealed-12V-7Ah, fitted 2025-03",
    )
    .of(Names::Model("battery"))
    .opens(Battery),
    word(
        "fitted",
        &[Battery],
        &[needs("date", Date)],
        Once,
        "When it was fitted.",
        "fitted 2025-03",
    ),
    word(
        "count",
        &[Battery],
        &[needs("number", HowMany)],
        Once,
        "How many of them, in parallel. 1 unless said.",
        "count 2",
    ),
    word(
        "in-series",
        &[Battery],
        &[needs("number", HowMany)],
        Once,
        "How many blocks stand one behind the other: two of 12 V make 24 V, of the same ampere-hours. 1 unless said.",
        "battery : sealed-12V-7Ah, in-series 2",
    ),
    word(
        "partition",
        &[Panel],
        &[needs("number", NewNumber), LABEL],
        Many,
        "A part of the system that is set and unset by itself.",
        "partition 1 \"Shop\"",
    ),
    word(
        "bus",
        &[Panel],
        &[needs("bus", Named(Names::Bus))],
        Many,
        "The devices on a bus of the panel.",
        "bus keys { … }",
    )
    .opens(Bus),
    word(
        "zone",
        &[Panel],
        &[needs("number", NewNumber), LABEL],
        Many,
        "What the panel reports as one: an input, its loop, and the detectors on it.",
        "zone 1 \"Shop door\", input 1, from rc1, partition 1, entry 30 s, loop single",
    )
    .opens(Zone),
];
