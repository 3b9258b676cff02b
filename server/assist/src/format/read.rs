//! Statements as lines in cells.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{Form, Item, Quantity, Span, Statement, Value, ValueKind};
use bellwire_plan::vocabulary::{self, Context, What, Word};

use super::line::{Cell, Class, Column, Line, width};
use super::sheet::Sheet;
use super::words;
use crate::thing::takes_a_block;
use crate::walk::{meaning, quantities, slotted};

/// Makes the lines of a sheet.
pub(super) struct Reader<'a> {
    sheet: &'a Sheet<'a>,
    item: &'a Item,
    ranges: Vec<Range<usize>>,
    lines: Vec<Line<'a>>,
    /// What is being written; most texts turn out to be as they were.
    draft: String,
}

impl<'a> Reader<'a> {
    /// For the lines of a sheet that stand at these ranges of its text.
    pub(super) fn new(sheet: &'a Sheet<'a>, ranges: Vec<Range<usize>>) -> Self {
        let lines = ranges.iter().map(|range| match sheet.item.is_by_indent() {
            true => Line::left(sheet.slice(range)),
            false => Line::plain(sheet.slice(range)),
        });
        Reader {
            sheet,
            item: sheet.item,
            lines: lines.collect(),
            ranges,
            draft: String::new(),
        }
    }

