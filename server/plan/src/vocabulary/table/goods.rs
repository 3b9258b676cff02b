//! Models of cables and batteries.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "cores",
        &[CableModel],
        &[needs("number", What::Count)],
        Once,
        "How many cores it has. 2 unless said.",
        "cores 4",
    ),
    word(
        "conductor",
        &[CableModel],
        &[needs("size", Amount(&[D::Gauge, D::Area]))],
        Once,
        "The size of one conductor.",
        "conductor 22 AWG",
    ),
    word(
        "metal",
        &[CableModel],
        &[needs(
            "metal",
            Choice(&[
                ("copper", "Plain copper."),
                (
                    "cca",
                    "Copper-clad aluminium: about 1.6 times the resistance of copper.",
                ),
            ]),
        )],
        Once,
        "What the conductor is made of. Copper unless said.",
        "metal cca",
    ),
    word(
        "strands",
        &[CableModel],
        &[needs("number", What::Count)],
        Once,
        "How many wires a conductor has; 1 is solid. Stranded wires lie about 2 % longer than the cable.",
        "strands 7",
    ),
    word(
        "resistance",
        &[CableModel],
        &[needs("resistance", Amount(&[D::ResistancePerLength]))],
        Once,
        "One conductor's resistance, as it is at the site. It replaces what the conductor would give.",
        "resistance 53 ohm/km",
    ),
    word(
        "capacitance",
        &[CableModel],
        &[needs("capacitance", Amount(&[D::CapacitancePerLength]))],
        Once,
        "The capacitance between two cores.",
        "capacitance 100 pF/m",
    ),
    word(
        "colours",
        &[CableModel],
        &[several("colour", Word)],
        Once,
        "The colours of the cores, in order.",
        "colours black red green yellow",
    ),
    word(
        "voltage",
        &[BatteryModel],
        &[needs("voltage", Amount(&[D::Voltage]))],
        Once,
        "The nominal voltage. 12 V unless said.",
        "voltage 12 V",
    ),
    word(
        "capacity",
        &[BatteryModel],
        &[needs("capacity", Amount(&[D::Charge]))],
        Many,
        "What the battery gives when it is emptied over that time. Over 20 h unless said.",
        "capacity 7 Ah, over 20 h",
    )
    .opens(Capacity),
    word(
        "over",
        &[Capacity],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "The time over which it is emptied.",
        "over 20 h",
    ),
    word(
        "life",
        &[BatteryModel],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long after it was fitted the battery is replaced.",
        "life 4 years",
    ),
];
