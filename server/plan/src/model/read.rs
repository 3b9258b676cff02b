//! Reading values out of statements.
//!
//! Nothing here reports: what does not fit is left out, and the check of the
//! shape says why.

use std::sync::Arc;

use bellwire_circuit::Draw;

use crate::day::Date;
use crate::source::{Item, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Dimension, Unit, unit};

/// Something with its place in the item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At<T> {
    /// The thing.
    pub value: T,
    /// Where it is written.
    pub span: Span,
}

/// A number with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// What it measures.
    pub dimension: Dimension,
    /// How much, in the dimension's own unit.
    pub value: f64,
}

/// A statement, to be read.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The item that it stands in.
    pub item: &'a Arc<Item>,
    /// The statement.
    pub statement: &'a Statement,
}

impl<'a> Words<'a> {
    /// The root statement of an item.
    pub fn root(item: &'a Arc<Item>) -> Words<'a> {
        Words {
            item,
            statement: item.root(),
        }
    }

    /// The keyword; empty if there is none.
    pub fn keyword(&self) -> &'a str {
        self.item.keyword(self.statement)
    }

    /// The clauses and block lines.
    pub fn body(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let item = self.item;
        self.statement
            .body
            .iter()
            .map(move |statement| Words { item, statement })
    }

    /// The clauses and lines that start with `keyword`.
    pub fn all(&self, keyword: &'static str) -> impl Iterator<Item = Words<'a>> + use<'a> {
        self.body().filter(move |words| words.keyword() == keyword)
    }

    /// The first clause or line that starts with `keyword`.
    pub fn get(&self, keyword: &'static str) -> Option<Words<'a>> {
        self.all(keyword).next()
    }

    /// Whether there is a clause or line that starts with `keyword`.
    pub fn has(&self, keyword: &'static str) -> bool {
        self.get(keyword).is_some()
    }

    /// The text at a place.
    pub fn text(&self, span: Span) -> &'a str {
        self.item.text(span)
    }

    /// The arguments that are plain names or references.
    pub fn names(&self) -> impl Iterator<Item = &'a Value> + use<'a> {
        self.statement
            .arguments
            .iter()
            .filter(|value| matches!(value.kind, ValueKind::Name(_)))
    }

