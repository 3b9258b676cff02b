//! What units give: on mains, and from a battery on its way down.

use std::sync::Arc;

use bellwire_circuit::Draw;
use bellwire_circuit::battery::END_OF_DISCHARGE;

use super::{Activity, State};
use crate::model::{BLOCK_VOLTS, OutputModel, Unit, UnitModel};

/// What the outputs are fed from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Supply {
    Mains,
    /// The battery at its end.
    BatteryEnd,
    /// The battery at its nominal voltage, for what it must hold.
    BatteryNominal,
    /// The battery at some voltage, on its way down.
    BatteryAt(f64),
}

/// A case to solve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Case {
    pub supply: Supply,
    pub activity: Activity,
}

impl Case {
    pub fn of(state: State) -> Case {
        Case {
            supply: if state.is_battery() {
                Supply::BatteryEnd
            } else {
                Supply::Mains
            },
            activity: state.activity(),
        }
    }
}

/// What an output gives in a case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum OutputVolts {
    /// It gives so many.
    On(f64),
    /// It is on in alarm only.
    Off,
    /// Its unit has no battery, so without mains it gives nothing.
    NoBattery,
    /// Its voltage, or its battery's, cannot be read.
    Unknown,
}

/// Whether a unit has a battery or is made for one.
pub fn takes_battery(unit: &Unit) -> bool {
    let made_for_one = |model: &UnitModel| model.charger.is_some() || model.battery_max.is_some();
    unit.battery.is_some() || unit.model().is_some_and(made_for_one)
}

/// The nominal voltage of a unit's battery, all blocks in series. Where none is fitted, that
/// of as many blocks of six cells as the unit is made for. `None` if what says it cannot be
/// read.
pub(crate) fn nominal_volts(unit: &Unit) -> Option<f64> {
    let fitted = unit.battery.as_ref();
    match fitted.filter(|battery| battery.model_name.is_some()) {
        Some(battery) => Some(battery.model()?.volts? * f64::from(battery.in_series?)),
        None if cutoff_unread(unit) => None,
        None => Some(BLOCK_VOLTS * usual_blocks(unit)),
    }
}

/// How many blocks of six cells a unit's battery amounts to.
pub(super) fn blocks(unit: &Unit) -> Option<f64> {
    Some(nominal_volts(unit)? / BLOCK_VOLTS)
}

/// How many blocks of six cells a unit is made for: those that its cutoff is meant for, or
/// where it says none, those that the lowest of its outputs charges on mains.
pub(crate) fn usual_blocks(unit: &Unit) -> f64 {
    let blocks = unit.model().and_then(|model| match model.cutoff {
        Some(cutoff) => Some((cutoff.value / END_OF_DISCHARGE).round()),
        None => Some((lowest_volts(model)? / BLOCK_VOLTS).floor()),
    });
    blocks
        .filter(|blocks| blocks.is_finite())
        .unwrap_or(1.0)
        .max(1.0)
}

/// The least that an output of a unit gives on mains, if all of them can be read.
pub(crate) fn lowest_volts(model: &UnitModel) -> Option<f64> {
    let volts = model.outputs.iter().map(|output| output.volts);
    volts
        .collect::<Option<Vec<f64>>>()?
        .into_iter()
        .reduce(f64::min)
}

/// Where a unit disconnects its battery, if that can be read. What is the end for a block of 12 V is
/// so in proportion for others.
pub(super) fn end_volts(unit: &Unit) -> Option<f64> {
    match unit.model().and_then(|model| model.cutoff) {
        Some(cutoff) => Some(cutoff.value),
        None if cutoff_unread(unit) => None,
        None => Some(END_OF_DISCHARGE * blocks(unit)?),
    }
}

fn cutoff_unread(unit: &Unit) -> bool {
    unit.model().is_none_or(|model| model.cutoff_unread)
}

/// What an output gives. From the battery never more than on mains.
pub(super) fn output_volts(unit: &Unit, output: &OutputModel, case: Case) -> OutputVolts {
    if output.in_alarm && case.activity == Activity::Standby {
        return OutputVolts::Off;
    }
    let Some(on_mains) = output.volts else {
        return OutputVolts::Unknown;
    };
    let battery = match case.supply {
        Supply::Mains => return OutputVolts::On(on_mains),
        _ if !takes_battery(unit) => return OutputVolts::NoBattery,
        Supply::BatteryEnd => end_volts(unit),
        Supply::BatteryNominal => nominal_volts(unit),
        Supply::BatteryAt(volts) => Some(volts),
    };
    battery.map_or(OutputVolts::Unknown, |battery| {
        OutputVolts::On(battery.min(on_mains))
    })
}

/// What a unit itself draws, if that can be read.
pub(super) fn own_draw(model: &UnitModel, activity: Activity) -> Option<Draw> {
    match activity {
        Activity::Standby => model.standby,
        Activity::Alarm => model.alarm,
    }
}

/// Why it is not known what an output gives.
pub(super) fn unknown_volts(unit: &Unit, output: &OutputModel) -> Arc<str> {
    let (unit, output) = (&unit.name.value, &output.name.value);
    format!("what {unit}.{output} gives is not known").into()
}

/// Why a unit gives nothing without mains.
pub(super) fn without_battery(unit: &Unit) -> Arc<str> {
    format!("{} has no battery", unit.name.value).into()
}
