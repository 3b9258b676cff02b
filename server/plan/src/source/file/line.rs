//! An edit within one line of a block, as most are: that line is read again, and
//! what the others say moves with them.

use super::edit::Kept;
use super::items::Placed;
use crate::source::item::{Item, Source};
use crate::source::lines::BREAKS;
use crate::source::reader::{self, DEEPEST};
use crate::source::span::{Problem, Span};
use crate::source::statement::{Form, Statement};
use crate::source::text::Text;

impl Kept<'_> {
    /// The items of the new text. `None` if the edit is not within a line that
    /// was one whole statement and still is.
    pub(super) fn by_line(&self, text: &Text) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let index = old.partition_point(|placed| placed.start < self.head);
        let index = index.checked_sub(1)?;
        let placed = old.get(index)?;

        let start = self.head - placed.start;
        let end = self.old.text().len().checked_sub(self.tail)? - placed.start;
        let typed = text.slice(self.head..text.len() - self.tail);
        let line = Line::read(&placed.item, start, end, &typed)?;
        let read = Placed {
            item: line.put_into(&placed.item)?.into(),
            ..placed.clone()
        };
        self.joined(index, vec![read], index + 1, text)
    }
}

/// A line that was edited, with places that count from the item's start.
struct Line {
    /// Where it stood.
    old: Span,
    /// The statement that it was: where it stands in the body of each around it.
    path: Vec<usize>,
    text: String,
    statement: Statement,
    problems: Vec<Problem>,
}

impl Line {
    /// Reads the line on which `typed` takes the place of what stands from `start`
    /// to `end`.
    fn read(item: &Item, start: usize, end: usize, typed: &str) -> Option<Line> {
        let old = line_around(item.source(), start, end)?;
        let old_text = item.text(old);
        let before = old_text.get(..start - old.start as usize)?;
        let behind = old_text.get(end - old.start as usize..)?;
        let text = [before, typed, behind].concat();
        let (mut old_statement, _) = reader::line(old_text)?;
        let (mut statement, mut problems) = reader::line(&text)?;

        // Where braces do not match, indentation says what it belongs to.
        let indent = text.get(..statement.span.start as usize);
        if indent != old_text.get(..old_statement.span.start as usize) {
            return None;
        }

        let down = |span: &mut Span| {
            span.start += old.start;
            span.end += old.start;
        };
        old_statement.spans(&down);
        statement.spans(&down);
        for problem in &mut problems {
            down(&mut problem.span);
        }
        let path = path_to(item.root(), old_statement.span)?;
        // Deeper, what a line says would hang on how deep it stands.
        let is_shallow = path.len() + text.matches('{').count() < DEEPEST;
        is_shallow.then_some(Line {
            old,
            path,
            text,
            statement,
            problems,
        })
    }

    /// The item with the line as it is now.
    fn put_into(mut self, item: &Item) -> Option<Item> {
        let source = item.source();
        let above = source.get(..self.old.start as usize)?;
        let below = source.get(self.old.end as usize..)?;
        let source = [above, &self.text, below].concat();

        let (old, line_end) = (self.old, above.len() as u32 + self.text.len() as u32);
        let statement_end = self.statement.span.end;
        let moved = |at: u32| match at {
            _ if at <= old.start => at,
            _ if at > old.end => at - old.end + line_end,
            // A block that is not closed ends with the last statement in it.
            _ => statement_end,
        };
        let along = |span: &mut Span| {
            span.start = moved(span.start);
            span.end = moved(span.end);
        };

        let stays = |span: Span| {
            let is_above = span.end < old.start;
            is_above || span.start > old.end && old.end == line_end
        };

        let mut root = item.root().clone();
        root.spans_unless(&stays, &along);
        let mut way = self.path.iter();
        let place = way.try_fold(&mut root, |outer, &index| outer.change_in(index))?;
        self.statement.note = place.note;
        *place = self.statement;

        let mut problems = self.problems;
        for problem in &item.problems {
            if !old.touches(problem.span.start) {
                let mut problem = problem.clone();
                along(&mut problem.span);
                problems.push(problem);
            }
        }
        problems.sort_by_key(|problem| problem.span.start);
        let (file, source) = (item.file.clone(), Source::copy(&source));
        Some(Item::new(file, source, root, item.by_indent, problems))
    }
}

/// The line that holds all from `start` to `end`, if it is one, and neither the
/// first nor the last of the text.
fn line_around(text: &str, start: usize, end: usize) -> Option<Span> {
    let first = text.get(..start)?.rfind(BREAKS)? + 1;
    let last = end + text.get(end..)?.find(BREAKS)?;
    let is_one = !text.get(first..last)?.contains(BREAKS);
    is_one.then(|| Span::new(first, last))
}

/// The way down to the statement that takes up all of `place`. A clause may do so too,
/// where a line begins with a comma.
fn path_to(root: &Statement, place: Span) -> Option<Vec<usize>> {
    let mut path = Vec::new();
    let mut outer = root;
    while outer.span != place || outer.form == Form::Clause {
        let body = &outer.body;
        let index = body.partition_point(|inner| inner.span.end < place.start);
        outer = body.get(index)?;
        path.push(index);
    }
    Some(path)
}
