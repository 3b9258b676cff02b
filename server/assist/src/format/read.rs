//! Statements as lines in cells.

use bellwire_plan::source::{File, Form, Item, Span, Statement, ValueKind};
use bellwire_plan::vocabulary::{self, Context, What, Word};

use super::line::{Cell, Class, Column, Line, width};
use super::words::{path, value};
use crate::thing::takes_a_block;
use crate::walk::{meaning, slotted};

/// Reads the lines of an item that starts at `start`.
pub(super) fn item(file: &File, start: usize, item: &Item, lines: &mut [Line]) {
    let mut reader = Reader {
        file,
        start,
        item,
        lines,
    };
    reader.statement(&item.root, Some(Context::File), 0);
    for problem in &item.problems {
        reader.leave(problem.span);
    }
}

struct Reader<'a> {
    file: &'a File,
    start: usize,
    item: &'a Item,
    lines: &'a mut [Line],
}

impl Reader<'_> {
    fn line_of(&self, at: u32) -> usize {
        self.file.text().line_of(self.start + at as usize)
    }

    /// A statement that starts a line, and the lines of its block.
    fn statement(&mut self, statement: &Statement, context: Option<Context>, depth: usize) {
        let index = self.line_of(statement.head.start);
        let end = statement
            .block
            .map_or(statement.span.end, |block| block.open.end);
        let head_end = statement
            .body
            .iter()
            .filter(|inner| self.line_of(inner.span.start) == index)
            .map(|inner| inner.span.end)
            .fold(end.max(statement.head.end), u32::max);
        let last = match statement.block {
            Some(block) => block
                .close
                .filter(|close| self.line_of(close.start) == index)
                .map_or(head_end, |close| close.end),
            None => head_end,
        };
        let (_, inner) = meaning(self.item, statement, context);
        if let Some(line) = self.read_line(statement, context, index, last) {
            self.put(
                index,
                Line {
                    depth: Some(depth),
                    ..line
                },
            );
        }
        let Some(block) = statement.block else { return };
        let close = block.close.map_or(index, |close| self.line_of(close.start));
        // Comments first: statements overwrite their own lines.
        for line in index + 1..close {
            if let Some(line) = self.lines.get_mut(line).filter(|line| line.is_comment()) {
                line.depth = Some(depth + 1);
            }
        }
        for inner_statement in &statement.body {
            if self.line_of(inner_statement.head.start) > index {
                self.statement(inner_statement, inner, depth + 1);
            }
        }
        if let Some(brace) = block.close.filter(|_| close > index) {
            self.closing(close, brace, depth);
        }
    }

    /// A line that is nothing but `}`.
    fn closing(&mut self, index: usize, brace: Span, depth: usize) {
        let text = self.file.text();
        let range = text.line(index);
        let at = self.start + brace.start as usize;
        let before = text.slice(range.start..at);
        let after = text.slice(at + 1..range.end);
        let after = after.trim();
        if !before.trim().is_empty() || !(after.is_empty() || after.starts_with('#')) {
            return;
        }
        let comment = (!after.is_empty()).then(|| {
            let column = width(&text.slice(range.start..range.end)) - width(after);
            (after.to_string(), column)
        });
        self.put(
            index,
            Line {
                depth: Some(depth),
                tail: "}".to_string(),
                comment,
                ..Line::plain("")
            },
        );
    }

    fn put(&mut self, index: usize, line: Line) {
        if let Some(place) = self.lines.get_mut(index) {
            *place = line;
        }
    }

    /// Leaves the lines of a span as they are.
    fn leave(&mut self, span: Span) {
        for index in self.line_of(span.start)..=self.line_of(span.end) {
            let text = self.file.text();
            let old = text.slice(text.line(index));
            if let Some(line) = self.lines.get_mut(index).filter(|line| !line.is_comment()) {
                *line = Line {
                    depth: None,
                    old,
                    ..Line::plain("")
                };
            }
        }
    }

    /// A line in cells; `None` if there is anything in it that is not understood.
    fn read_line(
        &self,
        statement: &Statement,
        context: Option<Context>,
        index: usize,
        last: u32,
    ) -> Option<Line> {
        let text = self.file.text();
        let range = text.line(index);
        let before = text.slice(range.start..self.start + statement.head.start as usize);
        let end = self.start + last as usize;
        let after = text.slice(end..range.end);
        let rest = after.trim();
        let is_alone = before.trim().is_empty() && end <= range.end;
        if !is_alone || !(rest.is_empty() || rest.starts_with('#')) {
            return None;
        }
        let comment = (!rest.is_empty()).then(|| {
            let column =
                width(&text.slice(range.start..end)) + width(&after) - width(after.trim_start());
            (rest.to_string(), column)
        });
        let (cells, class, tail) = self.parts(statement, context, index)?;
        Some(Line {
            depth: None,
            old: String::new(),
            cells,
            class,
            tail,
            comment,
        })
    }

    /// The cells of a statement, its class, and its block.
    fn parts(
        &self,
        statement: &Statement,
        context: Option<Context>,
        index: usize,
    ) -> Option<(Vec<Cell>, Option<Class>, String)> {
        if let Some(way) = &statement.path {
            let is_plain = statement.arguments.is_empty()
                && statement.body.is_empty()
                && statement.model.is_none()
                && statement.block.is_none();
            let whole = way.points.len() == way.legs.len() + 1
                && way.points.iter().all(|point| !point.references.is_empty());
            let cell = Cell::new(path(self.item, way), Column::Free);
            return (is_plain && whole).then(|| (vec![cell], None, String::new()));
        }
        let (word, inner) = meaning(self.item, statement, context);
        let word = word?;
        let mut cells = vec![Cell::new(word.name.to_string(), Column::Keyword)];
        cells.extend(self.arguments(word, statement)?);
        if let Some((_, values)) = &statement.model {
            let values: Vec<String> = values.iter().map(|v| value(self.item, v)).collect();
            let [model] = values.as_slice() else {
                return None;
            };
            cells.push(Cell::new(format!(": {model}"), Column::Model));
        }
        let mut clauses = 0;
        let mut inline = None;
        for part in &statement.body {
            if part.form == Form::Clause {
                let text = self.clause(part)?;
                if let Some(before) = cells.last_mut() {
                    before.text.push(',');
                }
                let own = inner.and_then(|inner| vocabulary::word(self.item.keyword(part), inner));
                let column = match own.filter(|_| !part.arguments.is_empty()) {
                    Some(own) => Column::Clause(clauses, own.name),
                    None => Column::Free,
                };
                cells.push(Cell::new(text, column));
                clauses += 1;
            } else if self.line_of(part.span.start) == index {
                if inline.is_some() {
                    return None;
                }
                let (cells, _, tail) = self.parts(part, inner, index)?;
                let mut text: Vec<String> = cells.into_iter().map(|cell| cell.text).collect();
                text.push(tail);
                text.retain(|text| !text.is_empty());
                inline = Some(text.join(" "));
            }
        }
        let is_closed_here = statement
            .block
            .and_then(|block| block.close)
            .is_some_and(|close| self.line_of(close.start) == index);
        let tail = match (statement.block, inline) {
            (None, _) => String::new(),
            (Some(_), Some(inline)) if is_closed_here => format!("{{ {inline} }}"),
            (Some(_), None) if is_closed_here => "{ }".to_string(),
            (Some(_), None) => "{".to_string(),
            (Some(_), Some(_)) => return None,
        };
        // A thing that opens a block of lines ends a run of like ones.
        let is_last = tail == "{" && statement.model.is_some();
        let class = class(word, statement).filter(|_| tail.is_empty() || is_last);
        Some((cells, class, tail))
    }

    /// The arguments, in cells by their slots. A slot that takes several is
    /// one cell, and a label that is left out is an empty one.
    fn arguments(&self, word: &'static Word, statement: &Statement) -> Option<Vec<Cell>> {
        let mut cells: Vec<Cell> = Vec::new();
        let mut next = 0;
        for (argument, slot) in slotted(word.slots, &statement.arguments) {
            let slot = slot?;
            let text = match argument.kind {
                ValueKind::Stray => return None,
                _ => value(self.item, argument),
            };
            let index = word
                .slots
                .iter()
                .position(|other| std::ptr::eq(other, slot));
            let index = index.unwrap_or(next);
            while next < index {
                cells.push(Cell::new(String::new(), Column::Argument(next)));
                next += 1;
            }
            match cells.last_mut().filter(|_| next > index) {
                Some(last) => {
                    last.text.push(' ');
                    last.text += &text;
                }
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
                cells.push(Cell::new(String::new(), Column::Argument(next)));
                next += 1;
            }
        }
        Some(cells)
    }

    fn clause(&self, clause: &Statement) -> Option<String> {
        let is_plain = clause.body.is_empty() && clause.model.is_none() && clause.block.is_none();
        let mut words = vec![
            self.item
                .text(clause.keyword.filter(|_| is_plain)?)
                .to_string(),
        ];
        for argument in &clause.arguments {
            match argument.kind {
                ValueKind::Stray => return None,
                _ => words.push(value(self.item, argument)),
            }
        }
        Some(words.join(" "))
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
