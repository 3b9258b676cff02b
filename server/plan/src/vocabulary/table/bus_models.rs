//! Buses of a panel's model.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "bus",
        &[UnitModel],
        &[NAME],
        Many,
        "A data bus on which devices have addresses.",
        "bus keys { addresses 1 .. 15 }",
    )
    .opens(BusModel),
    word(
        "power",
        &[BusModel],
        &[needs("output", Named(Names::Output))],
        Once,
        "The output that the bus's power cores come from.",
        "power aux",
    ),
    word(
        "addresses",
        &[BusModel],
        &[needs("range", Numbers)],
        One,
        "The addresses that there are on the bus.",
        "addresses 1 .. 15",
    ),
    word(
        "place",
        &[BusModel],
        &[needs("kind", Kind(Some(Bus))), needs("range", Numbers)],
        Many,
        "The addresses that a kind of device may have.",
        "place keypad 1 .. 8",
    ),
    word(
        "enabled",
        &[BusModel],
        &[needs("range", Numbers)],
        Many,
        "The addresses that the panel has switched on from the factory. Any other must be enabled in the panel's programming before a device answers there. Where a bus says nothing about it, all are.",
        "enabled 1 .. 8, from-revision 5.0",
    )
    .opens(Enabled),
    word(
        "from-revision",
        &[Enabled],
        &[needs("revision", Version)],
        Once,
        "From this revision of the panel on.",
        "from-revision 5.0",
    ),
    word(
        "devices",
        &[BusModel],
        &[needs("number", HowMany)],
        Once,
        "How many devices the bus carries at most.",
        "devices 12",
    ),
    word(
        "length",
        &[BusModel],
        &[needs("length", Amount(&[D::Length])).within(&[some(D::Length)])],
        Once,
        "How much cable may be on the bus in all.",
        "length 350 m",
    ),
    word(
        "longest",
        &[BusModel],
        &[needs("length", Amount(&[D::Length])).within(&[some(D::Length)])],
        Once,
        "How far the farthest device may be from the panel, along the cable.",
        "longest 200 m",
    ),
    word(
        "capacitance",
        &[BusModel],
        &[needs("capacitance", Amount(&[D::Capacitance])).within(&[some(D::Capacitance)])],
        Once,
        "How much capacitance of cable the bus can drive.",
        "capacitance 60 nF",
    ),
    word(
        "layout",
        &[BusModel],
        &[several(
            "shape",
            Choice(&[
                ("chain", "One device after the other."),
                ("star", "Every device on a cable of its own."),
                ("tree", "Branches anywhere, but no ring."),
                ("ring", "Back to where it came from."),
            ]),
        )],
        Once,
        "The shapes that the bus's cable may have; any, if it is not said.",
        "layout chain star",
    ),
    word(
        "shift",
        &[BusModel],
        &[needs("voltage", Amount(&[D::Voltage]))],
        Once,
        "How far a device's negative may lie above the panel's before the data is misread.",
        "shift 1 V",
    ),
    word(
        "terminated",
        &[BusModel],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor that stands across the data pair at both ends of the bus's cable, and nowhere else: 120 ohm on a bus of TIA-485-A.",
        "terminated 120 ohm",
    ),
    word(
        "unit-loads",
        &[BusModel],
        &[needs("number", Factor).within(&[UNIT_LOADS])],
        Once,
        "How many unit loads the bus can drive, the panel's own not counted. TIA-485-A has 32 in all, so 31 beside a panel that is one.",
        "unit-loads 31",
    ),
    word(
        "terminal",
        &[BusModel],
        &[
            needs(
                "core",
                Choice(&[
                    ("negative", "The negative of the power pair."),
                    ("positive", "The positive of the power pair."),
                    ("data-out", "Data from the panel."),
                    ("data-in", "Data to the panel."),
                ]),
            ),
            needs("number", Number),
        ],
        Many,
        "The number printed at the terminal for each core.",
        "terminal negative 6, positive 7, data-out 8, data-in 9",
    )
    .list(),
];
