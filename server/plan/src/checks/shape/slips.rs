//! Slips of the hand that many people make: each is told once, by its name,
//! instead of by all that follows from it.

use super::Shape;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Form, Parts, Quantity, Span, Statement, Value, ValueKind};
use crate::vocabulary::{Context, Presence, Word, word};

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

impl Shape<'_> {
    /// The slip in a statement's own line, if there is one.
    pub(super) fn slip(&self, statement: &Statement) -> Option<Finding> {
        let model = statement.model.iter().flat_map(|(_, values)| values);
        let values = statement.arguments.iter().chain(model);
        // All but the comma show by a character that fits nowhere.
        if values.clone().all(|value| value.kind != ValueKind::Stray) {
            return self.decimal_comma(statement);
        }
        let values: Vec<&Value> = values.collect();
        if let Some(quote) = values.iter().find(|value| self.is_stray(value, CURLY)) {
            let line = quote.span.to(statement.head.after());
            let straight = self.item.text(line).replace(CURLY, "\"");
            let message = "a text stands in straight quotes, `\"…\"`";
            let edit = (line, straight);
            return Some(slip(quote.span, message, "Write straight quotes", edit));
        }
        if let Some(mark) = values.iter().find(|value| self.is_stray(value, &[';'])) {
            let message = "clauses are parted by commas: write `,` for `;`";
            let edit = (mark.span, ",".to_string());
            return Some(slip(mark.span, message, "Write a comma", edit));
        }
        let pairs = || values.iter().zip(values.iter().skip(1));
        for (first, second) in pairs().filter(|(first, second)| adjoin(first, second)) {
            if self.is_stray(first, &['/']) && self.is_stray(second, &['/']) {
                let message = "a comment starts with `#`";
                let edit = (first.span.to(second.span), "#".to_string());
                let rest = first.span.to(statement.head.after());
                return Some(slip(rest, message, "Start the comment with `#`", edit));
            }
            if let ValueKind::Quantity(quantity) = second.kind
                && self.is_stray(first, &['.'])
            {
                let span = first.span.to(quantity.span());
                let meant = format!("0.{}", self.item.text(quantity.span()));
                let message = format!("a number starts with a digit: write `{meant}`");
                return Some(slip(span, &message, "Write the zero", (span, meant)));
            }
        }
        values
            .windows(3)
            .find_map(|three| self.slashed_date(three))
            .or_else(|| self.decimal_comma(statement))
    }

    /// A date with slashes. Which number is the year only shows where it comes first.
    fn slashed_date(&self, three: &[&Value]) -> Option<Finding> {
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

    /// A decimal comma, whose second half reads as a clause.
    pub(super) fn decimal_comma(&self, statement: &Statement) -> Option<Finding> {
        let decimal = statement.body.iter().find(|line| self.is_decimal(line))?;
        let fraction = decimal.arguments.first()?;
        let comma = decimal.span.start as usize;
        let before = self.item.source().get(..comma).unwrap_or_default();
        let whole = before.trim_end_matches(|c: char| c.is_ascii_digit());
        let whole = Span::new(whole.len(), comma);
        let message = format!(
            "decimals stand behind a point, not a comma: write `{}.{}`",
            self.item.text(whole),
            self.item.text(fraction.span),
        );
        let comma = Span::new(comma, comma + 1);
        let edit = (comma, ".".to_string());
        let span = whole.to(fraction.span);
        Some(slip(span, &message, "Write a decimal point", edit))
    }

    /// A comma between values of which several stand side by side: what is
    /// behind it reads as a clause.
    pub(super) fn parted(
        &self,
        clause: &Statement,
        before: &Word,
        inner: Context,
    ) -> Option<Finding> {
        let several = before.slots.last()?;
        let value = match clause.keyword {
            Some(keyword) if word(self.item.text(keyword), inner).is_none() => Value {
                span: keyword,
                kind: ValueKind::Name(Parts::from_buf([keyword])),
            },
            Some(_) => return None,
            None => clause.arguments.first()?.clone(),
        };
        let alone = clause.arguments.len() == usize::from(clause.keyword.is_none());
        if several.presence != Presence::Several
            || !alone
            || self.is_decimal(clause)
            || self.fits(several, &value, before).is_some()
        {
            return None;
        }
        let comma = Span::new(clause.span.start as usize, clause.span.start as usize + 1);
        let message = format!(
            "take this comma out: what belongs to `{}` stands side by side, without commas",
            before.name
        );
        let edit = (comma, String::new());
        Some(slip(clause.span, &message, "Take the comma out", edit))
    }

    /// Whether a clause is what stands behind a decimal comma.
    pub(super) fn is_decimal(&self, clause: &Statement) -> bool {
        let Some(Value {
            span,
            kind: ValueKind::Quantity(_),
        }) = clause.arguments.first()
        else {
            return false;
        };
        let comma = clause.span.start;
        let before = Span {
            start: comma.saturating_sub(1),
            end: comma,
        };
        clause.form == Form::Clause
            && clause.keyword.is_none()
            && span.start == comma + 1
            && self
                .item
                .text(before)
                .ends_with(|c: char| c.is_ascii_digit())
    }

    /// Whether a number stands before a decimal comma.
    pub(super) fn is_before_decimals(&self, number: Span) -> bool {
        let behind = self.item.source().get(number.end as usize..);
        let behind = behind.and_then(|text| text.strip_prefix(','));
        behind.is_some_and(|text| text.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// Whether a value is one of these characters, standing where it fits nowhere.
    pub(super) fn is_stray(&self, value: &Value, marks: &[char]) -> bool {
        value.kind == ValueKind::Stray && self.item.text(value.span).starts_with(marks)
    }
}

/// Whether a value is a number without a unit.
fn is_plain(value: &Value) -> bool {
    matches!(value.kind, ValueKind::Quantity(Quantity { unit: None, .. }))
}

fn adjoin(first: &Value, second: &Value) -> bool {
    first.span.end == second.span.start
}

/// A finding with the change that writes it as it is meant.
fn slip(span: Span, message: &str, title: &str, edit: (Span, String)) -> Finding {
    let mend = Mend {
        title: title.to_string(),
        edits: vec![edit],
    };
    Finding::new(Code::Syntax, span, message).mended_by(Some(mend))
}
