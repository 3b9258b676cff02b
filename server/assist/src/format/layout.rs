//! A statement's lines as they should be, and what is to change for it.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{File, Item, Span};
use bellwire_plan::vocabulary::Context;

use super::cells::Cutter;
use super::columns::align;
use super::line::{Line, lines};
use super::read::Reader;
use super::sheet::Sheet;
use super::words;
use crate::edit::patched;

/// A line that is to change: where it stands in a sheet's text, and how it is to read.
pub(super) type Change = (Range<usize>, String);

impl Sheet<'_> {
    /// The statement's first line. Unlike the others it may be aligned with
    /// lines of other statements.
    pub(super) fn first(&self) -> Line<'_> {
        let head = self.head();
        let touches = |span: Span| {
            let (start, end) = (span.start as usize, span.end as usize);
            self.base + start <= head.end && head.start <= self.base + end
        };
        let mut problems = self.item.problems.iter();
        let is_indented = self.base + self.item.root().head.start as usize > head.start;
        if problems.any(|problem| touches(problem.span)) || is_indented && self.item.is_by_indent()
        {
            return Line::left(self.slice(&head));
        }
        let line = Cutter::new(self).line(self.item.root(), Some(Context::File), 0, &head);
        line.unwrap_or_else(|| Line::plain(self.slice(&head)))
    }

    /// What is to change about the other lines.
    pub(super) fn changes(&self) -> Cow<'_, [Change]> {
        struct Kept(Vec<Change>);
        match self.text.len() == self.item.source().len() {
            true => {
                let kept = &self.item.derived;
                Cow::Borrowed(&kept.get_or_make(|| Kept(self.work_out())).0)
            }
            false => Cow::Owned(self.work_out()),
        }
    }

    fn work_out(&self) -> Vec<Change> {
        let ranges = lines(&self.text);
        let mut lines = Reader::new(self, ranges.clone()).lines();
        align(&mut lines);
        let head = self.head();
        let mut draft = String::new();
        let mut changes = Vec::new();
        for (line, range) in lines.iter().zip(ranges) {
            line.write(&mut draft);
            if range.start != head.start && draft != self.slice(&range) {
                changes.push((range, draft.clone()));
            }
        }
        changes
    }

    /// Whether the statement says the same after changes, in the order of the text.
    pub(super) fn keeps<'c>(&self, changes: impl Iterator<Item = (Range<usize>, &'c str)>) -> bool {
        let read = |text: &str| File::new(self.item.file.clone(), text);
        let new = read(&patched(&self.text, changes));
        if self.item.is_by_indent() {
            return read_the_same(&read(&self.text), &new);
        }
        let mut items = new.items();
        let only = items.next().filter(|_| items.next().is_none());
        only.is_some_and(|(_, new)| says_the_same(self.item, new))
    }
}

/// Whether two files have the same statements, places aside.
pub(super) fn read_the_same(one: &File, other: &File) -> bool {
    let mut pairs = one.items().zip(other.items());
    one.items().count() == other.items().count()
        && one.is_by_indent() == other.is_by_indent()
        && pairs.all(|((_, one), (_, other))| says_the_same(one, other))
}

/// Whether two statements say the same, places aside.
fn says_the_same(one: &Item, other: &Item) -> bool {
    one.problems.len() == other.problems.len()
        && words::all(one, one.root()) == words::all(other, other.root())
}
