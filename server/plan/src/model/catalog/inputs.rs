//! Inputs, the loops that they read, and what they make of them.

use std::sync::Arc;

use bellwire_circuit::Series;

use super::Counts;
use super::read::{alone, amount, owned};
use crate::model::at::At;
use crate::model::words::Words;
use crate::source::{Item, Span};
use crate::vocabulary::{Context, Dimension};

/// A block of inputs.
#[derive(Debug)]
pub struct InputsModel {
    /// First and last; `None` while that cannot be read.
    pub range: Option<At<Counts>>,
    /// The number that stands where they belong, which are unknown then: `inputs 8`.
    pub alone: Option<At<u32>>,
    /// The loops are the panel's.
    pub as_panel: bool,
    /// The loops.
    pub loops: Vec<Arc<LoopModel>>,
    /// There is a loop that cannot be read, and is none of them.
    pub loops_unread: bool,
}

impl InputsModel {
    /// Whether an input is one of the block. While the block's range cannot be
    /// read, any may be.
    pub fn has(&self, input: u32) -> bool {
        self.range
            .is_none_or(|range| (range.value.0..=range.value.1).contains(&input))
    }

    /// Its inputs, as far as they are known.
    pub fn numbers(&self) -> impl Iterator<Item = u32> + use<> {
        let range = self.range.map(|range| range.value);
        range.into_iter().flat_map(|(first, last)| first..=last)
    }
}

/// A way to wire a loop.
#[derive(Debug, Clone)]
pub struct LoopModel {
    /// Its name.
    pub name: At<String>,
    /// The resistor at the end, ohms.
    pub end: Option<At<f64>>,
    /// The resistor at each alarm contact, ohms.
    pub contact: Option<At<f64>>,
    /// The series that the resistors are taken from.
    pub resistors: Option<At<String>>,
    /// The same, where a scope was there to look it up in.
    pub series: Option<Arc<Item>>,
    /// How far the resistors may be off, a share, as far as the loop says so itself.
    pub own_tolerance: Option<f64>,
    /// What the input makes of each resistance.
    pub reads: Vec<Reads>,
    /// All that is written of it could be read, so that it can be judged.
    pub complete: bool,
    /// There are windows, all of which could be read, and none means that all is quiet.
    pub never_quiet: bool,
}

/// Resistors are taken to be within 1 % unless something else is said: the
/// closest of the common series of IEC 60063 (E96).
const TOLERANCE: f64 = 0.01;

impl LoopModel {
    /// The series that the resistors are taken from, if it is known.
    pub fn series(&self) -> Option<&Series> {
        self.series.as_ref()?.model()?.series()
    }

    /// How far the resistors may be off, a share.
    pub fn tolerance(&self) -> f64 {
        let of_series = || self.series().map(Series::tolerance);
        self.own_tolerance.or_else(of_series).unwrap_or(TOLERANCE)
    }
}

/// A window of resistances.
#[derive(Debug, Clone)]
pub struct Reads {
    /// What it means.
    pub means: Meaning,
    /// From, ohms.
    pub from: f64,
    /// To, ohms; infinite for an open end.
    pub to: f64,
    /// Where it is written.
    pub span: Span,
}

impl Reads {
    /// Whether some resistance would mean two things by two windows. They may meet: where
    /// one ends the other begins.
    pub fn contradicts(&self, other: &Reads) -> bool {
        self.means != other.means && self.from.max(other.from) < self.to.min(other.to)
    }
}

/// What an input takes a loop for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// All is quiet.
    Normal,
    /// A detector has seen something.
    Alarm,
    /// A housing was opened.
    Tamper,
    /// The loop is open.
    Open,
    /// The loop is shorted.
    Short,
}

impl Meaning {
    /// All of them.
    pub const ALL: [Meaning; 5] = [
        Meaning::Normal,
        Meaning::Alarm,
        Meaning::Tamper,
        Meaning::Open,
        Meaning::Short,
    ];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Meaning::Normal => "normal",
            Meaning::Alarm => "alarm",
            Meaning::Tamper => "tamper",
            Meaning::Open => "open",
            Meaning::Short => "short",
        }
    }
}

pub(super) fn inputs(words: Words) -> Vec<InputsModel> {
    let is_only = words.all("inputs").nth(1).is_none();
    let read = |words: Words| InputsModel {
        range: words
            .whole_range()
            .filter(|_| !is_only || alone(words).is_none()),
        alone: alone(words).filter(|_| is_only),
        as_panel: words.has("as"),
        loops: words
            .all("loop")
            .filter_map(loop_model)
            .map(Arc::new)
            .collect(),
        loops_unread: words.all("loop").any(|words| loop_model(words).is_none())
            || words.has_unread(Context::Inputs),
    };
    words.all("inputs").map(read).collect()
}

fn loop_model(words: Words) -> Option<LoopModel> {
    let ohms = |keyword| amount(words, keyword, Dimension::Resistance);
    let reads = |words: Words| {
        // What is too much may be part of the window.
        if words.statement.arguments.len() > 2 {
            return None;
        }
        let window = words.range(Dimension::Resistance)?;
        Some(Reads {
            means: meaning(words.name()?.value)?,
            // An open end.
            from: window.value.0.max(0.0),
            to: window.value.1,
            span: window.span,
        })
    };
    let (end, contact) = (ohms("end"), ohms("contact"));
    let tolerance = amount(words, "tolerance", Dimension::Share);
    let windows: Vec<Reads> = words.all("reads").filter_map(reads).collect();
    let all_read = words.all("reads").count() == windows.len();
    let quiet = windows.iter().any(|window| window.means == Meaning::Normal);
    let has_more = words.has_unknown_word(Context::Loop);
    Some(LoopModel {
        name: owned(words.name()?),
        complete: !has_more
            && words.has("end") == end.is_some()
            && words.has("contact") == contact.is_some()
            && words.has("tolerance") == tolerance.is_some()
            && all_read,
        never_quiet: !quiet && !windows.is_empty() && all_read && !words.has_unread(Context::Loop),
        end,
        contact,
        own_tolerance: tolerance.map(|at| at.value),
        resistors: words
            .get("resistors")
            .and_then(|words| words.name())
            .map(owned),
        series: None,
        reads: windows,
    })
}

fn meaning(name: &str) -> Option<Meaning> {
    let mut all = Meaning::ALL.into_iter();
    all.find(|meaning| meaning.name() == name)
}
