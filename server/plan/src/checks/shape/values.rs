//! Whether a value fits where it stands: its kind, its unit, its size.

use std::f64::consts::PI;

use super::Shape;
use super::say::{names_of, wanted};
use crate::day::Date;
use crate::decimal::short;
use crate::finding::{Code, Finding, Mend, did_you_mean, nearest};
use crate::sentence::capital;
use crate::source::{Quantity, Span, Value, ValueKind};
use crate::vocabulary::{Dimension, KINDS, Presence, Slot, Unit, What, Word, can_be, kind, unit};

/// Whether a text has nothing between its quotes.
fn says_nothing(text: &str) -> bool {
    text.trim_matches('"').trim().is_empty()
}

impl Shape<'_> {
    /// A number that fits into a slot, and is not what can stand there; of a range the upper end.
    pub(super) fn out_of_bounds(&self, slot: &Slot, value: &Value) -> Option<Finding> {
        let quantity = match &value.kind {
            ValueKind::Quantity(quantity) => quantity,
            ValueKind::Range(_, Some(upper)) => upper,
            _ => return None,
        };
        let (number, text) = (quantity.number.value, self.item.text(quantity.span()));
        let (of, number) = match quantity.unit {
            Some(written) => {
                let unit = unit(self.item.text(written))?;
                (Some(unit.dimension), unit.to_own_unit(number))
            }
            None => (None, number),
        };
        let mut bounds = slot.bounds.iter();
        let told = bounds.find_map(|bounds| bounds.told(of, number, text))?;
        Some(Finding::new(Code::WrongKind, value.span, told))
    }

    /// Why a value does not fit into a slot, if so.
    pub(super) fn misfit(&self, slot: &Slot, value: &Value, word: &Word) -> Option<Finding> {
        let what = slot.what;
        let text = self.item.text(value.span);
        let wrong = |code, message: String| Some(Finding::new(code, value.span, message));
        let needs = || {
            let wanted = wanted(what);
            let message = format!("{wanted} belongs here, not `{text}`: {}", self.usage(word));
            wrong(Code::WrongKind, message)
        };
        if !what.takes(&value.kind) {
            return needs();
        }
        match (what, &value.kind) {
            (What::Label, _) if slot.presence == Presence::Required && says_nothing(text) => {
                let message = format!("there is nothing between the quotes: {}", self.usage(word));
                wrong(Code::Missing, message)
            }
            (What::HowMany, ValueKind::Quantity(Quantity { number, unit: None }))
                if number.value == 0.0 =>
            {
                wrong(
                    Code::WrongKind,
                    format!("0 is none at all: {}", self.usage(word)),
                )
            }
            (What::Factor | What::Version, ValueKind::Quantity(quantity)) => match quantity.unit {
                Some(unit) => {
                    let text = self.item.text(unit);
                    let finding = format!("a plain number belongs here: take `{text}` out");
                    Some(Finding::new(Code::WrongUnit, unit, finding))
                }
                None if what == What::Factor => {
                    beyond("a number", value.span, quantity.number.value)
                }
                None => None,
            },
            (What::Amount(dimensions), ValueKind::Quantity(quantity)) => {
                self.amount(quantity, dimensions, Some(word))
            }
            (_, ValueKind::Quantity(quantity)) => self.whole_number(quantity, word),
            (What::Range(dimension), ValueKind::Range(from, to)) => {
                self.span_of(value.span, from, to, dimension, word)
            }
            (_, ValueKind::Range(from, to)) => self.counts(value.span, from, to, word),
            (What::Date, _) if Date::parse(text).is_none() => wrong(
                Code::WrongKind,
                format!("there is no day `{text}`: write year, month and day, as in `2025-03-14`"),
            ),
            (What::Place, _) if text != "off" => needs(),
            (What::Choice(choices), _) => {
                let words = choices.iter().map(|(choice, _)| *choice);
                if words.clone().any(|choice| choice == text) {
                    return None;
                }
                let hint = did_you_mean(text, words);
                let all = wanted(what);
                wrong(
                    Code::UnknownWord,
                    format!("`{text}` means nothing here: write {all}.{hint}"),
                )
            }
            (What::Kind(_), _) if kind(text).is_none() => {
                let hint = did_you_mean(text, KINDS.iter().map(|kind| kind.name));
                wrong(
                    Code::UnknownWord,
                    format!("there is no kind of thing called `{text}`.{hint}"),
                )
            }
            _ => None,
        }
    }

    fn whole_number(&self, quantity: &Quantity, word: &Word) -> Option<Finding> {
        if let Some(unit) = quantity.unit {
            let text = self.item.text(unit);
            if let Some(slip) = self.hexadecimal(quantity, text) {
                return Some(slip);
            }
            let apart = quantity.number.span.end < unit.start;
            if apart
                && crate::vocabulary::unit(text).is_none()
                && let Some(slip) = self.label_without_quotes(word, unit)
            {
                return Some(slip);
            }
            let message = format!("a plain number belongs here: take `{text}` out");
            return Some(Finding::new(Code::WrongUnit, unit, message));
        }
        let number = quantity.number;
        let text = self.item.text(number.span);
        let plain = text.chars().all(|c| c.is_ascii_digit()) && text.len() < 10;
        (!plain).then(|| {
            Finding::new(
                Code::WrongKind,
                number.span,
                format!(
                    "a whole number belongs here, not `{text}`: {}",
                    self.usage(word)
                ),
            )
        })
    }

    pub(super) fn counts(
        &self,
        span: Span,
        from: &Option<Box<Quantity>>,
        to: &Option<Box<Quantity>>,
        word: &Word,
    ) -> Option<Finding> {
        let (Some(from), Some(to)) = (from, to) else {
            let message = format!("both ends of the range are needed: {}", self.usage(word));
            return Some(Finding::new(Code::Missing, span, message));
        };
        self.whole_number(from, word)
            .or_else(|| self.whole_number(to, word))
            .or_else(|| {
                let values = (from.number.value, to.number.value);
                self.backwards(span, [from, to], values)
            })
    }

    fn span_of(
        &self,
        span: Span,
        from: &Option<Box<Quantity>>,
        to: &Option<Box<Quantity>>,
        dimension: Dimension,
        word: &Word,
    ) -> Option<Finding> {
        if from.is_none() && to.is_none() {
            let message = format!("the range has no ends: {}", self.usage(word));
            return Some(Finding::new(Code::Missing, span, message));
        }
        // `5 .. 35 °C`: the unit of one end serves both.
        let ends = [from, to].map(|end| end.as_deref().copied());
        let [lower, upper] = ends.map(|end| end.and_then(|end| end.unit));
        let shared = upper.or(lower);
        let ends = ends.map(|end| {
            end.map(|end| Quantity {
                unit: end.unit.or(shared),
                ..end
            })
        });
        let ends_read = ends.iter().flatten();
        let mut wrong = ends_read.filter_map(|end| self.amount(end, &[dimension], Some(word)));
        if let Some(mut first) = wrong.next() {
            // The same slip at the other end is mended with it.
            let other = wrong.next().filter(|other| other.message == first.message);
            let more = other.and_then(|other| other.mend);
            if let (Some(mend), Some(more)) = (&mut first.mend, more) {
                mend.edits.extend(more.edits);
                mend.edits.dedup();
            }
            return Some(first);
        }
        let si = |end: Option<Quantity>| {
            let end = end?;
            Some(unit(self.item.text(end.unit?))?.to_own_unit(end.number.value))
        };
        match (from, to, si(ends[0]), si(ends[1])) {
            (Some(from), Some(to), Some(least), Some(most)) => {
                self.backwards(span, [from, to], (least, most))
            }
            _ => None,
        }
    }

    /// A range whose lower end comes second.
    fn backwards(&self, span: Span, ends: [&Quantity; 2], values: (f64, f64)) -> Option<Finding> {
        // A unit that serves both ends stays where it is.
        let shared = ends.iter().any(|end| end.unit.is_none());
        let [first, second] = ends.map(|end| match shared {
            true => end.number.span,
            false => end.span(),
        });
        (values.0 > values.1).then(|| {
            let mend = Mend::swap("Swap the ends", self.item, first, second);
            let message = "the range is back to front: write the lower end first";
            Finding::new(Code::WrongKind, span, message).mended_by(Some(mend))
        })
    }

    /// What is wrong with an amount, behind a word or in a leg.
    pub(super) fn amount(
        &self,
        quantity: &Quantity,
        dimensions: &[Dimension],
        word: Option<&Word>,
    ) -> Option<Finding> {
        let Some(unit_span) = quantity.unit else {
            return self.no_unit(quantity, dimensions, word);
        };
        let text = self.item.text(unit_span);
        let Some(unit) = unit(text) else {
            return Some(self.unknown_unit(quantity, unit_span, dimensions));
        };
        if !dimensions.contains(&unit.dimension) {
            let number = self.item.text(quantity.number.span);
            // A conductor's size in millimetres is its section, or its diameter.
            let section = unit.name() == "mm" && dimensions.contains(&Dimension::Area);
            let meant = match section {
                true => {
                    let round = quantity.number.value.powi(2) * PI / 4.0;
                    let round = short(round, 3);
                    format!("write `{number} mm2`, or `{round} mm2` if {number} mm is its diameter")
                }
                false => self.meant_by(quantity, text, dimensions, word),
            };
            return Some(Finding::new(
                Code::WrongUnit,
                quantity.span(),
                format!(
                    "`{number} {text}` is {}, but {} belongs here: {meant}",
                    unit.dimension.name(),
                    names_of(dimensions)
                ),
            ));
        }
        let (span, named) = (quantity.span(), unit.dimension.name());
        if quantity.number.value < 0.0 && !unit.dimension.is_signed() {
            let message = format!("{named} cannot be below zero");
            return Some(Finding::new(Code::WrongKind, span, message));
        }
        beyond(named, span, unit.to_own_unit(quantity.number.value))
    }

    /// What to write for an amount in the unit of something else.
    fn meant_by(
        &self,
        quantity: &Quantity,
        text: &str,
        dimensions: &[Dimension],
        word: Option<&Word>,
    ) -> String {
        let value = quantity.number.value;
        let number = self.item.text(quantity.number.span);
        if let Some(begun) = word.and_then(|word| word.begun_unit(dimensions, value, text)) {
            return format!("write `{number} {}`, if that is meant", begun.name());
        }
        let measures = self.item.measures();
        let likely = word.and_then(|word| word.likely_unit(dimensions, value, measures));
        let unit = likely.map_or(self.usual(dimensions), Unit::name);
        format!("write it in {unit}, for example")
    }

    fn no_unit(
        &self,
        quantity: &Quantity,
        dimensions: &[Dimension],
        word: Option<&Word>,
    ) -> Option<Finding> {
        let span = quantity.number.span;
        // The unit stands behind the decimals, and the comma is told.
        if self.is_before_decimals(span) {
            return None;
        }
        let meant = quantity.number.value;
        let message = if dimensions == [Dimension::Share] && 0.0 < meant && meant <= 1.0 {
            format!(
                "the unit is missing: `{} %`, if a share is meant",
                meant * 100.0
            )
        } else {
            let number = self.item.text(span);
            let measures = self.item.measures();
            let likely = word.and_then(|word| word.likely_unit(dimensions, meant, measures));
            let unit = likely.map_or(self.usual(dimensions), Unit::name);
            format!("the unit is missing: `{number} {unit}`, for example")
        };
        Some(Finding::new(Code::WrongUnit, span, message))
    }

    fn unknown_unit(&self, quantity: &Quantity, unit: Span, dimensions: &[Dimension]) -> Finding {
        let text = self.item.text(unit);
        let number = self.item.text(quantity.number.span);
        let wrong = |message: String| Finding::new(Code::WrongUnit, unit, message);
        if let Some(meant) = resistor_code(number, text, dimensions) {
            let mend = Mend {
                title: format!("Write `{meant}`"),
                edits: vec![(quantity.span(), meant.clone())],
            };
            return wrong(format!("write `{meant}`")).mended_by(Some(mend));
        }
        let all: Vec<&str> = dimensions
            .iter()
            .flat_map(|dimension| dimension.units())
            .flat_map(|unit| unit.names.iter().copied())
            .collect();
        let near = match text {
            "°" => dimensions
                .contains(&Dimension::Temperature)
                .then(|| self.usual(&[Dimension::Temperature])),
            _ => nearest_unit(text, &all),
        };
        let hint = match near {
            Some(name) => format!("Did you mean `{name}`?"),
            None => format!(
                "{} is written in {}, for example.",
                capital(&names_of(dimensions)),
                self.usual(dimensions)
            ),
        };
        let mend = near.map(|name| Mend {
            title: format!("Change `{text}` to `{name}`"),
            edits: vec![(unit, name.to_string())],
        });
        wrong(format!("there is no unit `{text}`. {hint}")).mended_by(mend)
    }

    /// The unit that amounts are most often written in.
    fn usual(&self, dimensions: &[Dimension]) -> &'static str {
        let first = dimensions.first();
        first.map_or("", |first| self.item.measures().usual(*first).name())
    }
}

