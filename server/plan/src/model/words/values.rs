//! The values of a statement: names, labels, amounts, ranges, days.

use std::borrow::Cow;

use bellwire_circuit::Draw;

use super::Words;
use crate::day::Date;
use crate::model::at::{At, whole};
use crate::source::{Number, Quantity, Value, ValueKind, unescaped};
use crate::vocabulary::{Dimension, Unit, can_be, unit};

/// A number with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// What it measures.
    pub dimension: Dimension,
    /// How much, in the dimension's own unit.
    pub value: f64,
}

impl<'a> Words<'a> {
    /// The arguments that are plain names or references.
    pub fn names(&self) -> impl Iterator<Item = &'a Value> + use<'a> {
        self.statement
            .arguments
            .iter()
            .filter(|value| value.is_name())
    }

    /// The first name, with its text.
    pub fn name(&self) -> Option<At<&'a str>> {
        self.names().next().map(|value| self.at(value.span))
    }

    /// The second name.
    pub fn second_name(&self) -> Option<At<&'a str>> {
        self.names().nth(1).map(|value| self.at(value.span))
    }

    /// The first text in quotes, as it is meant.
    pub fn label(&self) -> Option<At<Cow<'a, str>>> {
        self.statement
            .arguments
            .iter()
            .find_map(|value| match value.kind {
                ValueKind::Text(span) => Some(At {
                    value: unescaped(self.text(span)),
                    span,
                }),
                _ => None,
            })
    }

    /// The name behind the colon.
    pub fn model(&self) -> Option<At<&'a str>> {
        let (_, values) = self.statement.model.as_ref()?;
        let value = values.iter().find(|value| value.is_name())?;
        Some(self.at(value.span))
    }

    /// The first number with a unit of `dimension`, in the dimension's own unit; nothing if it
    /// is below none.
    pub fn amount(&self, dimension: Dimension) -> Option<At<f64>> {
        let amount = self.quantities().find_map(|quantity| {
            let unit = self.unit(&quantity)?;
            let value = unit.read(quantity.number.value)?;
            (unit.dimension == dimension).then(|| At {
                value,
                span: quantity.span(),
            })
        });
        amount.filter(|at| at.value >= 0.0 || dimension.is_signed())
    }

    /// The same of the first clause or line that starts with `keyword`.
    pub fn amount_of(&self, keyword: &'static str, dimension: Dimension) -> Option<At<f64>> {
        self.get(keyword)?.amount(dimension)
    }

    /// The first number with any known unit.
    pub fn any_amount(&self) -> Option<At<Amount>> {
        self.quantities().find_map(|quantity| {
            let unit = self.unit(&quantity)?;
            Some(At {
                value: Amount {
                    dimension: unit.dimension,
                    value: unit.read(quantity.number.value)?,
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

    /// The first number, if it is a plain one.
    pub fn number(&self) -> Option<At<f64>> {
        self.numbers().next()
    }

    /// The plain numbers, up to one with a unit: what stands behind that is part of something
    /// else, as in `address 1 partition 2`.
    pub fn numbers(&self) -> impl Iterator<Item = At<f64>> + use<'a> {
        let numbers = self.plain().map(|number| At {
            value: number.value,
            span: number.span,
        });
        numbers.take_while(|number| can_be(number.value))
    }

    /// The first number, if it is a whole one.
    pub fn whole(&self) -> Option<At<u32>> {
        self.number()?.whole()
    }

    /// The same of the first clause or line that starts with `keyword`.
    pub fn whole_of(&self, keyword: &'static str) -> Option<At<u32>> {
        self.get(keyword)?.whole()
    }

    /// The first number as written, for versions.
    pub fn number_text(&self) -> Option<At<&'a str>> {
        self.plain().next().map(|number| self.at(number.span))
    }

    fn plain(&self) -> impl Iterator<Item = Number> + use<'a> {
        let plain = self
            .quantities()
            .take_while(|quantity| quantity.unit.is_none());
        plain.map(|quantity| quantity.number)
    }

    /// The first range of whole numbers: `1 .. 8`, or `1` for `1 .. 1`; nothing for a number
    /// behind which another stands, which is a range that is written otherwise. One that is
    /// back to front is read as it is meant.
    pub fn whole_range(&self) -> Option<At<(u32, u32)>> {
        // `4400-4499` reads as the month 4400-44, and 99.
        let values = self.statement.arguments.iter();
        let alone = values.filter(|value| !value.is_name()).count() == 1;
        self.statement.arguments.iter().find_map(|value| {
            let (from, to) = match &value.kind {
                ValueKind::Quantity(only) if alone && only.unit.is_none() => {
                    (whole(only.number.value)?, whole(only.number.value)?)
                }
                ValueKind::Range(Some(from), Some(to)) => {
                    (whole(from.number.value)?, whole(to.number.value)?)
                }
                _ => return None,
            };
            Some(At {
                value: (from.min(to), from.max(to)),
                span: value.span,
            })
        })
    }

    /// The first range of `dimension`; an open end is infinite. One that is back to front is
    /// read as it is meant.
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
                    let value = unit.read(quantity.number.value)?;
                    let can_be = value >= 0.0 || dimension.is_signed();
                    (unit.dimension == dimension && can_be).then_some(value)
                }
            };
            let from = end(from, f64::NEG_INFINITY)?;
            let to = end(to, f64::INFINITY)?;
            Some(At {
                value: (from.min(to), from.max(to)),
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

    /// The argument sets of a list word, each with the name that it starts with: its own
    /// arguments, then each clause, whose name reads as its keyword.
    pub fn sets(&self) -> impl Iterator<Item = (At<&'a str>, Words<'a>)> + use<'a> {
        let own = self.name().map(|name| (name, *self));
        let more = self.body().filter_map(|words| {
            let name = words.statement.keyword?;
            Some((words.at(name), words))
        });
        own.into_iter().chain(more)
    }

    /// All numbers. None where something stands among them that fits nowhere: those
    /// beside it are not what was meant, as in `.5 A`.
    fn quantities(&self) -> impl Iterator<Item = Quantity> + use<'a> {
        let values = self.statement.arguments.as_slice();
        let stray = values.iter().any(Value::is_stray);
        let values = if stray { &[] } else { values };
        values.iter().filter_map(Value::quantity)
    }

    fn unit(&self, quantity: &Quantity) -> Option<&'static Unit> {
        unit(self.text(quantity.unit?))
    }
}
