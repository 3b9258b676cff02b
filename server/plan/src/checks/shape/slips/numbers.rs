//! Numbers, dates and ranges in the ways of other places.

use super::{adjoin, slip};
use crate::checks::shape::Shape;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Form, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Slot, What, Word};

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
    pub(super) fn thousands(&self, mark: Span, behind: Quantity) -> Option<Finding> {
        let before = self.item.source().get(..mark.start as usize)?;
        let digits = before.len() - before.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        if digits == 0 {
            return None;
        }
        let start = before.len() - digits;
        let text = self.item.text(behind.span());
        let meant = format!("{}{text}", before.get(start..)?);
        let message = format!("nothing stands between the digits of a number: write `{meant}`");
        let span = Span::new(start, behind.span().end as usize);
        Some(slip(
            span,
            &message,
            "Write the number without marks",
            (span, meant),
        ))
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
    pub(super) fn slashed_date(&self, three: &[&Value]) -> Option<Finding> {
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

    /// A range with a hyphen, a dash, three points or `to` between its ends.
    pub(in crate::checks::shape) fn hyphen(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        let is_range = |what: &What| matches!(what, What::Range(_) | What::Numbers);
        if !word.slots.iter().any(|slot| is_range(&slot.what)) {
            return None;
        }
        let quantity = |value: &Value| match value.kind {
            ValueKind::Quantity(quantity) => Some(quantity),
            _ => None,
        };
        let is_to = |unit: Span| self.item.text(unit) == "to";
        let pair = |pair: &[Value]| {
            let [first, last] = pair else { return None };
            let (from, to) = (quantity(first)?, self.item.text(last.span));
            quantity(last)?;
            if let Some(unit) = from.unit.filter(|unit| is_to(*unit)) {
                // `1 to 8` reads as 1 of the unit `to`, and 8.
                let from = Span {
                    end: unit.start,
                    ..first.span
                };
                return Some((
                    self.item.text(from).trim_end(),
                    to,
                    first.span.to(last.span),
                ));
            }
            // `9-15 V` reads as 9, and -15 V.
            let to = to
                .strip_prefix(['-', '−'])
                .filter(|_| adjoin(first, last))?;
            Some((self.item.text(first.span), to, first.span.to(last.span)))
        };
        let three = |three: &[Value]| {
            let [first, mark, last] = three else {
                return None;
            };
            quantity(last)?;
            // `0...7` reads as the open range `0..`, a point, and 7.
            if let ValueKind::Range(Some(from), None) = &first.kind
                && self.item.text(mark.span) == "."
            {
                let from = self.item.text(from.span());
                return Some((from, self.item.text(last.span), first.span.to(last.span)));
            }
            quantity(first)?;
            let marks = ["-", "–", "—", "−", "…", "to"];
            let (from, to) = (self.item.text(first.span), self.item.text(last.span));
            let marked = marks.contains(&self.item.text(mark.span));
            marked.then(|| (from, to, first.span.to(last.span)))
        };
        let values = &statement.arguments;
        let found = values.windows(2).find_map(pair);
        let (from, to, span) = found.or_else(|| values.windows(3).find_map(three))?;
        let meant = format!("{from} .. {to}");
        let message = format!("a range has `..` between its ends: write `{meant}`");
        Some(slip(
            span,
            &message,
            "Write the range with `..`",
            (span, meant),
        ))
    }

    /// A comma where the points of a range belong: `ambient 0 °C, 40 °C`.
    pub(in crate::checks::shape) fn comma_for_points(
        &self,
        statement: &Statement,
        word: &Word,
    ) -> Option<Finding> {
        let is_range = |slot: &Slot| matches!(slot.what, What::Range(_) | What::Numbers);
        let ends = (statement.arguments.last()?, statement.body.as_slice());
        let (from, [clause]) = ends else { return None };
        let [to] = clause.arguments.as_slice() else {
            return None;
        };
        let is_number = |value: &Value| matches!(value.kind, ValueKind::Quantity(_));
        if word.opens.is_some()
            || clause.form != Form::Clause
            || clause.keyword.is_some()
            || !(is_number(from) && is_number(to))
            || self.is_decimal(clause)
            || !word.slots.iter().any(is_range)
        {
            return None;
        }
        let comma = Span::new(from.span.end as usize, to.span.start as usize);
        let meant = format!(
            "{} .. {}",
            self.item.text(from.span),
            self.item.text(to.span)
        );
        let message = format!("a range has `..` between its ends: write `{meant}`");
        let edit = (comma, " .. ".to_string());
        Some(slip(
            from.span.to(to.span),
            &message,
            "Write the range with `..`",
            edit,
        ))
    }
}

/// Whether a value is a number without a unit.
fn is_plain(value: &Value) -> bool {
    matches!(value.kind, ValueKind::Quantity(Quantity { unit: None, .. }))
}
