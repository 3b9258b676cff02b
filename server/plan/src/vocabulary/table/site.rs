//! What a site consists of.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "rules",
        &[Site],
        &[needs("set", Named(Names::Rules))],
        Once,
        "The rule set that the site must meet; or one of its own, built on another.",
        "rules intruder-grade-2",
    )
    .may_be_of(Names::Rules)
    .opens(Rules),
    word(
        "ambient",
        &[Site],
        &[needs("range", Range(D::Temperature))],
        Once,
        "The coldest and the warmest that it gets. Cables are worked out at the warmest, batteries at the coldest. 20 °C unless said.",
        "ambient 5 °C .. 35 °C",
    ),
    word(
        "report",
        &[Site],
        &[needs("centre", Named(Names::Monitoring))],
        Many,
        "The centre that the site reports to.",
        "report northgate, account 4411",
    )
    .opens(Report),
    word(
        "account",
        &[Report],
        &[needs("number", Number)],
        One,
        "The site's account there. It serves no other site.",
        "account 4411",
    ),
    word(
        "panel",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A control panel, with its battery, partitions, buses and zones.",
        "panel main \"Stock room\" : M8, revision 4.2 { … }",
    )
    .of(Names::Model("panel"))
    .opens(Panel),
    word(
        "supply",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A power supply of its own.",
        "supply psu1 \"Roof void\" : PS2 { battery : sealed-12V-7Ah }",
    )
    .of(Names::Model("supply"))
    .opens(Supply),
    device(
        "keypad",
        "A keypad.",
        "keypad front \"Shop door\" : K2, address 1, partition 1",
    ),
    device(
        "expander",
        "An expander: more inputs, over the bus.",
        "expander x1 \"Loft\" : E8, address 9",
    ),
    device(
        "receiver",
        "A receiver for wireless detectors.",
        "receiver r1 \"Landing\" : R1, address 13",
    ),
    device(
        "reader",
        "A reader for cards or tags.",
        "reader door \"Staff door\" : T1, address 3",
    ),
    device(
        "communicator",
        "A communicator to a monitoring centre.",
        "communicator com \"In the panel\" : C1",
    ),
    device(
        "relay",
        "A relay for other equipment.",
        "relay lights \"Stairs\" : RL1",
    ),
    device(
        "detector",
        "A detector.",
        "detector pir1 \"Shop floor\" : P5",
    ),
    device(
        "sounder",
        "A sounder.",
        "sounder s1 \"Front elevation\" : S15",
    ),
    device(
        "beacon",
        "A beacon.",
        "beacon b1 \"Over the door\" : B1",
    ),
    word(
        "joint",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A point where cables meet.",
        "joint j1 \"Ceiling void\"",
    )
    .opens(Joint),
    word(
        "resistance",
        &[Joint],
        &[needs("resistance", Amount(&[D::Resistance]))],
        Once,
        "What the joint adds to each core that goes through it. Nothing unless said.",
        "resistance 50 mohm",
    ),
    word(
        "run",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A length of cable and its route. Each line of its block is a path: it reads as the cable lies.",
        "run keys-a : copper-4x22AWG { main.keys --12 m-- front --31 m-- rear }",
    )
    .of(Names::Model("cable"))
    .opens(Run),
    word(
        "doubled",
        &[Run],
        &[],
        Once,
        "Spare cores lie in parallel: the same route, half the resistance.",
        "run b1 : copper-4x22AWG, doubled { main.siren --18 m-- s1 }",
    ),
    word(
        "carries",
        &[Run],
        &[needs("what", Choice(&[("data", "Data only.")]))],
        Once,
        "The run carries no power: the device has a supply of its own. The negatives must then be common.",
        "run d1 : copper-4x22AWG, carries data { main.keys --60 m-- rear }",
    ),
];
