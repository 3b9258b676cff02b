//! What may stand in many places.

use super::*;

/// Everything that people plan, sell or agree on.
const PLACES: &[Context] = &[
    UnitModel,
    DeviceModel,
    CableModel,
    BatteryModel,
    SeriesModel,
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
];

pub(super) const WORDS: &[Word] = &[
    word(
        "note",
        PLACES,
        &[needs("text", Label)],
        Many,
        "A remark that goes into the papers.",
        "note \"Key at the front desk\"",
    ),
    word(
        "accept",
        PLACES,
        &[needs("code", Named(Names::Code)), needs("reason", Label)],
        Many,
        "Marks one kind of finding here as seen and accepted, with the reason. It is still listed, as accepted.",
        "accept battery-old \"Replaced at the next visit\"",
    ),
];
