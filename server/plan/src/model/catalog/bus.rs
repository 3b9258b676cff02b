//! Buses, as the models of panels have them.

use super::Counts;
use super::output::OutputModel;
use super::read::{all_or_none, alone, amount, how_many, known_kind, owned};
use super::version::Version;
use crate::model::at::At;
use crate::model::words::Words;
use crate::vocabulary::{Context, Dimension, Kind, keeps_within};

/// A bus, as the model has it.
#[derive(Debug)]
pub struct BusModel {
    /// Its name.
    pub name: At<String>,
    /// The output that its power cores come from: an index into the outputs.
    pub power: Option<usize>,
    /// It says where its power comes from, and that cannot be read, or feeds nothing in standby.
    pub power_unread: bool,
    /// The name of the output, where that is on in alarm only.
    pub power_in_alarm: Option<At<String>>,
    /// Its addresses, first and last.
    pub addresses: Option<At<Counts>>,
    /// The number that stands where its addresses belong, which are unknown then.
    pub addresses_alone: Option<At<u32>>,
    /// The addresses for each kind. Empty: any; so too while one of them cannot be read.
    pub places: Vec<(At<&'static Kind>, At<Counts>)>,
    /// What is enabled from the factory, and from which revision on. Empty: everything; so too
    /// while a part of it cannot be read.
    pub enabled: Vec<(At<Counts>, Option<Version>)>,
    /// How many devices it carries.
    pub devices: Option<At<u32>>,
    /// How much cable it carries, metres.
    pub length: Option<At<f64>>,
    /// How far the farthest device may be, metres.
    pub longest: Option<At<f64>>,
    /// How much capacitance it drives, farads.
    pub capacitance: Option<At<f64>>,
    /// The shapes that its cable may have. Empty: any; so too while one of them
    /// cannot be read.
    pub layouts: Vec<At<Layout>>,
    /// How far a negative may be shifted, volts.
    pub shift: Option<At<f64>>,
    /// The resistor at both ends of its cable, ohms.
    pub terminated: Option<f64>,
    /// How many unit loads it drives.
    pub unit_loads: Option<At<f64>>,
    /// The number of the terminal for each core.
    pub terminals: Vec<(At<String>, At<u32>)>,
}

/// A shape that a bus's cable may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// One device after the other.
    Chain,
    /// Every device on a cable of its own.
    Star,
    /// Branches anywhere, but no ring.
    Tree,
    /// Back to where it came from.
    Ring,
}

impl Layout {
    /// All of them.
    pub const ALL: [Layout; 4] = [Layout::Chain, Layout::Star, Layout::Tree, Layout::Ring];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Layout::Chain => "chain",
            Layout::Star => "star",
            Layout::Tree => "tree",
            Layout::Ring => "ring",
        }
    }
}

pub(super) fn bus_model(words: Words, outputs: &[OutputModel]) -> Option<BusModel> {
    let named = words.get("power");
    let power = named.and_then(|words| words.name()).and_then(|name| {
        let called = |output: &OutputModel| output.name.value == name.value;
        let output = outputs.iter().position(called)?;
        Some(name.map(|_| output))
    });
    // What is off in standby feeds no bus.
    let in_alarm = |power: &At<usize>| outputs.get(power.value).is_some_and(|own| own.in_alarm);
    let always_on = power.filter(|power| !in_alarm(power));
    // A word that means nothing may be meant for what is missing.
    let has_more = words.has_unknown_word(Context::BusModel);
    let addresses = words.get("addresses");
    let addresses_alone = addresses.and_then(alone);
    let addresses = addresses.and_then(|words| words.whole_range());
    Some(BusModel {
        name: owned(words.name()?),
        power: always_on.map(|power| power.value),
        power_unread: (named.is_some() || has_more) && always_on.is_none(),
        power_in_alarm: power
            .filter(in_alarm)
            .map(|power| owned(words.at(power.span))),
        addresses: addresses.filter(|_| addresses_alone.is_none()),
        addresses_alone,
        places: all_or_none(
            words
                .all("place")
                .map(|words| Some((known_kind(words)?, words.whole_range()?)))
                .chain(has_more.then_some(None)),
        ),
        enabled: all_or_none(
            words
                .all("enabled")
                .map(|words| {
                    let revision = words
                        .get("from-revision")
                        .and_then(|words| words.number_text());
                    Some((
                        words.whole_range()?,
                        revision.map(|text| Version::parse(text.value)),
                    ))
                })
                .chain(has_more.then_some(None)),
        ),
        devices: how_many(words, "devices"),
        length: amount(words, "length", Dimension::Length),
        longest: amount(words, "longest", Dimension::Length),
        capacitance: amount(words, "capacitance", Dimension::Capacitance),
        layouts: words.get("layout").map(layouts).unwrap_or_default(),
        shift: amount(words, "shift", Dimension::Voltage),
        terminated: amount(words, "terminated", Dimension::Resistance).map(|at| at.value),
        unit_loads: words
            .get("unit-loads")
            .and_then(|words| words.number())
            .filter(|at| keeps_within("unit-loads", None, at.value)),
        terminals: words
            .all("terminal")
            .flat_map(|words| words.sets())
            .filter_map(|(name, set)| Some((owned(name), set.whole()?)))
            .collect(),
    })
}

fn layouts(words: Words) -> Vec<At<Layout>> {
    all_or_none(words.names().map(|value| {
        let written = words.at(value.span);
        let mut all = Layout::ALL.into_iter();
        let layout = all.find(|layout| layout.name() == written.value)?;
        Some(written.map(|_| layout))
    }))
}
