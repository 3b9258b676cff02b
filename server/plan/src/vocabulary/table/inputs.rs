//! Inputs of a model and the loops that they read.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "inputs",
        &[UnitModel, DeviceModel],
        &[needs("range", Numbers)],
        Many,
        "Inputs for detection loops, and the loops that they can read.",
        "inputs 1 .. 8 { loop single { end 2.2 kohm } }",
    )
    .opens(Inputs),
    word(
        "as",
        &[Inputs],
        &[needs("whose", Choice(&[("panel", "The panel's own inputs.")]))],
        Once,
        "The loops are those of the panel that the expander is on.",
        "inputs 1 .. 8, as panel",
    ),
    word(
        "loop",
        &[Inputs],
        &[NAME],
        Many,
        "A way to wire a loop that the inputs can read: its resistors, and what each resistance means.",
        "loop single { end 2.2 kohm }",
    )
    .opens(Loop),
    word(
        "end",
        &[Loop],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor at the far end of the loop. A loop without any resistors cannot tell touching cores from closed contacts, and is not asked to.",
        "end 2.2 kohm",
    ),
    word(
        "contact",
        &[Loop],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor across each alarm contact.",
        "contact 1 kohm",
    ),
    word(
        "resistors",
        &[Loop],
        &[needs("series", Named(Names::Model("series")))],
        Once,
        "The series that the resistors are taken from: their tolerance is that of the series, and a value that the series does not have is told. Any value will do where this is not said.",
        "resistors E24",
    ),
    word(
        "tolerance",
        &[Loop],
        &[TOLERANCE],
        Once,
        "How far the resistors may be off. That of their series unless said, and 1 % where `resistors` names none.",
        "tolerance 5 %",
    ),
    word(
        "reads",
        &[Loop],
        &[
            needs(
                "condition",
                Choice(&[
                    ("normal", "All is quiet."),
                    ("alarm", "A detector has seen something."),
                    ("tamper", "A housing was opened."),
                    ("open", "The loop is open: a contact, or a cut cable."),
                    ("short", "The two cores touch."),
                ]),
            ),
            needs("range", Range(D::Resistance)),
        ],
        AtLeastOnce,
        "The resistances that the input takes for this condition.",
        "reads normal 1.6 kohm .. 2.9 kohm",
    ),
];
