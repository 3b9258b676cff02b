//! Cables, batteries and series of resistors.

use bellwire_circuit::battery::Rate;
use bellwire_circuit::{Metal, Series, Size};

use super::read::{all_or_none, amount, any_amount, own_amount};
use crate::model::at::At;
use crate::model::words::Words;
use crate::source::Span;
use crate::vocabulary::{Context, Dimension};

/// A cable.
#[derive(Debug)]
pub struct CableModel {
    /// How many cores it has; `None` while that cannot be read.
    pub cores: Option<u32>,
    /// It does not say how many.
    pub cores_unsaid: bool,
    /// The size of a conductor.
    pub conductor: Option<Size>,
    /// What it is made of.
    pub metal: Metal,
    /// How many wires a conductor has.
    pub strands: u32,
    /// One conductor's resistance at the site, ohms per metre, instead of all that.
    pub resistance: Option<f64>,
    /// Where that is written.
    pub resistance_at: Option<Span>,
    /// It says its conductor's size or resistance, and that cannot be read.
    pub ohms_unread: bool,
    /// It says its metal or how many wires a conductor has, and that cannot be read.
    pub make_unread: bool,
    /// Farads per metre.
    pub capacitance: Option<f64>,
    /// It says how many, and that cannot be read.
    pub capacitance_unread: bool,
    /// The colours of the cores.
    pub colours: Vec<String>,
    /// Where they are written.
    pub colours_at: Option<Span>,
}

/// The nominal voltage of a block of six cells: what a battery has unless its
/// model says otherwise.
pub(crate) const BLOCK_VOLTS: f64 = 12.0;

/// A battery.
#[derive(Debug)]
pub struct BatteryModel {
    /// Nominal voltage; `None` if it says so and that cannot be read.
    pub volts: Option<f64>,
    /// What it gives, at each rate.
    pub capacities: Vec<Capacity>,
    /// How long it lasts, years.
    pub life: Option<f64>,
}

/// A line of a battery's data.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacity {
    /// Ampere-hours.
    pub ampere_hours: f64,
    /// Emptied over so many hours.
    pub hours: f64,
    /// Where it is written.
    pub span: Span,
}

impl Capacity {
    /// The line as numbers.
    pub fn rate(&self) -> Rate {
        Rate {
            hours: self.hours,
            ampere_hours: self.ampere_hours,
        }
    }
}

/// The cores that a cable has unless its model says otherwise, as the vocabulary has it.
const USUAL_CORES: u32 = 2;

pub(super) fn cable_model(words: Words) -> CableModel {
    let conductor = words.get("conductor").and_then(any_amount);
    let whole = |keyword| words.whole_of(keyword).map(|at| at.value);
    let conductor = conductor.and_then(|At { value, .. }| match value.dimension {
        Dimension::Gauge => Some(Size::Awg(value.value)),
        Dimension::Area => Some(Size::SquareMillimetres(value.value)),
        _ => None,
    });
    let resistance = amount(words, "resistance", Dimension::ResistancePerLength);
    let capacitance = amount(words, "capacitance", Dimension::CapacitancePerLength);
    let strands = whole("strands").filter(|strands| *strands > 0);
    let metal = words.get("metal").and_then(|words| words.name());
    let metal = match metal.map(|at| at.value) {
        Some("copper") => Some(Metal::Copper),
        Some("tinned") => Some(Metal::TinnedCopper),
        Some("cca") => Some(Metal::CopperCladAluminium),
        _ => None,
    };
    let named = words.get("colours");
    let colours = named.iter().flat_map(|words| words.names());
    let colours: Vec<String> = colours
        .map(|value| words.text(value.span).to_string())
        .collect();
    // A word that means nothing may be meant for what is missing.
    let has_more = words.has_unknown_word(Context::CableModel);
    let sized = conductor.is_some() || resistance.is_some();
    let cores_unsaid = !words.has("cores") && !has_more;
    CableModel {
        cores: match cores_unsaid {
            false => whole("cores").filter(|cores| *cores > 0),
            // One with more colours has more, and should say so.
            true => (colours.len() <= USUAL_CORES as usize).then_some(USUAL_CORES),
        },
        cores_unsaid,
        ohms_unread: has_more && !sized
            || words.has("conductor") && conductor.is_none()
            || words.has("resistance") && resistance.is_none(),
        make_unread: words.has("metal") && metal.is_none()
            || words.has("strands") && strands.is_none(),
        conductor,
        metal: metal.unwrap_or(Metal::Copper),
        strands: strands.unwrap_or(1),
        resistance: resistance.map(|at| at.value),
        resistance_at: resistance.map(|at| at.span),
        capacitance_unread: words.has("capacitance") && capacitance.is_none(),
        capacitance: capacitance.map(|at| at.value),
        // Commas among them are told.
        colours_at: named
            .filter(|words| words.statement.body.is_empty())
            .map(|words| words.statement.span),
        colours,
    }
}

/// The rate that a capacity is meant at unless it says so: the 20-hour rate,
/// after which sealed batteries are named (common practice).
const USUAL_RATE: f64 = 20.0;

pub(super) fn battery_model(words: Words) -> BatteryModel {
    // A word that means nothing may be meant for what is missing.
    let has_more = words.has_unknown_word(Context::BatteryModel);
    BatteryModel {
        volts: words.said_or("voltage", (!has_more).then_some(BLOCK_VOLTS), |words| {
            Some(own_amount(words, Dimension::Voltage)?.value)
        }),
        capacities: all_or_none(words.all("capacity").map(|words| {
            Some(Capacity {
                ampere_hours: own_amount(words, Dimension::Charge)?.value,
                hours: match words.get("over") {
                    Some(over) => own_amount(over, Dimension::Time)?.value / 3600.0,
                    None if words.has_unknown_word(Context::Capacity) => return None,
                    None => USUAL_RATE,
                },
                span: words.statement.span,
            })
        })),
        life: amount(words, "life", Dimension::Time).map(|at| at.value / (365.25 * 86_400.0)),
    }
}

pub(super) fn series(words: Words) -> Option<Series> {
    let tolerance = amount(words, "tolerance", Dimension::Share)?.value;
    let lines = words.all("values");
    let numbers = lines.flat_map(|line| line.numbers());
    Series::new(tolerance, numbers.map(|number| number.value))
}
