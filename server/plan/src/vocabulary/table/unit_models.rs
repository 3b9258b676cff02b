//! Models of panels and supplies, and their outputs.

use super::*;

const LIMIT: Slot = needs("current", Amount(&[D::Current])).within(&[some(D::Current)]);

pub(super) const WORDS: &[Word] = &[
    word(
        "standby",
        &[UnitModel, DeviceModel],
        &[DRAW],
        Once,
        "What it draws while nothing happens. If only one of `standby` and `alarm` is given: `standby` holds for both, and with `alarm` alone it draws nothing in standby.",
        "standby 45 mA",
    ),
    word(
        "alarm",
        &[UnitModel, DeviceModel],
        &[DRAW],
        Once,
        "What it draws in alarm.",
        "alarm 110 mA",
    ),
    word(
        "cutoff",
        &[UnitModel],
        &[needs("voltage", Amount(&[D::Voltage])).within(&[some(D::Voltage)])],
        Once,
        "The battery voltage at which the unit disconnects its battery. The battery states are worked out at this voltage, the lowest that the outputs ever give. 10.5 V unless said, 1.75 V a cell.",
        "cutoff 10.5 V",
    ),
    word(
        "charger",
        &[UnitModel],
        &[needs("current", Amount(&[D::Current]))],
        Once,
        "What the charger can give to battery and outputs together beyond the unit's own draw.",
        "charger 700 mA",
    ),
    word(
        "mains",
        &[UnitModel],
        &[needs("rating", Amount(&[D::Power, D::Current]))
            .within(&[some(D::Power), some(D::Current)])],
        Once,
        "What the mains side, a transformer or a power unit, can give in all on the direct-current side: the unit's own draw, its outputs, and the charging of its battery come out of it. Amperes count at the highest output voltage. A transformer's plate often gives VA of alternating current, of which less can be drawn after the rectifier: about 0.6 W for each (common practice; the maker's own figure rules).",
        "mains 24 W",
    ),
    word(
        "battery-max",
        &[UnitModel],
        &[needs("capacity", Amount(&[D::Charge])).within(&[some(D::Charge)])],
        Once,
        "The largest battery that the unit may charge.",
        "battery-max 18 Ah",
    ),
    word(
        "partitions",
        &[UnitModel],
        &[needs("number", HowMany)],
        Once,
        "How many partitions the panel can be divided into.",
        "partitions 2",
    ),
    word(
        "limit",
        &[UnitModel],
        &[LIMIT],
        Once,
        "What all outputs of the unit together can carry, where they share one supply.",
        "limit 1.5 A",
    ),
    word(
        "output",
        &[UnitModel],
        &[
            NAME,
            needs("voltage", Amount(&[D::Voltage])).within(&[Bounds {
                outside: "an output of {} feeds nothing: write what it gives on mains",
                ..some(D::Voltage)
            }]),
        ],
        Many,
        "A pair of terminals that feeds devices, and its voltage on mains.",
        "output aux 13.8 V, limit 600 mA",
    )
    .opens(OutputModel),
    word(
        "limit",
        &[OutputModel],
        &[LIMIT],
        Once,
        "What the output can carry.",
        "limit 600 mA",
    ),
    word(
        "in",
        &[OutputModel],
        &[needs(
            "state",
            Choice(&[("alarm", "The output gives nothing in standby.")]),
        )],
        Once,
        "The output is switched on in alarm only.",
        "output siren 13.8 V, limit 1.2 A, in alarm",
    ),
];