    /// All lines.
    pub(super) fn lines(mut self) -> Vec<Line<'a>> {
        let is_told = !self.item.is_by_indent();
        self.statement(self.item.root(), Some(Context::File), 0, is_told);
        for problem in &self.item.problems {
            self.leave(problem.span);
        }
        self.lines
    }

    fn line_of(&self, at: u32) -> usize {
        let at = self.sheet.base + at as usize;
        let after = self.ranges.partition_point(|range| range.start <= at);
        after.saturating_sub(1)
    }

    /// Whether a place of the item is on a line.
    fn is_on(&self, at: u32, line: &Range<usize>) -> bool {
        let at = self.sheet.base + at as usize;
        line.start <= at && at <= line.end
    }

    /// Whether braces tell all of what belongs to a statement.
    fn is_whole(&self, statement: &Statement) -> bool {
        let mut problems = self.item.problems.iter().map(|problem| problem.span);
        let own = statement.span;
        !problems.any(|span| span.start <= own.end && own.start <= span.end)
    }

    /// A statement that starts a line, and the lines of its block. Where it
    /// stands may be all that tells what it belongs to: unless `is_told` by
    /// braces, one that stands elsewhere than it should is left alone.
    fn statement(
        &mut self,
        statement: &Statement,
        context: Option<Context>,
        depth: usize,
        is_told: bool,
    ) {
        let index = self.line_of(statement.head.start);
        let Some(range) = self.ranges.get(index).cloned() else {
            return;
        };
        let start = self.sheet.base + statement.head.start as usize;
        let blanks = self.sheet.slice(&(range.start..start));
        if !is_told && (blanks.len() != 2 * depth || !blanks.bytes().all(|byte| byte == b' ')) {
            return;
        }
        let is_told = is_told || self.is_whole(statement);
        if let Some(line) = self.own_line(statement, context, depth, &range) {
            self.put(index, line);
        }
        let Some(block) = statement.block else { return };
        let close = block.close.map_or(index, |close| self.line_of(close.start));
        // Comments first: statements overwrite their own lines.
        for line in (index + 1..close).filter(|_| is_told) {
            if let Some(line) = self.lines.get_mut(line).filter(|line| line.is_comment()) {
                line.depth = Some(depth + 1);
            }
        }
        let (_, inner) = meaning(self.item, statement, context);
        for inside in &statement.body {
            if !self.is_on(inside.head.start, &range) {
                self.statement(inside, inner, depth + 1, is_told);
            }
        }
        if let Some(brace) = block.close.filter(|_| close > index) {
            self.closing(close, brace, depth);
        }
    }

    /// A line that is nothing but `}`.
    fn closing(&mut self, index: usize, brace: Span, depth: usize) {
        let Some(range) = self.ranges.get(index).cloned() else {
            return;
        };
        if let Some(comment) = self.comment(&range, brace.start, brace.end) {
            let line = Line {
                depth: Some(depth),
                tail: "}".into(),
                comment,
                ..Line::default()
            };
            self.put(index, line);
        }
    }

    fn put(&mut self, index: usize, line: Line<'a>) {
        if let Some(place) = self.lines.get_mut(index) {
            *place = line;
        }
    }

    /// Leaves the lines of a span as they are.
    fn leave(&mut self, span: Span) {
        for index in self.line_of(span.start)..=self.line_of(span.end) {
            let range = self.ranges.get(index).cloned().unwrap_or_default();
            let old = self.sheet.slice(&range);
            if let Some(line) = self.lines.get_mut(index).filter(|line| !line.is_comment()) {
                *line = Line::left(old);
            }
        }
    }

    /// The line at `range` that a statement starts, in cells; `None` if there is
    /// anything in it that is not understood.
    pub(super) fn own_line(
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
            .filter(|part| self.is_on(part.span.start, range))
            .map(|part| part.span.end)
            .fold(end.max(statement.head.end), u32::max);
        let close = statement.block.and_then(|block| block.close);
        let last = close
            .filter(|close| self.is_on(close.start, range))
            .map_or(head_end, |close| close.end);
        let comment = self.comment(range, statement.head.start, last)?;
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

    /// The comment of a line and its column, if besides it there is nothing on
    /// the line but what stands from `from` to `to`.
    fn comment(
        &self,
        range: &Range<usize>,
        from: u32,
        to: u32,
    ) -> Option<Option<(&'a str, usize)>> {
        let base = self.sheet.base;
        let text: &str = &self.sheet.text;
        let before = text.get(range.start..base + from as usize)?;
        let after = text.get(base + to as usize..range.end)?;
        let rest = after.trim();
        if !before.trim().is_empty() || !(rest.is_empty() || rest.starts_with('#')) {
            return None;
        }
        Some((!rest.is_empty()).then(|| {
            let all = self.sheet.slice(range);
            (rest, width(all) - width(after.trim_start()))
        }))
    }

    /// What is written, borrowed if it stands like that at `span`.
    fn written(&mut self, span: Span, write: impl FnOnce(&mut String)) -> Cow<'a, str> {
        self.draft.clear();
        write(&mut self.draft);
        let old = self.item.text(span);
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
        let item = self.item;
        if let Some(way) = &statement.path {
            let is_plain = statement.arguments.is_empty()
                && statement.body.is_empty()
                && statement.model.is_none()
                && statement.block.is_none();
            let whole = way.points.len() == way.legs.len() + 1
                && way.points.iter().all(|point| !point.references.is_empty());
            let text = self.written(statement.head, |text| words::path(item, way, text));
            let cell = Cell::new(text, Column::Free);
            return (is_plain && whole).then(|| (vec![cell], None, "".into()));
        }
        let (word, inner) = meaning(item, statement, context);
        let word = word?;
        let mut cells = Vec::with_capacity(8);
        cells.push(Cell::new(word.name, Column::Keyword));
        self.arguments(word, statement, &mut cells)?;
        if let Some((colon, values)) = &statement.model {
            let [model] = values.as_slice() else {
                return None;
            };
            self.are_apart(values)?;
            let text = self.written(colon.to(model.span), |text| {
                *text += ": ";
                words::value(item, model, text);
            });
            cells.push(Cell::new(text, Column::Model));
        }
        let mut clauses = 0;
        let mut inline: Option<String> = None;
        for part in &statement.body {
            if part.form == Form::Clause {
                let text = self.clause(part)?;
                if let Some(before) = cells.last_mut() {
                    before.end_with_comma();
                }
                let own = inner.and_then(|inner| vocabulary::word(item.keyword(part), inner));
                let column = match own.filter(|_| !part.arguments.is_empty()) {
                    Some(own) => Column::Clause(clauses, own.name),
                    None => Column::Free,
                };
                cells.push(Cell::new(text, column));
                clauses += 1;
            } else if self.is_on(part.span.start, range) {
                if inline.is_some() {
                    return None;
                }
                let (cells, _, tail) = self.parts(part, inner, range)?;
                let mut text = String::new();
                let line = Line {
                    depth: Some(0),
                    cells,
                    tail,
                    ..Line::default()
                };
                line.write(&mut text);
                inline = Some(text);
            }
        }
        let close = statement.block.and_then(|block| block.close);
        let is_closed_here = close.is_some_and(|close| self.is_on(close.start, range));
        let tail: Cow<str> = match (statement.block, inline) {
            (None, _) => "".into(),
            (Some(_), Some(inline)) if is_closed_here => format!("{{ {inline} }}").into(),
            (Some(_), None) if is_closed_here => "{ }".into(),
            (Some(_), None) => "{".into(),
            (Some(_), Some(_)) => return None,
        };
        // A thing that opens a block of lines ends a run of like ones.
        let is_last = tail == "{" && statement.model.is_some();
        let class = class(word, statement).filter(|_| tail.is_empty() || is_last);
        Some((cells, class, tail))
    }

    /// The arguments, in cells by their slots. A slot that takes several is
    /// one cell, and a label that is left out is an empty one.
    fn arguments(
        &mut self,
        word: &'static Word,
        statement: &Statement,
        cells: &mut Vec<Cell<'a>>,
    ) -> Option<()> {
        let item = self.item;
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
                        What::Kind => Column::Free,
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
            units.all(|unit| vocabulary::unit(self.item.text(unit)).is_some())
        };
        let mut pairs = values.iter().zip(values.iter().skip(1));
        let apart = pairs.all(|(one, other)| one.span.end < other.span.start);
        let sound = values.iter().flat_map(quantities).all(known);
        (apart && sound).then_some(())
    }

    fn clause(&mut self, clause: &Statement) -> Option<Cow<'a, str>> {
        let item = self.item;
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
