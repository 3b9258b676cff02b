//! Reading values out of statements.
//!
//! Nothing here reports: what does not fit is left out, and the check of the
//! shape says why.

use std::borrow::Cow;
use std::sync::Arc;

use bellwire_circuit::Draw;

use super::part_of::{PartOf, Parting};
use crate::day::Date;
use crate::source::{Form, Item, Quantity, Span, Statement, Value, ValueKind, unescaped};
use crate::vocabulary::{Context, Dimension, Unit, unit, word};

/// Something with its place in the item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At<T> {
    /// The thing.
    pub value: T,
    /// Where it is written.
    pub span: Span,
}

impl<T> At<T> {
    /// What `change` makes of the thing, in the same place.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> At<U> {
        At {
            value: change(self.value),
            span: self.span,
        }
    }
}

impl At<f64> {
    /// The number as a whole one, if it is one.
    pub fn whole(self) -> Option<At<u32>> {
        let value = whole(self.value)?;
        Some(self.map(|_| value))
    }
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
    /// The clauses behind it that are its own, where it is itself one that belongs to
    /// the statement around: see [`Words::lines`].
    behind: &'a [Arc<Statement>],
    /// Whether any clause in the item is loose, so that each must be asked.
    has_loose: bool,
}

impl<'a> Words<'a> {
    /// The root statement of an item.
    pub fn root(item: &'a Arc<Item>) -> Words<'a> {
        Words::new(item, item.root())
    }

    /// A statement of an item.
    pub fn new(item: &'a Arc<Item>, statement: &'a Statement) -> Words<'a> {
        Words::told(item, statement, item.declared().has_loose)
    }

