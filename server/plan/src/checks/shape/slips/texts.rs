//! Texts in other quotes, or in none.

use super::slip;
use crate::checks::shape::Shape;
use crate::finding::Finding;
use crate::source::{Span, Statement, Value, line_behind};
use crate::vocabulary::{What, Word};

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

impl Shape<'_> {
    /// A text in curly quotes.
    pub(super) fn curly_quotes(&self, statement: &Statement, values: &[&Value]) -> Option<Finding> {
        let quote = values.iter().find(|value| self.is_stray(value, CURLY))?;
        let line = quote.span.to(statement.head.after());
        let straight = self.item.text(line).replace(CURLY, "\"");
        let message = "a text stands in straight quotes, `\"…\"`";
        let edit = (line, straight);
        Some(slip(quote.span, message, "Write straight quotes", edit))
    }

    /// A text in single quotes.
    pub(super) fn single_quotes(
        &self,
        statement: &Statement,
        values: &[&Value],
    ) -> Option<Finding> {
        let mut marks = values.iter().filter(|value| self.is_stray(value, &['\'']));
        let (first, _) = (marks.next()?, marks.next()?);
        // Behind a digit it parts thousands, or means feet.
        let before = self.item.source().get(..first.span.start as usize)?;
        if before.ends_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let line = first.span.to(statement.head.after());
        let doubled = self.item.text(line).replace('\'', "\"");
        let message = "a text stands in double quotes, `\"…\"`";
        let edit = (line, doubled);
        Some(slip(first.span, message, "Write double quotes", edit))
    }

    /// What people call a thing, written without quotes: from `start` up to the next mark.
    pub(in crate::checks::shape) fn label_without_quotes(
        &self,
        word: &Word,
        start: Span,
    ) -> Option<Finding> {
        if !word.slots.iter().any(|slot| slot.what == What::Label) {
            return None;
        }
        let behind = line_behind(self.item.source(), start.start as usize);
        let marks = [',', ':', '{', '}', '#', '"'];
        let end = behind.find(marks).unwrap_or(behind.len());
        let (label, rest) = behind.split_at_checked(end)?;
        // It has one in quotes already.
        if rest.starts_with('"') {
            return None;
        }
        let label = label.trim_end();
        let start = start.start as usize;
        let span = Span::new(start, start + label.len());
        let text = format!("\"{label}\"");
        let message = format!("a text stands in quotes: write `{text}`");
        Some(slip(span, &message, "Put it in quotes", (span, text)))
    }
}
