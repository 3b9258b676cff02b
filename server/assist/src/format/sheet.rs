//! A file in sheets: a top-level statement with the lines that it stands on,
//! and what lies between two of them.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{File, Item, Span};
use bellwire_plan::vocabulary::Context;

use super::columns::align;
use super::line::{Line, lines};
use super::read::Reader;
use super::words;
use crate::edit::patched;

/// A top-level statement with all of the lines that it stands on.
pub(super) struct Sheet<'a> {
    pub item: &'a Item,
    /// Its lines, whole. Nearly always just the item's own text.
    pub text: Cow<'a, str>,
    /// Where the item starts in the text.
    pub base: usize,
    /// Where the text starts in the file.
    pub start: usize,
}

/// A line that is to change: where it stands in a sheet's text, and how it is to read.
pub(super) type Change = (Range<usize>, String);

impl Sheet<'_> {
    /// Where the statement's first line stands in the text, its note left out.
    pub(super) fn head(&self) -> Range<usize> {
        let at = self.base + self.item.root().head.start as usize;
        let (before, after) = self.text.split_at_checked(at).unwrap_or((&self.text, ""));
        let is_break = |c| c == '\n' || c == '\r';
        let start = before.rfind(is_break).map_or(0, |at| at + 1);
        let end = after.find(is_break).unwrap_or(after.len());
        start..before.len() + end
    }

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
        let mut reader = Reader::new(self, Vec::new());
        let line = reader.own_line(self.item.root(), Some(Context::File), 0, &head);
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

    pub(super) fn slice(&self, range: &Range<usize>) -> &str {
        self.text.get(range.clone()).unwrap_or("")
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

/// What lies between two statements, or at an end of the file: blanks,
/// comments, line breaks.
pub(super) struct Gap {
    /// Where it starts in the file.
    pub start: usize,
    text: String,
    lines: Vec<Range<usize>>,
    /// No statement comes before it; none comes behind it.
    ends: (bool, bool),
}

impl Gap {
    /// The gaps of a file: one before each statement, and one at the end.
    pub(super) fn all(file: &File) -> Vec<Gap> {
        let text = file.text();
        // The mark that some editors begin files with is not part of a line.
        let mark = text.slice(0..'\u{feff}'.len_utf8());
        let mut start = if mark == "\u{feff}" { mark.len() } else { 0 };
        let mut gaps = Vec::new();
        let ends = file
            .items()
            .map(|(at, item)| (at, Some(at + item.source().len())));
        for (end, next) in ends.chain([(text.len(), None)]) {
            let text = text.slice(start..end);
            gaps.push(Gap {
                start,
                lines: lines(&text),
                text,
                ends: (gaps.is_empty(), next.is_none()),
            });
            start = next.unwrap_or(end);
        }
        gaps
    }

    /// The lines that are nothing but gap, and where they stand in the file.
    pub(super) fn own_lines(&self) -> impl Iterator<Item = (Range<usize>, &str)> {
        let from = usize::from(!self.ends.0);
        let to = self.lines.len() - usize::from(!self.ends.1);
        let own = self.lines.get(from..to).unwrap_or(&[]);
        own.iter().map(|line| {
            let range = self.start + line.start..self.start + line.end;
            (range, self.slice(line))
        })
    }

    /// What stands behind the statement before it, on its last line; `None` if
    /// another statement does.
    pub(super) fn front(&self) -> Option<&str> {
        let is_whole = self.lines.len() > 1 || self.ends.1;
        Some(self.slice(self.lines.first()?)).filter(|_| is_whole)
    }

    /// What stands before the statement behind it, on its first line; `None` if
    /// another statement does.
    pub(super) fn back(&self) -> Option<&str> {
        let is_whole = self.lines.len() > 1 || self.ends.0;
        Some(self.slice(self.lines.last()?)).filter(|_| is_whole)
    }

    fn slice(&self, range: &Range<usize>) -> &str {
        self.text.get(range.clone()).unwrap_or("")
    }
}
