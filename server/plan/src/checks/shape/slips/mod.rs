//! Slips of the hand that many people make: each is told once, by its name,
//! instead of by all that follows from it.

mod legs;
mod marks;
mod numbers;
mod texts;

use super::Shape;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Span, Statement, Value, ValueKind, line_behind};

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

impl Shape<'_> {
    /// The slip in a statement's own line, if there is one.
    pub(super) fn slip(&self, statement: &Statement) -> Option<Finding> {
        let model = statement.model.iter().flat_map(|(_, values)| values);
        let values = statement.arguments.iter().chain(model);
        // All but the comma show by a character that fits nowhere.
        if !values.clone().any(Value::is_stray) {
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
            if self.ends_line(mark.span) {
                let message = "a line ends without a mark: take this `;` out";
                let edit = (mark.span, String::new());
                return Some(slip(mark.span, message, "Take the `;` out", edit));
            }
            let message = "clauses are parted by commas: write `,` for `;`";
            let edit = (mark.span, ",".to_string());
            return Some(slip(mark.span, message, "Write a comma", edit));
        }
        if let Some(slip) = self.single_quotes(statement, &values) {
            return Some(slip);
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
                && self.is_stray(first, &['\'', '’'])
                && let Some(slip) = self.thousands(first.span, quantity)
            {
                return Some(slip);
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

    /// Whether nothing more is said on the line behind a mark.
    fn ends_line(&self, mark: Span) -> bool {
        let rest = line_behind(self.item.source(), mark.end as usize).trim_start();
        rest.is_empty() || rest.starts_with(['#', '}'])
    }

    /// Whether a value is one of these characters, standing where it fits nowhere.
    pub(super) fn is_stray(&self, value: &Value, marks: &[char]) -> bool {
        value.is_stray() && self.item.text(value.span).starts_with(marks)
    }
}

fn adjoin(first: &Value, second: &Value) -> bool {
    first.span.end == second.span.start
}

/// A finding with the change that writes it as it is meant.
pub(super) fn slip(span: Span, message: &str, title: &str, edit: (Span, String)) -> Finding {
    let mend = Mend {
        title: title.to_string(),
        edits: vec![edit],
    };
    Finding::new(Code::Syntax, span, message).mended_by(Some(mend))
}
