//! A statement in cells.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{Form, Path, Quantity, Span, Statement, Value, ValueKind};
use bellwire_plan::vocabulary::{self, Context, What, Word};

use super::line::{Cell, Class, Column, Line};
use super::sheet::Sheet;
use super::words;
use crate::thing::takes_a_block;
use crate::walk::{meaning, slotted};

/// Cuts statements of a sheet into cells.
pub(super) struct Cutter<'a> {
    sheet: &'a Sheet<'a>,
    /// What is being written; most texts turn out to be as they were.
    draft: String,
}

impl<'a> Cutter<'a> {
    pub(super) fn new(sheet: &'a Sheet<'a>) -> Self {
        Cutter {
            sheet,
            draft: String::new(),
        }
    }

    /// The line at `range` that a statement starts, in cells; `None` if there is
    /// anything in it that is not understood.
    pub(super) fn line(
        &mut self,
        statement: &Statement,
        context: Option<Context>,
        depth: usize,
        range: &Range<usize>,
    ) -> Option<Line<'a>> {
        let end = statement
            .block
            .map_or(statement.span.end, |block| block.open.end);
        let parts = statement.body.iter();
        let head_end = parts
            .filter(|part| self.sheet.is_on(part.span.start, range))
            .map(|part| part.span.end)
            .fold(end.max(statement.head.end), u32::max);
        let close = statement.block.and_then(|block| block.close);
        let last = close
            .filter(|close| self.sheet.is_on(close.start, range))
            .map_or(head_end, |close| close.end);
        let comment = self.sheet.comment(range, statement.head.start, last)?;
        let (cells, class, tail) = self.parts(statement, context, range)?;
        let line = Line {
            old: "",
            depth: Some(depth),
            cells,
            class,
            tail,
            comment,
        };
        line.differs_in_blanks_only(self.sheet.slice(range))
            .then_some(line)
    }

    /// What is written, borrowed if it stands like that at `span`.
    fn written(&mut self, span: Span, write: impl FnOnce(&mut String)) -> Cow<'a, str> {
        self.draft.clear();
        write(&mut self.draft);
        let old = self.sheet.item.text(span);
        match self.draft.trim() == old {
            true => Cow::Borrowed(old),
            false => Cow::Owned(self.draft.trim().to_string()),
        }
    }

    /// The cells of a statement, its class, and its block.
    fn parts(
        &mut self,
        statement: &Statement,
        context: Option<Context>,
        range: &Range<usize>,
    ) -> Option<(Vec<Cell<'a>>, Option<Class>, Cow<'a, str>)> {
        if let Some(path) = &statement.path {
            let cell = self.path(statement, path)?;
            return Some((vec![cell], None, "".into()));
        }
        let (word, inner) = meaning(self.sheet.item, statement, context);
        let word = word?;
        let mut cells = Vec::with_capacity(8);
        cells.push(Cell::new(word.name, Column::Keyword));
        self.arguments(word, statement, &mut cells)?;
        if let Some((colon, values)) = &statement.model {
            cells.push(self.model(*colon, values)?);
        }
        self.clauses(statement, inner, &mut cells)?;
        let tail = self.tail(statement, inner, range)?;
        // A thing that opens a block of lines ends a run of like ones.
        let is_last = tail == "{" && statement.model.is_some();
        let class = class(word, statement).filter(|_| tail.is_empty() || is_last);
        Some((cells, class, tail))
    }

    /// A cable's path, if it is all there and nothing else is.
    fn path(&mut self, statement: &Statement, path: &Path) -> Option<Cell<'a>> {
        let is_plain = statement.arguments.is_empty()
            && statement.body.is_empty()
            && statement.model.is_none()
            && statement.block.is_none();
        let whole = path.points.len() == path.legs.len() + 1
            && path.points.iter().all(|point| !point.references.is_empty());
        if !is_plain || !whole {
            return None;
        }
        let item = self.sheet.item;
        let text = self.written(statement.head, |text| words::path(item, path, text));
        Some(Cell::new(text, Column::Free))
    }

    fn model(&mut self, colon: Span, values: &[Value]) -> Option<Cell<'a>> {
        let [model] = values else {
            return None;
        };
        self.are_apart(values)?;
        let item = self.sheet.item;
        let text = self.written(colon.to(model.span), |text| {
            *text += ": ";
            words::value(item, model, text);
        });
        Some(Cell::new(text, Column::Model))
    }

    /// The clauses, in cells; what stands before one ends with a comma.
    fn clauses(
        &mut self,
        statement: &Statement,
        inner: Option<Context>,
        cells: &mut Vec<Cell<'a>>,
    ) -> Option<()> {
        let clauses = statement.body.iter();
        let clauses = clauses.filter(|part| part.form == Form::Clause);
        for (index, clause) in clauses.enumerate() {
            let text = self.clause(clause)?;
            if let Some(before) = cells.last_mut() {
                before.end_with_comma();
            }
            let keyword = self.sheet.item.keyword(clause);
            let word = inner.and_then(|inner| vocabulary::word(keyword, inner));
            let column = match word.filter(|_| !clause.arguments.is_empty()) {
                Some(word) => Column::Clause(index, word.name),
                None => Column::Free,
            };
            cells.push(Cell::new(text, column));
        }
        Some(())
    }

    /// What stands of the block on the statement's own line: its brace, or all of it.
    fn tail(
        &mut self,
        statement: &Statement,
        inner: Option<Context>,
        range: &Range<usize>,
    ) -> Option<Cow<'a, str>> {
        let lines = statement.body.iter();
        let mut lines = lines
            .filter(|line| line.form != Form::Clause && self.sheet.is_on(line.span.start, range));
        let inline = match (lines.next(), lines.next()) {
            (None, _) => None,
            (Some(line), None) => Some(line),
            (Some(_), Some(_)) => return None,
        };
        let inline = match inline {
            Some(line) => Some(self.inline(line, inner, range)?),
            None => None,
        };
        let close = statement.block.and_then(|block| block.close);
        let is_closed_here = close.is_some_and(|close| self.sheet.is_on(close.start, range));
        Some(match (statement.block, inline) {
            (None, _) => "".into(),
            (Some(_), Some(inline)) if is_closed_here => format!("{{ {inline} }}").into(),
            (Some(_), None) if is_closed_here => "{ }".into(),
            (Some(_), None) => "{".into(),
            (Some(_), Some(_)) => return None,
        })
    }

    /// A line of a block that stands on the line of its statement.
    fn inline(
        &mut self,
        statement: &Statement,
        context: Option<Context>,
        range: &Range<usize>,
    ) -> Option<String> {
        let (cells, _, tail) = self.parts(statement, context, range)?;
        let line = Line {
            depth: Some(0),
            cells,
            tail,
            ..Line::default()
        };
        let mut text = String::new();
        line.write(&mut text);
        Some(text)
    }

    /// The arguments, in cells by their slots. A slot that takes several is
    /// one cell, and a label that is left out is an empty one.
    fn arguments(
        &mut self,
        word: &'static Word,
        statement: &Statement,
        cells: &mut Vec<Cell<'a>>,
    ) -> Option<()> {
        let item = self.sheet.item;
        self.are_apart(&statement.arguments)?;
        let mut next = 0;
        for (argument, slot) in slotted(word.slots, &statement.arguments) {
            let slot = slot?;
            if argument.kind == ValueKind::Stray {
                return None;
            }
            let text = self.written(argument.span, |text| words::value(item, argument, text));
            let index = word
                .slots
                .iter()
                .position(|other| std::ptr::eq(other, slot));
            let index = index.unwrap_or(next);
            while next < index {
                cells.push(Cell::new("", Column::Argument(next)));
                next += 1;
            }
            match cells.last_mut().filter(|_| next > index) {
                Some(last) => *last = Cell::new(format!("{} {text}", last.text), last.column),
                None => {
                    // What follows a kind is not aligned.
                    let column = match slot.what {
                        What::Kind(_) => Column::Free,
                        _ => Column::Argument(index),
                    };
                    cells.push(Cell::new(text, column));
                    next = index + 1;
                }
            }
        }
        if statement.model.is_some() {
            while next < word.slots.len() {
                cells.push(Cell::new("", Column::Argument(next)));
                next += 1;
            }
        }
        Some(())
    }

    /// `None` where values stand together without a blank, or a number with what
    /// is no unit: `2025-3` and `4x22AWG` are slips, and blanks would hide them.
    fn are_apart(&self, values: &[Value]) -> Option<()> {
        let known = |end: Quantity| {
            let mut units = end.unit.into_iter();
            units.all(|unit| vocabulary::unit(self.sheet.item.text(unit)).is_some())
        };
        let mut pairs = values.iter().zip(values.iter().skip(1));
        let apart = pairs.all(|(one, other)| one.span.end < other.span.start);
        let sound = values.iter().flat_map(Value::quantities).all(known);
        (apart && sound).then_some(())
    }

    fn clause(&mut self, clause: &Statement) -> Option<Cow<'a, str>> {
        let item = self.sheet.item;
        let is_plain = clause.body.is_empty() && clause.model.is_none() && clause.block.is_none();
        let is_stray = |kind: &ValueKind| *kind == ValueKind::Stray;
        if !is_plain || clause.arguments.iter().any(|value| is_stray(&value.kind)) {
            return None;
        }
        let keyword = clause.keyword?;
        self.are_apart(&clause.arguments)?;
        Some(self.written(clause.head, |text| {
            words::clause(item, keyword, clause, text);
        }))
    }
}

fn class(word: &'static Word, statement: &Statement) -> Option<Class> {
    let declares = |what: What| word.slots.iter().any(|slot| slot.what == what);
    match (word.opens, &statement.model) {
        (Some(context), Some(_)) if word.needs_model => Some(Class::Things(context)),
        (_, Some(_)) => None,
        _ if word.needs_model => None,
        (Some(inner), None) if declares(What::NewName) && takes_a_block(word, inner) => None,
        _ if declares(What::NewNumber) || declares(What::NewName) && declares(What::Label) => {
            Some(Class::Numbered(word.name))
        }
        _ => Some(Class::Properties),
    }
}
