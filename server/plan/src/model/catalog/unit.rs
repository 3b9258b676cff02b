//! Panels and supplies, as their models have them.

use bellwire_circuit::Draw;

use super::bus::{BusModel, bus_model};
use super::inputs::{InputsModel, inputs};
use super::output::{OutputModel, output_model};
use super::read::{DrawsAt, amount, draw, draw_named, draws, draws_at, how_many};
use crate::model::at::At;
use crate::model::words::Words;
use crate::vocabulary::{Context, Dimension};

/// A panel or a supply.
#[derive(Debug)]
pub struct UnitModel {
    /// Its own draw in standby; `None` if it says so and that cannot be read.
    pub standby: Option<Draw>,
    /// Its own draw in alarm, likewise.
    pub alarm: Option<Draw>,
    /// It says what it draws, even if that cannot be read.
    pub draw_named: bool,
    /// Where both are written.
    pub draws_at: Option<DrawsAt>,
    /// Where it disconnects its battery, volts.
    pub cutoff: Option<At<f64>>,
    /// It says where, and that cannot be read.
    pub cutoff_unread: bool,
    /// What its charger gives, amperes.
    pub charger: Option<At<f64>>,
    /// It says what that gives, and it cannot be read.
    pub charger_unread: bool,
    /// What its mains side gives in all.
    pub mains: Option<At<Draw>>,
    /// The largest battery it may charge, ampere-hours.
    pub battery_max: Option<At<f64>>,
    /// How many partitions it can have.
    pub partitions: Option<At<u32>>,
    /// What all outputs together can carry, amperes.
    pub limit: Option<At<f64>>,
    /// Its outputs.
    pub outputs: Vec<OutputModel>,
    /// Its buses.
    pub buses: Vec<BusModel>,
    /// There is an output or a bus without a name: one that no other has may be its.
    pub terminals_unread: bool,
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
    /// There is a line that cannot be read: it may say what is not said else.
    pub has_more: bool,
}

pub(super) fn unit_model(words: Words) -> UnitModel {
    // A word that means nothing may be meant for what is missing.
    let has_more = words.has_unknown_word(Context::UnitModel);
    let (standby, alarm) = draws(words, has_more);
    let draw_named = draw_named(words) || has_more;
    let undrawn = (!draw_named).then_some(Draw::Amperes(0.0));
    let outputs: Vec<_> = words.all("output").filter_map(output_model).collect();
    let buses: Vec<_> = words
        .all("bus")
        .filter_map(|words| bus_model(words, &outputs))
        .collect();
    let charger = amount(words, "charger", Dimension::Current);
    let cutoff = amount(words, "cutoff", Dimension::Voltage);
    UnitModel {
        standby: standby.or(undrawn),
        alarm: alarm.or(undrawn),
        draw_named,
        draws_at: draws_at(words),
        cutoff_unread: (words.has("cutoff") || has_more) && cutoff.is_none(),
        cutoff,
        charger_unread: (words.has("charger") || has_more) && charger.is_none(),
        charger,
        mains: draw(words, "mains"),
        battery_max: amount(words, "battery-max", Dimension::Charge),
        partitions: how_many(words, "partitions"),
        limit: amount(words, "limit", Dimension::Current),
        terminals_unread: has_more
            || outputs.len() < words.all("output").count()
            || buses.len() < words.all("bus").count(),
        buses,
        inputs: inputs(words),
        has_more,
        outputs,
    }
}
