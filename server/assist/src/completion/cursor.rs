//! What may be written at the cursor.
//!
//! A line is hardly ever finished when somebody asks. So a stand-in name is put
//! at the cursor, in place of the word under it, and the text is read again:
//! whatever the stand-in is read as, is what may be written there.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{
    Change, File, Form, Item, Leg, Path, Span, Statement, Value, ValueKind,
};
use bellwire_plan::vocabulary::{Context, Dimension, Names, Slot, Slots, What, Word};

use super::word_at::word_at;
use crate::walk;

/// Reads as a name, as the part of a reference and as a unit.
const STAND_IN: &str = "standinforthecursor";

/// The text as it would be with a name at the cursor.
#[derive(Debug)]
pub(super) struct Cursor {
    /// The word under the cursor, in the file as it is.
    pub replace: Range<usize>,
    /// Whether that is a number.
    is_number: bool,
    /// The top-level statement, with the stand-in.
    pub item: Arc<Item>,
    /// Where it starts in the file.
    pub start: usize,
    stand_in: Span,
}

/// A statement around the cursor whose word is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Enclosing<'a> {
    /// The statement.
    pub statement: &'a Statement,
    /// Its word.
    pub word: &'static Word,
    /// What may stand in it.
    pub context: Option<Context>,
}

/// What is asked for.
#[derive(Debug)]
pub(super) enum Ask<'a> {
    /// A word that starts a statement.
    Word {
        context: Context,
        form: Form,
        /// If a cable's path may start here too, the parts of its first point that
        /// are there already: `main` of `main.▮`.
        first_point: Option<Vec<&'a str>>,
    },
    /// An argument.
    Argument {
        word: &'static Word,
        statement: &'a Statement,
        /// The slots that it may fill.
        slots: Vec<&'static Slot>,
        /// Whether `: MODEL` may stand here as well.
        model: Option<Names>,
        /// `x1` of `x1.▮`.
        parts: Vec<&'a str>,
    },
    /// The name behind the colon, all of it, with what is left and right of a point in it.
    Model {
        word: &'static Word,
        names: Names,
        name: Span,
    },
    /// The unit of a number.
    Unit(Vec<Dimension>),
    /// A point of a cable's path, but not the first.
    Point {
        parts: Vec<&'a str>,
        /// How the leg before it is to be completed.
        leg: LegState,
    },
}

/// How much of the leg before a point is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LegState {
    /// `--12 m--`
    Whole,
    /// `--`
    Started,
    /// Nothing.
    Missing,
}

impl Cursor {
    /// Puts the stand-in at `offset`; `None` in comments.
    pub(super) fn new(file: &File, offset: usize) -> Option<Cursor> {
        let line = file.text().line(file.text().line_of(offset));
        let text = file.text().slice(line.clone());
        let column = offset.checked_sub(line.start)?.min(text.len());
        let word = word_at(&text, column)?;
        let is_number = text
            .get(word.clone())?
            .starts_with(|c: char| c.is_ascii_digit());
        let replace = line.start + word.start..line.start + word.end;
        let file = file.edit(&[Change {
            range: Some(replace.clone()),
            text: STAND_IN.to_string(),
        }]);
        let (item, inner) = file.item_at(replace.start + 1)?;
        let at = inner.checked_sub(1)? as usize;
        Some(Cursor {
            start: replace.start - at,
            replace,
            is_number,
            item: item.clone(),
            stand_in: Span::new(at, at + STAND_IN.len()),
        })
    }

