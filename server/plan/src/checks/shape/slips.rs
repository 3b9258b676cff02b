//! Slips of the hand that many people make: each is told once, by its name,
//! instead of by all that follows from it.

use super::Shape;
use crate::finding::{Code, Finding};
use crate::source::{Form, Span, Statement, Value, ValueKind};

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

impl Shape<'_> {
    /// The slip in a statement's own line, if there is one.
    pub(super) fn slip(&self, statement: &Statement) -> Option<Finding> {
        let values = &statement.arguments;
        let syntax = |span, message: &str| Some(Finding::new(Code::Syntax, span, message));
        if let Some(quote) = values.iter().find(|value| self.is_stray(value, CURLY)) {
            return syntax(quote.span, "a text stands in straight quotes, `\"…\"`");
        }
        for (first, second) in values.iter().zip(values.iter().skip(1)) {
            let adjoin = first.span.end == second.span.start;
            if adjoin && self.is_stray(first, &['/']) && self.is_stray(second, &['/']) {
                let span = Span {
                    end: statement.head.end,
                    ..first.span
                };
                return syntax(span, "a comment starts with `#`");
            }
        }
        for three in values.windows(3) {
            if let [
                Value {
                    span: start,
                    kind: ValueKind::Quantity(_),
                },
                slash,
                Value {
                    span: end,
                    kind: ValueKind::Quantity(_),
                },
            ] = three
                && self.is_stray(slash, &['/'])
            {
                return syntax(
                    start.to(*end),
                    "a date is written with hyphens, the year first: `2026-01-31` or `2026-01`",
                );
            }
        }
        let decimal = statement.body.iter().find(|line| self.is_decimal(line))?;
        let number = decimal.arguments.first()?;
        let text = self.item.text(number.span);
        syntax(
            decimal.span,
            &format!("decimals stand behind a point, not a comma: `.{text}`"),
        )
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

    /// Whether a value is one of these characters, standing where it fits nowhere.
    pub(super) fn is_stray(&self, value: &Value, marks: &[char]) -> bool {
        value.kind == ValueKind::Stray && self.item.text(value.span).starts_with(marks)
    }
}