    /// The first name, with its text.
    pub fn name(&self) -> Option<At<&'a str>> {
        self.names().next().map(|value| self.at(value.span))
    }

    /// The second name.
    pub fn second_name(&self) -> Option<At<&'a str>> {
        self.names().nth(1).map(|value| self.at(value.span))
    }

    /// The first text in quotes.
    pub fn label(&self) -> Option<At<&'a str>> {
        self.statement
            .arguments
            .iter()
            .find_map(|value| match value.kind {
                ValueKind::Text(span) => Some(self.at(span)),
                _ => None,
            })
    }

    /// The name behind the colon.
    pub fn model(&self) -> Option<At<&'a str>> {
        let (_, values) = self.statement.model.as_ref()?;
        let value = values
            .iter()
            .find(|value| matches!(value.kind, ValueKind::Name(_)))?;
        Some(self.at(value.span))
    }

    /// The first number with a unit of `dimension`, in the dimension's own unit.
    pub fn amount(&self, dimension: Dimension) -> Option<At<f64>> {
        self.quantities().find_map(|quantity| {
            let unit = self.unit(&quantity)?;
            (unit.dimension == dimension).then(|| At {
                value: unit.to_own_unit(quantity.number.value),
                span: quantity.span(),
            })
        })
    }

    /// The first number with any known unit.
    pub fn any_amount(&self) -> Option<At<Amount>> {
        self.quantities().find_map(|quantity| {
            let unit = self.unit(&quantity)?;
            Some(At {
                value: Amount {
                    dimension: unit.dimension,
                    value: unit.to_own_unit(quantity.number.value),
                },
                span: quantity.span(),
            })
        })
    }

    /// A draw: amperes, watts or ohms.
    pub fn draw(&self) -> Option<At<Draw>> {
        let At { value, span } = self.any_amount()?;
        let draw = match value.dimension {
            Dimension::Current => Draw::Amperes(value.value),
            Dimension::Power => Draw::Watts(value.value),
            Dimension::Resistance if value.value > 0.0 => Draw::Ohms(value.value),
            _ => return None,
        };
        (value.value >= 0.0).then_some(At { value: draw, span })
    }

    /// The first plain number.
    pub fn number(&self) -> Option<At<f64>> {
        self.quantities()
            .find(|quantity| quantity.unit.is_none())
            .map(|quantity| At {
                value: quantity.number.value,
                span: quantity.number.span,
            })
    }

    /// All plain numbers.
    pub fn numbers(&self) -> impl Iterator<Item = f64> + use<'a> {
        let plain = self.quantities().filter(|quantity| quantity.unit.is_none());
        plain.map(|quantity| quantity.number.value)
    }

    /// The first whole number.
    pub fn count(&self) -> Option<At<u32>> {
        let At { value, span } = self.number()?;
        whole(value).map(|value| At { value, span })
    }

    /// The first number as written, for versions.
    pub fn number_text(&self) -> Option<At<&'a str>> {
        self.number().map(|number| self.at(number.span))
    }

    /// The first range of whole numbers: `1 .. 8`, or `1` for `1 .. 1`.
    pub fn count_range(&self) -> Option<At<(u32, u32)>> {
        self.statement.arguments.iter().find_map(|value| {
            let ends = match &value.kind {
                ValueKind::Quantity(only) => (whole(only.number.value)?, whole(only.number.value)?),
                ValueKind::Range(Some(from), Some(to)) => {
                    (whole(from.number.value)?, whole(to.number.value)?)
                }
                _ => return None,
            };
            Some(At {
                value: ends,
                span: value.span,
            })
        })
    }

    /// The first range of `dimension`; an open end is infinite.
    pub fn range(&self, dimension: Dimension) -> Option<At<(f64, f64)>> {
        self.statement.arguments.iter().find_map(|value| {
            let ValueKind::Range(from, to) = &value.kind else {
                return None;
            };
            // `5 .. 35 °C`: the unit of one end serves both.
            let fallback = [to, from]
                .into_iter()
                .flatten()
                .find_map(|end| self.unit(end));
            let end = |quantity: &Option<Box<Quantity>>, open: f64| match quantity {
                None => Some(open),
                Some(quantity) => {
                    let unit = match quantity.unit {
                        Some(_) => self.unit(quantity)?,
                        None => fallback?,
                    };
                    (unit.dimension == dimension).then(|| unit.to_own_unit(quantity.number.value))
                }
            };
            let from = end(from, f64::NEG_INFINITY)?;
            let to = end(to, f64::INFINITY)?;
            Some(At {
                value: (from, to),
                span: value.span,
            })
        })
    }

    /// The first date; `None` if the calendar does not have it.
    pub fn date(&self) -> Option<At<Date>> {
        let mut values = self.statement.arguments.iter();
        let value = values.find(|value| matches!(value.kind, ValueKind::Date))?;
        Some(At {
            value: Date::parse(self.item.text(value.span))?,
            span: value.span,
        })
    }

    /// The argument sets of a list word: its own arguments, then each clause
    /// with its keyword in front.
    pub fn sets(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let own = std::iter::once(*self);
        own.chain(
            self.body()
                .filter(|words| words.statement.keyword.is_some()),
        )
    }

    /// The name that a set of a list word starts with.
    pub fn set_name(&self) -> Option<At<&'a str>> {
        match self.statement.form {
            crate::source::Form::Clause => self.statement.keyword.map(|span| self.at(span)),
            _ => self.name(),
        }
    }

    /// All numbers. None where something stands among them that fits nowhere: those
    /// beside it are not what was meant, as in `.5 A`.
    fn quantities(&self) -> impl Iterator<Item = Quantity> + use<'a> {
        let values = self.statement.arguments.as_slice();
        let stray = values.iter().any(Value::is_stray);
        let values = if stray { &[] } else { values };
        values.iter().filter_map(|value| match value.kind {
            ValueKind::Quantity(quantity) => Some(quantity),
            _ => None,
        })
    }

    fn unit(&self, quantity: &Quantity) -> Option<&'static Unit> {
        unit(self.text(quantity.unit?))
    }

    /// A place with its text.
    pub fn at(&self, span: Span) -> At<&'a str> {
        At {
            value: self.text(span),
            span,
        }
    }
}

/// A number as a whole number, if it is one.
pub fn whole(value: f64) -> Option<u32> {
    (value >= 0.0 && value <= f64::from(u32::MAX) && value.fract() == 0.0).then_some(value as u32)
}
