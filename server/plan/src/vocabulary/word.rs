//! What a row of the table says of a word.

use super::{Bounds, Context, Dimension, Measures, Names, Unit, What, kind, unit};

/// How often a word may stand in one block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    /// Once, or not at all.
    Once,
    /// Exactly once: without it the statement means nothing.
    Required,
    /// As often as wanted.
    Many,
    /// As often as wanted, but once at least.
    AtLeastOnce,
}

impl Count {
    /// Whether there must be one.
    pub fn must_be(self) -> bool {
        matches!(self, Count::Required | Count::AtLeastOnce)
    }

    /// Whether there may be several.
    pub fn may_repeat(self) -> bool {
        matches!(self, Count::Many | Count::AtLeastOnce)
    }
}

/// Whether an argument must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// It must.
    Required,
    /// It may.
    Optional,
    /// One or more of it.
    Several,
}

/// One argument of a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// What it is called in messages and in the reference: `limit`.
    pub title: &'static str,
    /// What may stand there.
    pub what: What,
    /// Whether something must.
    pub presence: Presence,
    /// What a number there must keep within; each is of other numbers.
    pub bounds: &'static [Bounds],
}

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// The keyword.
    pub name: &'static str,
    /// Where it may stand.
    pub within: &'static [Context],
    /// Its arguments, in order.
    pub slots: &'static [Slot],
    /// Whether further clauses may repeat the arguments: `sounds all, silent`.
    pub list: bool,
    /// What `: MODEL` names, if it may be there.
    pub model: Option<Names>,
    /// Whether `: MODEL` must be there.
    pub needs_model: bool,
    /// How often it may stand.
    pub count: Count,
    /// The word that it stands instead of: only one of the two may be there.
    pub instead_of: Option<&'static str>,
    /// The context of its clauses and its block, if it takes any and it is always the same.
    pub opens: Option<Context>,
    /// Whether the kind that it names says which context that is.
    pub opens_by_kind: bool,
    /// What it means: full sentences.
    pub meaning: &'static str,
    /// It in use.
    pub example: &'static str,
}

impl Word {
    /// The context that it opens, where `kind_word` is the first name behind it.
    pub fn context(&self, kind_word: Option<&str>) -> Option<Context> {
        if self.opens_by_kind {
            return kind(kind_word?).map(|kind| kind.group.context());
        }
        self.opens
    }

    /// Whether it gives the second thing that a device is a place of its own.
    pub fn gives_place(&self) -> bool {
        let mut slots = self.slots.iter();
        slots.any(|slot| slot.what == What::Place)
    }

    /// The unit that a number without one is most likely meant in: that of the example, or the
    /// one that the plan has instead; or, where the number would be out of all proportion to the
    /// example in it, one in which it is not.
    pub fn likely_unit(
        &self,
        dimensions: &[Dimension],
        number: f64,
        measures: Measures,
    ) -> Option<&'static Unit> {
        /// So many times more or less is out of proportion.
        const FAR: f64 = 100.0;
        // A gauge has no decimals.
        let is_gauge = |of: &Dimension| *of == Dimension::Gauge;
        let whole = number.fract() == 0.0;
        let mut dimensions = dimensions.to_vec();
        dimensions.retain(|of| whole || !is_gauge(of));
        let Some((example, shown)) = self.shown(&dimensions) else {
            return Some(measures.usual(*dimensions.first()?));
        };
        let times = |unit: &Unit| {
            let times = (number * unit.factor / (example * shown.factor)).abs();
            times.max(1.0 / times)
        };
        let nearer = |a: &&Unit, b: &&Unit| times(a).total_cmp(&times(b));
        let own = measures.instead_of(shown);
        match number == 0.0 || times(own) < FAR {
            true => Some(own),
            false => shown.dimension.units().min_by(nearer),
        }
    }

    /// The unit of one of the dimensions that a text begins, so that the amount is not out of all
    /// proportion to the example: `5 m` is 5 minutes, or 5 milliamperes.
    pub fn begun_unit(
        &self,
        dimensions: &[Dimension],
        number: f64,
        text: &str,
    ) -> Option<&'static Unit> {
        /// So many times more or less is out of all proportion.
        const FAR: f64 = 500.0;
        let (example, shown) = self.shown(dimensions)?;
        let in_proportion = |unit: &&Unit| {
            let times = (number * unit.factor / (example * shown.factor)).abs();
            (1.0 / FAR..=FAR).contains(&times)
        };
        let mut units = dimensions.iter().flat_map(|of| of.units());
        units.find(|unit| {
            unit.name() != text && unit.name().starts_with(text) && in_proportion(unit)
        })
    }

    /// The amount of one of the dimensions in its example.
    fn shown(&self, dimensions: &[Dimension]) -> Option<(f64, &'static Unit)> {
        let words: Vec<&str> = self.example.split([' ', ',']).collect();
        words.windows(2).find_map(|pair| {
            let &[number, name] = pair else { return None };
            let unit = unit(name).filter(|unit| dimensions.contains(&unit.dimension))?;
            Some((number.parse::<f64>().ok()?, unit))
        })
    }

    /// Its shape as the reference prints it: `address NUMBER`.
    pub fn shape(&self) -> String {
        let mut shape = self.name.to_string();
        for slot in self.slots {
            let title = slot.title.to_uppercase();
            shape += &match (slot.presence, slot.what) {
                (_, What::Choice([(only, _)])) => format!(" {only}"),
                (Presence::Required, _) => format!(" {title}"),
                (Presence::Optional, _) => format!(" [{title}]"),
                (Presence::Several, _) => format!(" {title}…"),
            };
        }
        if self.model.is_some() {
            shape += if self.needs_model {
                " : MODEL"
            } else {
                " [: MODEL]"
            };
        }
        shape
    }
}
