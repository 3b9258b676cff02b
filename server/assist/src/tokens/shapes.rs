//! What words are by their shape alone: numbers, texts, marks, comments. What a
//! name is, its shape does not tell.

use std::ops::Range;

use bellwire_plan::source::{Item, Leg, Point, Quantity, Span, Statement, Value, ValueKind};

use super::TokenKind;
use crate::walk::in_file;

/// The pieces of an item that a token can be, each with what it is by its shape.
pub(super) struct Shapes<'a> {
    item: &'a Item,
    /// Where the item starts.
    start: usize,
    /// Where they are wanted.
    range: &'a Range<usize>,
    found: Vec<(Range<usize>, Option<TokenKind>)>,
}

impl<'a> Shapes<'a> {
    /// The pieces of an item that starts at `start`, in the order of its statements.
    pub(super) fn of(
        item: &'a Item,
        start: usize,
        range: &'a Range<usize>,
    ) -> Vec<(Range<usize>, Option<TokenKind>)> {
        let mut shapes = Shapes {
            item,
            start,
            range,
            found: Vec::new(),
        };
        shapes.statement(item.root());
        shapes.found
    }

    fn statement(&mut self, statement: &Statement) {
        let all = in_file(self.start, statement.span);
        if all.end < self.range.start || self.range.end < all.start {
            return;
        }
        // No word of the vocabulary has parts.
        let is_plain = |keyword: &Span| !self.item.text(*keyword).contains('.');
        if let Some(keyword) = statement.keyword.filter(is_plain) {
            self.add(keyword, None);
        }
        self.values(&statement.arguments);
        if let Some((_, values)) = &statement.model {
            self.values(values);
        }
        if let Some(path) = &statement.path {
            path.points.iter().for_each(|point| self.point(point));
            path.legs.iter().for_each(|leg| self.leg(leg));
        }
        for inner in &statement.body {
            self.statement(inner);
        }
    }

    fn values(&mut self, values: &[Value]) {
        for value in values {
            match &value.kind {
                ValueKind::Name(parts) => parts.iter().for_each(|part| self.add(*part, None)),
                ValueKind::Text(_) => self.add(value.span, Some(TokenKind::String)),
                ValueKind::Quantity(quantity) => self.quantity(quantity),
                ValueKind::Range(from, to) => {
                    from.iter().for_each(|from| self.quantity(from));
                    let start = from
                        .as_ref()
                        .map_or(value.span.start, |from| from.span().end);
                    self.mark("..", start, value.span.end);
                    to.iter().for_each(|to| self.quantity(to));
                }
                ValueKind::Date => self.add(value.span, Some(TokenKind::Number)),
                ValueKind::Stray => {}
            }
        }
    }

    fn quantity(&mut self, quantity: &Quantity) {
        self.add(quantity.number.span, Some(TokenKind::Number));
        if let Some(unit) = quantity.unit {
            self.add(unit, Some(TokenKind::Type));
        }
    }

    fn point(&mut self, point: &Point) {
        let mut start = point.span.start;
        for reference in &point.references {
            self.marks("+", start, reference.span.start);
            start = reference.span.end;
        }
        self.marks("+", start, point.span.end);
        self.values(&point.references);
    }

    fn leg(&mut self, leg: &Leg) {
        self.marks("--", leg.span.start, leg.span.end);
        leg.length.iter().for_each(|length| self.quantity(length));
    }

    /// Adds the first `mark` between two places.
    fn mark(&mut self, mark: &str, start: u32, end: u32) -> Option<u32> {
        let between = self.item.text(Span { start, end });
        let at = start + between.find(mark)? as u32;
        let end = at + mark.len() as u32;
        self.add(Span { start: at, end }, Some(TokenKind::Operator));
        Some(end)
    }

    /// Adds every `mark` between two places.
    fn marks(&mut self, mark: &str, mut start: u32, end: u32) {
        while let Some(behind) = self.mark(mark, start, end) {
            start = behind;
        }
    }

    fn add(&mut self, span: Span, kind: Option<TokenKind>) {
        if !span.is_empty() {
            self.found.push((in_file(self.start, span), kind));
        }
    }
}
