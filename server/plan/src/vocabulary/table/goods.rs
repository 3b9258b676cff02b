//! Models of what is bought by the metre or the piece: cables, batteries,
//! resistors.

use super::*;

/// From 0000, which counts as -3, to 40: those that cable comes in (common practice).
const GAUGES: Bounds = Bounds {
    of: Some(D::Gauge),
    range: (Included(-3.0), Included(40.0)),
    outside: "there is no {}: gauges go from 0000 to 40",
};

pub(super) const WORDS: &[Word] = &[
    word(
        "cores",
        &[CableModel],
        &[needs("number", HowMany)],
        Once,
        "How many cores it has. 2 unless said.",
        "cores 4",
    ),
    word(
        "conductor",
        &[CableModel],
        &[needs("size", Amount(&[D::Gauge, D::Area])).within(&[some(D::Area), GAUGES])],
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
                    "tinned",
                    "Tinned copper: up to 7 % more than plain copper where the wires are thin.",
                ),
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
        &[needs("number", HowMany)],
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
        &[needs("voltage", Amount(&[D::Voltage])).within(&[some(D::Voltage)])],
        Once,
        "The nominal voltage. 12 V unless said.",
        "voltage 12 V",
    ),
    word(
        "capacity",
        &[BatteryModel],
        &[needs("capacity", Amount(&[D::Charge])).within(&[some(D::Charge)])],
        AtLeastOnce,
        "What the battery gives when it is emptied over that time. Over 20 h unless said. Batteries are compared by what they give over 20 h, which is worked out where no line says it.",
        "capacity 7 Ah, over 20 h",
    )
    .opens(Capacity),
    word(
        "over",
        &[Capacity],
        &[needs("time", Amount(&[D::Time])).within(&[some(D::Time)])],
        Once,
        "The time over which it is emptied.",
        "over 20 h",
    ),
    word(
        "life",
        &[BatteryModel],
        &[needs("time", Amount(&[D::Time])).within(&[some(D::Time)])],
        Once,
        "How long after it was fitted the battery is replaced.",
        "life 4 years",
    ),
    word(
        "tolerance",
        &[SeriesModel],
        &[TOLERANCE],
        One,
        "How far a resistor of the series may be from its value.",
        "tolerance 5 %",
    ),
    word(
        "values",
        &[SeriesModel],
        &[several("value", Factor).within(&[Bounds {
            of: None,
            range: (Excluded(0.0), Unbounded),
            outside: "a resistor value is above zero: take this one out",
        }])],
        AtLeastOnce,
        "The values of one decade; every other decade has the same, ten times as much or a tenth. May go on over several lines.",
        "values 10 12 15 18 22 27 33 39 47 56 68 82",
    ),
];