    /// The statements around the cursor, outermost first. The last is the one
    /// that the stand-in is in; it is left out if its word is not known.
    pub(super) fn around(&self) -> Vec<Enclosing<'_>> {
        let around = walk::around(&self.item, self.statements()).into_iter();
        around
            .map_while(|around| {
                Some(Enclosing {
                    statement: around.statement,
                    word: around.word?,
                    context: around.inner,
                })
            })
            .collect()
    }

    /// The statements around the stand-in, outermost first, known or not.
    fn statements(&self) -> Vec<&Statement> {
        self.item.path_to(self.stand_in.start + 1)
    }

    /// Whether a span holds the stand-in.
    fn is_in(&self, span: Span) -> bool {
        span.start <= self.stand_in.start && self.stand_in.end <= span.end
    }

    /// The text at a span, without the stand-in where it is last in it; `None`
    /// if nothing else is there.
    pub(super) fn text_before(&self, span: Span) -> Option<&str> {
        let end = if self.is_in(span) {
            self.stand_in.start
        } else {
            span.end
        };
        let text = self.item.text(Span { end, ..span }).trim_end();
        (!text.is_empty()).then_some(text)
    }

    /// A span of the item as bytes of the file as it is.
    pub(super) fn original(&self, span: Span) -> Range<usize> {
        let place = |at: u32| {
            let at = self.start + at as usize;
            match at.checked_sub(self.start + self.stand_in.end as usize) {
                Some(behind) => self.replace.end + behind,
                None => at.min(self.replace.end),
            }
        };
        place(span.start)..place(span.end)
    }

    /// What is asked for; `None` where nothing can be offered.
    pub(super) fn ask(&self) -> Option<Ask<'_>> {
        let statements = self.statements();
        let statement = *statements.last()?;
        let around = self.around();
        let known = around.len() == statements.len();
        let outer = match known {
            true => around.iter().rev().nth(1),
            false if around.len() + 1 == statements.len() => around.last(),
            false => return None,
        };
        let context = match outer {
            Some(outer) => outer.context,
            None if statements.len() == 1 => Some(Context::File),
            None => return None,
        };
        if let Some(keyword) = statement.keyword.filter(|keyword| self.is_in(*keyword)) {
            return self.keyword(statement, keyword, outer, context?);
        }
        if let Some(path) = &statement.path {
            return self.path(path);
        }
        if let Some(values) = statement.model.as_ref().map(|(_, values)| values)
            && values.iter().any(|value| self.is_in(value.span))
        {
            let word = around.last().filter(|_| known)?.word;
            let first = values.first()?;
            let names = word.model?;
            return self.is_in(first.span).then_some(Ask::Model {
                word,
                names,
                name: first.span,
            });
        }
        let index = statement
            .arguments
            .iter()
            .position(|value| self.is_in(value.span))?;
        if !known {
            // `front ▮` in a run: the leg is missing.
            let bare = context == Some(Context::Run) && index == 0;
            return bare.then_some(Ask::Point {
                parts: Vec::new(),
                leg: LegState::Missing,
            });
        }
        self.argument(statement, around.last()?.word, index)
    }

    fn keyword<'a>(
        &'a self,
        statement: &'a Statement,
        keyword: Span,
        outer: Option<&Enclosing<'a>>,
        context: Context,
    ) -> Option<Ask<'a>> {
        let before = self.item.text(Span {
            start: keyword.start,
            end: self.stand_in.start,
        });
        let parts: Vec<&str> = before.split_terminator('.').collect();
        if let Some(outer) = outer.filter(|outer| outer.word.list) {
            return Some(Ask::Argument {
                word: outer.word,
                statement: outer.statement,
                slots: outer.word.slots.first().into_iter().collect(),
                model: None,
                parts,
            });
        }
        let is_path = context == Context::Run && statement.form == Form::Line;
        (is_path || parts.is_empty()).then(|| Ask::Word {
            context,
            form: statement.form,
            first_point: is_path.then_some(parts),
        })
    }

    fn path<'a>(&'a self, path: &'a Path) -> Option<Ask<'a>> {
        for leg in &path.legs {
            if self.is_unit(leg.length.as_ref().and_then(|length| length.unit)) {
                return Some(Ask::Unit(vec![Dimension::Length]));
            }
        }
        let index = path
            .points
            .iter()
            .position(|point| self.is_in(point.span))?;
        let value = path
            .points
            .get(index)?
            .references
            .iter()
            .find(|value| self.is_in(value.span))?;
        let parts = self.parts_before(value);
        let Some(before) = index.checked_sub(1) else {
            return Some(Ask::Word {
                context: Context::Run,
                form: Form::Path,
                first_point: Some(parts),
            });
        };
        // The length of the leg.
        if self.is_number && parts.is_empty() {
            return None;
        }
        let leg = match path.legs.get(before) {
            Some(Leg { span, .. }) if span.is_empty() => LegState::Missing,
            Some(Leg { length: None, .. }) => LegState::Started,
            _ => LegState::Whole,
        };
        Some(Ask::Point { parts, leg })
    }

    fn argument<'a>(
        &'a self,
        statement: &'a Statement,
        word: &'static Word,
        index: usize,
    ) -> Option<Ask<'a>> {
        let (before, value) = (
            statement.arguments.get(..index)?,
            statement.arguments.get(index)?,
        );
        let (slots, satisfied) = open_slots(word, before);
        let unit = value.quantities().find(|end| self.is_unit(end.unit));
        if let Some(end) = unit {
            let dimensions: Vec<Dimension> = slots
                .iter()
                .flat_map(|slot| match slot.what {
                    What::Amount(dimensions) => dimensions.to_vec(),
                    What::Range(dimension) => vec![dimension],
                    _ => Vec::new(),
                })
                .collect();
            if !dimensions.is_empty() {
                return Some(Ask::Unit(dimensions));
            }
            // `partition 1 ▮`: what looks like a unit is the next argument.
            let apart = end.number.span.end < self.stand_in.start;
            let before = statement.arguments.get(..=index)?;
            let (slots, _) = open_slots(word, before);
            return apart.then_some(Ask::Argument {
                word,
                statement,
                slots,
                model: None,
                parts: Vec::new(),
            });
        }
        let in_text = matches!(value.kind, ValueKind::Text(_));
        let slots = slots
            .into_iter()
            .filter(|slot| !in_text || slot.what == What::PathText)
            .collect();
        let model = word
            .model
            .filter(|_| satisfied && !in_text && statement.model.is_none());
        Some(Ask::Argument {
            word,
            statement,
            slots,
            model,
            parts: self.parts_before(value),
        })
    }

    fn is_unit(&self, unit: Option<Span>) -> bool {
        unit.is_some_and(|unit| self.is_in(unit))
    }

    fn parts_before<'a>(&'a self, value: &'a Value) -> Vec<&'a str> {
        match &value.kind {
            ValueKind::Name(parts) => parts
                .iter()
                .take_while(|part| !self.is_in(**part))
                .map(|part| self.item.text(*part))
                .collect(),
            _ => Vec::new(),
        }
    }
}

/// The slots that the next argument behind `before` may fill, and whether none need be filled.
fn open_slots(word: &'static Word, before: &[Value]) -> (Vec<&'static Slot>, bool) {
    let mut slots = Slots::new(word.slots);
    for value in before {
        slots.put(|slot| slot.what.takes(&value.kind));
    }
    slots.open()
}
