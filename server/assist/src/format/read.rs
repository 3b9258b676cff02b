//! The lines of a sheet, each read where it stands.

use std::ops::Range;

use bellwire_plan::source::{Item, Span, Statement};
use bellwire_plan::vocabulary::Context;

use super::cells::Cutter;
use super::line::Line;
use super::sheet::Sheet;
use crate::walk::meaning;

/// Makes the lines of a sheet.
pub(super) struct Reader<'a> {
    sheet: &'a Sheet<'a>,
    item: &'a Item,
    ranges: Vec<Range<usize>>,
    lines: Vec<Line<'a>>,
    cutter: Cutter<'a>,
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
            cutter: Cutter::new(sheet),
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
        if let Some(line) = self.cutter.line(statement, context, depth, &range) {
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
            if !self.sheet.is_on(inside.head.start, &range) {
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
        if let Some(comment) = self.sheet.comment(&range, brace.start, brace.end) {
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
}
