//! What a line says once it is read: a keyword with its arguments, clauses and block.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::span::Span;
use super::value::{Quantity, Value};

/// The form in which a statement is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// A line that starts with a keyword.
    Line,
    /// A clause behind a comma.
    Clause,
    /// A cable's path.
    Path,
    /// A line, or a clause, without a keyword.
    #[default]
    Fragment,
}

/// A statement: a line, a clause, or a path. Clauses and the lines of the
/// block mean the same, so both are in `body`, in the order of the text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Statement {
    /// How it is written.
    pub form: Form,
    /// Everything: from the keyword to the end of the block.
    pub span: Span,
    /// The line without clauses and block.
    pub head: Span,
    /// Its keyword.
    pub keyword: Option<Span>,
    /// What stands between the keyword and `:`, `,`, `{`.
    pub arguments: Vec<Value>,
    /// `: MODEL`, with the colon's place; no value while it is not typed yet.
    pub model: Option<(Span, Vec<Value>)>,
    /// Clauses, then the lines of the block. Shared between versions of a text, as
    /// long as nothing in them changes or moves.
    pub body: Vec<Arc<Statement>>,
    /// The block's braces.
    pub block: Option<Block>,
    /// The path, if the form is [`Form::Path`].
    pub path: Option<Box<Path>>,
    /// Comment lines directly above.
    pub note: Option<Span>,
    /// Whether its shape is known to be right.
    pub(super) sound: Sound,
}

/// What a check of the shape has found out about a statement. It goes along into the versions
/// that leave the statement alone.
#[derive(Default)]
pub(super) struct Sound(AtomicBool);

impl std::fmt::Debug for Sound {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Sound")
    }
}

impl Clone for Sound {
    fn clone(&self) -> Sound {
        Sound(self.0.load(Ordering::Relaxed).into())
    }
}

impl PartialEq for Sound {
    /// Statements are equal whether or not anybody has looked at them.
    fn eq(&self, _: &Sound) -> bool {
        true
    }
}

impl Statement {
    /// Whether nothing was wrong with the shape of it and of all that is in it when that was last
    /// looked at, and nothing has changed since in it or beside it.
    pub fn is_sound(&self) -> bool {
        self.sound.0.load(Ordering::Relaxed)
    }

    /// Notes that nothing is wrong with its shape.
    pub fn found_sound(&self) {
        self.sound.0.store(true, Ordering::Relaxed);
    }

    /// What stands at `index` of the body, to be changed. Whether the shape is right is open again
    /// for all that this touches: what is around it, and what ends in front of it.
    pub(super) fn change_in(&mut self, index: usize) -> Option<&mut Statement> {
        self.sound = Sound::default();
        let before = index.checked_sub(1);
        if let Some(before) = before.and_then(|before| self.body.get_mut(before)) {
            Arc::make_mut(before).followed_by_another();
        }
        self.body.get_mut(index).map(Arc::make_mut)
    }

    /// What stands behind its end may be something else now.
    fn followed_by_another(&mut self) {
        self.sound = Sound::default();
        let last = self.body.last_mut().filter(|_| self.block.is_none());
        if let Some(last) = last {
            Arc::make_mut(last).followed_by_another();
        }
    }

    /// Whether it starts with a mark behind which the line above goes on: `{`, `:` or `,`.
    pub fn goes_on(&self) -> bool {
        self.form == Form::Fragment && self.arguments.is_empty()
    }

    /// Whether it is a comma with nothing behind it.
    pub fn is_bare_comma(&self) -> bool {
        self.form == Form::Clause && self.keyword.is_none() && self.arguments.is_empty()
    }

    /// The numbers of its own line: those of its arguments, and the lengths of its path.
    pub fn quantities(&self) -> impl Iterator<Item = Quantity> {
        let legs = self.path.iter().flat_map(|path| &path.legs);
        let arguments = self.arguments.iter().flat_map(Value::quantities);
        arguments.chain(legs.filter_map(|leg| leg.length))
    }

    /// Moves every place `by` bytes towards the start.
    pub(super) fn rebase(&mut self, by: u32) {
        let shift = |span: &mut Span| {
            span.start = span.start.saturating_sub(by);
            span.end = span.end.saturating_sub(by);
        };
        self.spans(&shift);
    }

    /// Hands each of its places to `shift`.
    pub(super) fn spans(&mut self, shift: &impl Fn(&mut Span)) {
        self.spans_unless(&|_| false, shift);
    }

    /// The same, except for the statements in it that stand where all `stays`.
    pub(super) fn spans_unless(
        &mut self,
        stays: &impl Fn(Span) -> bool,
        shift: &impl Fn(&mut Span),
    ) {
        shift(&mut self.span);
        shift(&mut self.head);
        for span in [&mut self.keyword, &mut self.note].into_iter().flatten() {
            shift(span);
        }
        for value in &mut self.arguments {
            value.spans(shift);
        }
        if let Some((colon, values)) = &mut self.model {
            shift(colon);
            for value in values {
                value.spans(shift);
            }
        }
        if let Some(block) = &mut self.block {
            shift(&mut block.open);
            if let Some(close) = &mut block.close {
                shift(close);
            }
        }
        if let Some(path) = &mut self.path {
            for point in &mut path.points {
                shift(&mut point.span);
                for value in &mut point.references {
                    value.spans(shift);
                }
            }
            for leg in &mut path.legs {
                shift(&mut leg.span);
                if let Some(length) = &mut leg.length {
                    length.spans(shift);
                }
            }
        }
        for statement in &mut self.body {
            if !stays(statement.span) {
                Arc::make_mut(statement).spans_unless(stays, shift);
            }
        }
    }
}

/// The place of a block's braces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// `{`
    pub open: Span,
    /// `}`, if it is there.
    pub close: Option<Span>,
}

/// A cable's path: points with legs between them. `legs[i]` lies between
/// `points[i]` and `points[i + 1]`; an end that is not typed yet is a point
/// without references.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// Where the cable ends or is cut into.
    pub points: Vec<Point>,
    /// The cable between two points.
    pub legs: Vec<Leg>,
}

/// A point of a path: one reference, or several for several circuits.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Where it stands.
    pub span: Span,
    /// `main.aux` and `main.3` of `main.aux + main.3`; each a [`super::ValueKind::Name`].
    pub references: Vec<Value>,
}

/// A stretch of cable.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Where it stands.
    pub span: Span,
    /// How long it is, if that is written.
    pub length: Option<Quantity>,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// There are as many of them as lines and words: they are most of what is held
    /// of a text that is open.
    #[test]
    #[cfg(target_pointer_width = "64")]
    fn statements_and_values_are_small() {
        assert_eq!(size_of::<Value>(), 48);
        assert_eq!(size_of::<Statement>(), 152);
    }
}