    /// A statement of an item of which it is not asked what it declares.
    pub(super) fn told(
        item: &'a Arc<Item>,
        statement: &'a Statement,
        has_loose: bool,
    ) -> Words<'a> {
        Words {
            item,
            statement,
            behind: &[],
            has_loose,
        }
    }

    /// The keyword; empty if there is none.
    pub fn keyword(&self) -> &'a str {
        self.item.keyword(self.statement)
    }

    /// Whether its keyword is that one.
    fn is(&self, keyword: &str) -> bool {
        // They are asked for each line, over and over: most differ in length.
        let same = |span: Span| span.len() == keyword.len() && self.text(span) == keyword;
        self.statement.keyword.is_some_and(same)
    }

    /// The clauses and block lines.
    pub fn body(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let around = *self;
        let own = self.statement.body.iter().chain(self.behind);
        own.map(move |statement| Words {
            statement,
            behind: &[],
            ..around
        })
    }

    /// The clauses and lines that start with `keyword`: see [`Words::lines`].
    pub fn all(&self, keyword: &'static str) -> impl Iterator<Item = Words<'a>> + use<'a> {
        self.lines().filter(move |words| words.is(keyword))
    }

    /// The clauses and lines, as they are meant. A clause behind a line that it is no
    /// part of counts as a line of its own, with the clauses behind it that are its
    /// own: `{ standby 45 mA, alarm 110 mA }`. The check of the shape tells of it, and
    /// nobody else has to.
    pub fn lines(&self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let around = *self;
        let (written, meant) = match self.has_loose {
            false => (self.statement.body.as_slice(), Vec::new()),
            true => (&[][..], self.meant()),
        };
        let written = written.iter().map(move |statement| Words {
            statement,
            ..around
        });
        written.chain(meant)
    }

    /// Those lines where some clause in the item is loose, which is rare.
    #[cold]
    fn meant(&self) -> Vec<Words<'a>> {
        let mut parting = Parting::new(self.item, self.statement);
        let own = self.body();
        let own = own.filter(|words| parting.part_of(words.statement) == PartOf::Line);
        let mut lines: Vec<_> = own.collect();
        lines.extend(self.body().flat_map(Words::loose));
        lines
    }

    /// What each clause or line of the body is part of; nothing where all are part of the line.
    pub fn parts(&self) -> Vec<PartOf> {
        if !self.has_loose {
            return Vec::new();
        }
        let mut parting = Parting::new(self.item, self.statement);
        let part_of = |clause: &Arc<Statement>| match (parting.part_of(clause), clause.form) {
            (part, Form::Clause) => part,
            _ => PartOf::Line,
        };
        self.statement.body.iter().map(part_of).collect()
    }

    /// Those of its clauses that are no part of it, each with those behind it that are
    /// part of that one.
    fn loose(self) -> impl Iterator<Item = Words<'a>> + use<'a> {
        let clauses = self.statement.body.as_slice();
        let mut parting = Parting::new(self.item, self.statement);
        clauses.iter().enumerate().filter_map(move |(at, clause)| {
            let rest = clauses.get(at + 1..).unwrap_or(&[]);
            (parting.part_of(clause) == PartOf::Nothing).then(|| {
                let mut parting = parting;
                let own = rest
                    .iter()
                    .take_while(|next| parting.part_of(next) == PartOf::Loose);
                Words {
                    statement: clause,
                    behind: rest.get(..own.count()).unwrap_or(&[]),
                    ..self
                }
            })
        })
    }

    /// The first clause or line that starts with `keyword`.
    pub fn get(&self, keyword: &'static str) -> Option<Words<'a>> {
        self.all(keyword).next()
    }

    /// What the first clause or line that starts with `keyword` says, as far as it can be read;
    /// what is `usual` where there is none.
    pub fn said_or<T>(
        &self,
        keyword: &'static str,
        usual: T,
        read: impl FnOnce(Words<'a>) -> Option<T>,
    ) -> Option<T> {
        match self.get(keyword) {
            Some(words) => read(words),
            None => Some(usual),
        }
    }

    /// Whether there is a clause or line that starts with `keyword`.
    pub fn has(&self, keyword: &'static str) -> bool {
        self.get(keyword).is_some()
    }

    /// Whether something is said that cannot be read: behind a word that means nothing in the
    /// context of the statement's clauses, behind a comma that is missing, or a mark that fits
    /// nowhere. It may be what would else be missing.
    pub fn has_unread(&self, context: Context) -> bool {
        let is_word = |text| word(text, context).is_some();
        // `address 1 partition 2`: the word reads as a unit, or as a name.
        let runs_on = |value: &Value| match &value.kind {
            ValueKind::Quantity(Quantity { unit, .. }) => {
                unit.is_some_and(|unit| is_word(self.text(unit)))
            }
            ValueKind::Name(_) => is_word(self.text(value.span)),
            ValueKind::Stray => true,
            _ => value.is_unclosed(),
        };
        let any_runs_on = |values: &[Value]| values.iter().any(runs_on);
        let Statement {
            arguments, model, ..
        } = self.statement;
        // What a thing is called may be a word.
        let own = match arguments.as_slice() {
            [name, rest @ ..] if name.is_name() => rest,
            all => all,
        };
        any_runs_on(own)
            || model.iter().any(|(_, values)| any_runs_on(values))
            || self.body().any(|clause| {
                !is_word(clause.keyword()) || any_runs_on(&clause.statement.arguments)
            })
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
            (unit.dimension == dimension).then(|| At {
                value: unit.to_own_unit(quantity.number.value),
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

    /// The first number, if it is a plain one.
    pub fn number(&self) -> Option<At<f64>> {
        self.numbers().next()
    }

    /// The plain numbers, up to one with a unit: what stands behind that is part of something
    /// else, as in `address 1 partition 2`.
    pub fn numbers(&self) -> impl Iterator<Item = At<f64>> + use<'a> {
        let plain = self
            .quantities()
            .take_while(|quantity| quantity.unit.is_none());
        plain.map(|quantity| At {
            value: quantity.number.value,
            span: quantity.number.span,
        })
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
        self.number().map(|number| self.at(number.span))
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
                    let value = unit.to_own_unit(quantity.number.value);
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

    /// A place with its text.
    pub fn at(&self, span: Span) -> At<&'a str> {
        At {
            value: self.text(span),
            span,
        }
    }
}

/// A number as a whole number, if it is one.
fn whole(value: f64) -> Option<u32> {
    (value >= 0.0 && value <= f64::from(u32::MAX) && value.fract() == 0.0).then_some(value as u32)
}
