//! Numbers, dates and ranges in the ways of other places.

use super::{adjoin, slip};
use crate::checks::shape::Shape;
use crate::finding::{Code, Finding, Mend};
use crate::library::LIBRARY;
use crate::source::{Form, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Names, Space, What, Word};

impl Shape<'_> {
    /// A decimal comma, whose second half reads as a clause.
    pub(in crate::checks::shape) fn decimal_comma(&self, statement: &Statement) -> Option<Finding> {
        let decimal = statement.body.iter().find(|line| self.is_decimal(line))?;
        let fraction = decimal.arguments.first()?;
        let comma = decimal.span.start as usize;
        let before = self.item.source().get(..comma).unwrap_or_default();
        let whole = before.trim_end_matches(|c: char| c.is_ascii_digit());
        let whole = Span::new(whole.len(), comma);
        let (digits, decimals) = (self.item.text(whole), self.item.text(fraction.span));
        let name = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
        let start = before.trim_end_matches(name).len();
        if start < whole.start as usize && before.get(start..)?.starts_with(char::is_alphabetic) {
            // The number is part of a name: `sealed-12V-1,2Ah`.
            let place = Span::new(start, fraction.span.end as usize);
            let meant = self.item.text(place).replace(',', "-");
            let message = format!("no comma stands in a name: write `{meant}`");
            return Some(slip(
                place,
                &message,
                &format!("Write `{meant}`"),
                (place, meant),
            ));
        }
        let three = decimals.bytes().take_while(u8::is_ascii_digit).count() == 3;
        if three && !digits.starts_with('0') {
            // A thousand for some, and one for others.
            let message = format!(
                "no comma stands in a number: write `{digits}{decimals}`, or `{digits}.{decimals}` if these are decimals"
            );
            let span = whole.to(fraction.span);
            return Some(Finding::new(Code::Syntax, span, message));
        }
        let message =
            format!("decimals stand behind a point, not a comma: write `{digits}.{decimals}`");
        let comma = Span::new(comma, comma + 1);
        let edit = (comma, ".".to_string());
        let span = whole.to(fraction.span);
        Some(slip(span, &message, "Write a decimal point", edit))
    }

    /// Whether a clause is what stands behind a decimal comma.
    pub(in crate::checks::shape) fn is_decimal(&self, clause: &Statement) -> bool {
        // Asked of every line, so what lies in the line itself comes first.
        if clause.form != Form::Clause || clause.keyword.is_some() {
            return false;
        }
        let Some(Value {
            span,
            kind: ValueKind::Quantity(_) | ValueKind::Range(Some(_), _),
        }) = clause.arguments.first()
        else {
            return false;
        };
        let comma = clause.span.start;
        let before = Span {
            start: comma.saturating_sub(1),
            end: comma,
        };
        span.start == comma + 1
            && self
                .item
                .text(before)
                .ends_with(|c: char| c.is_ascii_digit())
    }

    /// Whether a number stands before a decimal comma.
    pub(in crate::checks::shape) fn is_before_decimals(&self, number: Span) -> bool {
        let behind = self.item.source().get(number.end as usize..);
        let behind = behind.and_then(|text| text.strip_prefix(','));
        behind.is_some_and(|text| text.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// A number whose thousands are marked: `4'700 ohm`.
    pub(super) fn thousands(&self, mark: &Value, behind: &Value) -> Option<Finding> {
        let quantity = behind.quantity()?;
        if !self.is_stray(mark, &['\'', '’']) || !adjoin(mark, behind) {
            return None;
        }
        let before = self.item.source().get(..mark.span.start as usize)?;
        let digits = before.len() - before.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        if digits == 0 {
            return None;
        }
        let start = before.len() - digits;
        let text = self.item.text(quantity.span());
        let meant = format!("{}{text}", before.get(start..)?);
        let message = format!("nothing stands between the digits of a number: write `{meant}`");
        let span = Span::new(start, quantity.span().end as usize);
        let edit = (span, meant);
        Some(slip(span, &message, "Write the number without marks", edit))
    }

    /// A number that starts with its point: `.5 A`.
    pub(super) fn leading_point(&self, point: &Value, behind: &Value) -> Option<Finding> {
        let quantity = behind.quantity()?;
        if !self.is_stray(point, &['.']) || !adjoin(point, behind) {
            return None;
        }
        let span = point.span.to(quantity.span());
        let meant = format!("0.{}", self.item.text(quantity.span()));
        let message = format!("a number starts with a digit: write `{meant}`");
        Some(slip(span, &message, "Write the zero", (span, meant)))
    }

    /// The sign of degrees behind its letter: `35 C°`.
    pub(super) fn degrees(&self, before: &Value, sign: &Value) -> Option<Finding> {
        if !self.is_stray(sign, &['°']) || !adjoin(before, sign) {
            return None;
        }
        let last = match &before.kind {
            ValueKind::Quantity(quantity) => *quantity,
            ValueKind::Range(_, Some(end)) => **end,
            _ => return None,
        };
        let unit = last.unit?;
        let meant = match self.item.text(unit) {
            "C" | "c" => "°C",
            "F" | "f" => "°F",
            _ => return None,
        };
        let message = format!("the sign of degrees stands before the letter: write `{meant}`");
        let place = unit.to(sign.span);
        let edit = (place, meant.to_string());
        Some(slip(place, &message, &format!("Write `{meant}`"), edit))
    }

    /// A number to the base of sixteen where people count by ten.
    pub(in crate::checks::shape) fn hexadecimal(
        &self,
        quantity: &Quantity,
        unit: &str,
    ) -> Option<Finding> {
        let digits = unit.strip_prefix(['x', 'X'])?;
        let adjoining = quantity.unit?.start == quantity.number.span.end;
        if self.item.text(quantity.number.span) != "0" || !adjoining {
            return None;
        }
        let meant = u32::from_str_radix(digits, 16).ok()?.to_string();
        let span = quantity.span();
        let message = format!("numbers are written in decimals: write `{meant}`");
        Some(slip(span, &message, "Write it in decimals", (span, meant)))
    }

    /// A date with slashes. Which number is the year only shows where it comes first.
    pub(super) fn slashed_date(&self, three: &[Value]) -> Option<Finding> {
        let [first, slash, last] = three else {
            return None;
        };
        if !self.is_stray(slash, &['/']) || !is_plain(first) || !is_plain(last) {
            return None;
        }
        let message = "a date is written with hyphens, the year first: `2026-01-31` or `2026-01`";
        let finding = Finding::new(Code::Syntax, first.span.to(last.span), message);
        let written = self.item.source().get(first.span.start as usize..)?;
        let is_part = |c: char| c.is_ascii_digit() || c == '/';
        let written = written.split(|c| !is_part(c)).next()?;
        let lengths: Vec<usize> = written.split('/').map(str::len).collect();
        let mend = matches!(lengths.as_slice(), [4, 2] | [4, 2, 2]).then(|| {
            let start = first.span.start as usize;
            let span = Span::new(start, start + written.len());
            Mend {
                title: "Write the date with hyphens".to_string(),
                edits: vec![(span, written.replace('/', "-"))],
            }
        });
        Some(finding.mended_by(mend))
    }

    /// A cable by its cores and their size, `22/4` or `4x0.22`, as people say it in shops. The
    /// library has most with stranded conductors, the usual ones.
    pub(in crate::checks::shape) fn cable_by_its_size(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        let (_, model) = statement.model.as_ref()?;
        let (first, last) = (model.first()?, model.last()?);
        if word.model != Some(Names::Model("cable")) || first.quantity().is_none() {
            return None;
        }
        let span = first.span.to(last.span);
        let said = self.item.text(span);
        let name = name_by_size(said)?;
        let mut library = LIBRARY.iter();
        library.find_map(|file| file.declared(Space::Model, &name))?;
        let message = format!("a cable is called by its model: {said} is `{name}`");
        let title = format!("Write `{name}`");
        Some(slip(span, &message, &title, (span, name)))
    }

    /// A range with a hyphen, a dash, three points or `to` between its ends.
    pub(in crate::checks::shape) fn range_with_another_mark(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        if !takes_range(word) {
            return None;
        }
        let range = |values: &[Value]| {
            let (from, to) = match values {
                [first, last] => self.range_of_two(first, last),
                [first, mark, last] => self.range_of_three(first, mark, last),
                _ => None,
            }?;
            let span = values.first()?.span.to(values.last()?.span);
            Some((span, format!("{from} .. {to}")))
        };
        let values = &statement.arguments;
        let found = values.windows(2).find_map(range);
        let (span, meant) = found.or_else(|| values.windows(3).find_map(range))?;
        Some(range_slip(span, &meant, (span, meant.clone())))
    }

    /// The ends of a range that reads as two values.
    fn range_of_two(&self, first: &Value, last: &Value) -> Option<(&str, &str)> {
        let from = first.quantity()?;
        last.quantity()?;
        let to = self.item.text(last.span);
        // `1 to 8` reads as 1 of the unit `to`, and 8.
        if let Some(unit) = from.unit.filter(|unit| self.item.text(*unit) == "to") {
            let from = Span {
                end: unit.start,
                ..first.span
            };
            return Some((self.item.text(from).trim_end(), to));
        }
        // `9-15 V` reads as 9, and -15 V.
        let to = to
            .strip_prefix(['-', '−'])
            .filter(|_| adjoin(first, last))?;
        Some((self.item.text(first.span), to))
    }

    /// The ends of a range that reads as three.
    fn range_of_three(&self, first: &Value, mark: &Value, last: &Value) -> Option<(&str, &str)> {
        last.quantity()?;
        let text = |value: &Value| self.item.text(value.span);
        // `0...7` reads as the open range `0..`, a point, and 7.
        if let ValueKind::Range(Some(from), None) = &first.kind
            && text(mark) == "."
        {
            return Some((self.item.text(from.span()), text(last)));
        }
        first.quantity()?;
        let marks = ["-", "–", "—", "−", "…", "to"];
        let is_mark = marks.contains(&text(mark));
        is_mark.then(|| (text(first), text(last)))
    }

    /// A comma where the points of a range belong: `ambient 0 °C, 40 °C`.
    pub(super) fn comma_for_points(&self, statement: &Statement, word: &Word) -> Option<Finding> {
        let ends = (statement.arguments.last()?, statement.body.as_slice());
        let (from, [clause]) = ends else { return None };
        let [to] = clause.arguments.as_slice() else {
            return None;
        };
        from.quantity().and(to.quantity())?;
        if word.opens.is_some()
            || clause.form != Form::Clause
            || clause.keyword.is_some()
            || self.is_decimal(clause)
            || !takes_range(word)
        {
            return None;
        }
        let comma = Span::new(from.span.end as usize, to.span.start as usize);
        let meant = format!(
            "{} .. {}",
            self.item.text(from.span),
            self.item.text(to.span)
        );
        let edit = (comma, " .. ".to_string());
        Some(range_slip(from.span.to(to.span), &meant, edit))
    }
}

/// A range without the points between its ends.
fn range_slip(span: Span, meant: &str, edit: (Span, String)) -> Finding {
    let message = format!("a range has `..` between its ends: write `{meant}`");
    slip(span, &message, "Write the range with `..`", edit)
}

/// Whether a range may stand behind a word.
fn takes_range(word: &Word) -> bool {
    let mut slots = word.slots.iter();
    slots.any(|slot| matches!(slot.what, What::Range(_) | What::Numbers))
}

/// Whether a value is a number without a unit.
fn is_plain(value: &Value) -> bool {
    matches!(value.kind, ValueKind::Quantity(Quantity { unit: None, .. }))
}

/// What the library would call a cable that is said by its cores and their size.
fn name_by_size(said: &str) -> Option<String> {
    let said = said.replace(char::is_whitespace, "");
    if let Some((gauge, cores)) = said.split_once('/') {
        return Some(format!("copper-{cores}x{gauge}AWG"));
    }
    let (cores, size) = said.split_once(['x', 'X', '×'])?;
    let size = size.trim_end_matches("mm2").trim_end_matches("mm²");
    Some(format!("copper-{cores}x{}mm2", size.replace('.', "-")))
}