/// What is told of a number that nothing can be.
fn beyond(named: &str, span: Span, value: f64) -> Option<Finding> {
    let how = if value.abs() < 1.0 { "small" } else { "large" };
    (!can_be(value)).then(|| {
        let message = format!("{named} cannot be that {how}: check its digits");
        Finding::new(Code::WrongKind, span, message)
    })
}

/// `2k2` on a resistor, as IEC 60062 has it, is 2.2 kohm.
fn resistor_code(number: &str, unit: &str, dimensions: &[Dimension]) -> Option<String> {
    let mut letters = unit.chars();
    let unit = match letters.next()? {
        'R' => "ohm",
        'k' | 'K' => "kohm",
        'M' => "Mohm",
        _ => return None,
    };
    let decimals = letters.as_str();
    let digits = !decimals.is_empty() && decimals.bytes().all(|byte| byte.is_ascii_digit());
    let meant = digits && dimensions.contains(&Dimension::Resistance);
    meant.then(|| format!("{number}.{decimals} {unit}"))
}

/// What people say for a unit, or write by habit.
const SPOKEN: &[(&str, &str)] = &[
    ("feet", "ft"),
    ("foot", "ft"),
    ("yard", "yd"),
    ("yards", "yd"),
    ("meter", "m"),
    ("meters", "m"),
    ("metre", "m"),
    ("metres", "m"),
    ("amp", "A"),
    ("amps", "A"),
    ("volt", "V"),
    ("volts", "V"),
    ("watt", "W"),
    ("watts", "W"),
    ("ohms", "ohm"),
    ("R", "ohm"),
    ("k", "kohm"),
    ("K", "kohm"),
    ("hour", "h"),
    ("hours", "h"),
    ("minute", "min"),
    ("minutes", "min"),
    ("sec", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("C", "°C"),
    ("F", "°F"),
    ("celsius", "°C"),
    ("fahrenheit", "°F"),
    ("ga", "AWG"),
    ("gauge", "AWG"),
    ("percent", "%"),
];

/// The unit that is meant by `text`: what people say for it, then the same
/// letters in another case, then what is written most alike.
fn nearest_unit<'a>(text: &str, all: &[&'a str]) -> Option<&'a str> {
    // One letter may be another unit's in another case.
    let is_said = |said: &str| said == text || said.len() > 1 && said.eq_ignore_ascii_case(text);
    let spoken = SPOKEN.iter().find(|(said, _)| is_said(said));
    let mut names = all.iter().copied();
    spoken
        .and_then(|(_, unit)| names.clone().find(|name| name == unit))
        .or_else(|| names.clone().find(|name| name.eq_ignore_ascii_case(text)))
        .or_else(|| names.find(|name| name.len() > 1 && text.starts_with(*name)))
        .or_else(|| nearest(text, all.iter().copied()))
}
