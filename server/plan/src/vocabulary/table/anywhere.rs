//! What may stand in many places.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "note",
        &[
            UnitModel,
            DeviceModel,
            CableModel,
            BatteryModel,
            Rules,
            Monitoring,
            Site,
            Panel,
            Supply,
            Battery,
            Bus,
            Device,
            Zone,
            Joint,
            Run,
        ],
        &[needs("text", Label)],
        Many,
        "A remark that goes into the papers.",
        "note \"Key at the front desk\"",
    ),
    word(
        "accept",
        &[
            UnitModel,
            DeviceModel,
            CableModel,
            BatteryModel,
            Rules,
            Site,
            Panel,
            Supply,
            Battery,
            Bus,
            Device,
            Zone,
            Joint,
            Run,
        ],
        &[needs("code", Named(Names::Code)), needs("reason", Label)],
        Many,
        "Marks one kind of finding here as seen and accepted, with the reason. It is still listed, as accepted.",
        "accept battery-old \"Replaced at the next visit\"",
    ),
];
