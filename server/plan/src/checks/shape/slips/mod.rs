//! Slips of the hand that many people make: each is told once, by its name,
//! instead of by all that follows from it.

mod legs;
mod marks;
mod numbers;
mod texts;

use super::Shape;
use crate::finding::{Code, Finding, Mend};
use crate::source::{Span, Statement, Value};

impl Shape<'_> {
    /// The slip in a statement's own line, if there is one.
    pub(super) fn slip(&self, statement: &Statement) -> Option<Finding> {
        let arguments = statement.arguments.as_slice();
        let model = statement.model.as_ref();
        let model = model.map_or(&[][..], |(_, values)| values);
        let values = arguments.iter().chain(model);
        // All but the comma show by a character that fits nowhere.
        if !values.clone().any(Value::is_stray) {
            return self.decimal_comma(statement);
        }
        let values: Vec<&Value> = values.collect();
        let mut pairs = values.iter().zip(values.iter().skip(1));
        let in_pair = |(first, second): (&&Value, &&Value)| {
            self.two_slashes(statement, first, second)
                .or_else(|| self.thousands(first, second))
                .or_else(|| self.leading_point(first, second))
                .or_else(|| self.degrees(first, second))
        };
        self.curly_quotes(statement, &values)
            .or_else(|| self.semicolon(&values))
            .or_else(|| self.single_quotes(statement, &values))
            .or_else(|| pairs.find_map(in_pair))
            .or_else(|| arguments.windows(3).find_map(|of| self.slashed_date(of)))
            .or_else(|| self.decimal_comma(statement))
    }

    /// Whether a value is one of these characters, standing where it fits nowhere.
    pub(super) fn is_stray(&self, value: &Value, marks: &[char]) -> bool {
        value.is_stray() && self.item.text(value.span).starts_with(marks)
    }
}

/// Whether nothing stands between two values.
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
