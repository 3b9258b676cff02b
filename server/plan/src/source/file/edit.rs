//! The next version of a file: what an edit touched is read again, the rest is kept.

use super::File;
use super::items::{Known, Placed, by_stretches, place};
use crate::source::lexer::{Lexer, Token};
use crate::source::lines::{BREAKS, indent, line_before};
use crate::source::reader;
use crate::source::span::Span;
use crate::source::stretch::stretches;
use crate::source::text::{Change, Text};

impl File {
    /// The next version: `changes`, one after the other, each in the text that
    /// the one before it left. Ranges that do not fit are moved into the text.
    pub fn edit(&self, changes: &[Change]) -> File {
        let mut text = self.text().clone();
        // What stays the same at either end of the text, in bytes.
        let (mut head, mut tail) = (usize::MAX, usize::MAX);
        for change in changes {
            let range = change.range.clone().unwrap_or(0..text.len());
            let start = text.floor(range.start);
            let old_end = text.floor(range.end).max(start);
            head = head.min(start);
            tail = tail.min(text.len() - old_end);
            text.replace(start..old_end, &change.text);
        }
        let kept = Kept {
            old: self,
            head,
            tail,
        };
        let items = kept.by_line(&text);
        let items = items.or_else(|| (!self.by_indent).then(|| kept.by_braces(&text))?);
        let items = items.or_else(|| kept.by_stretches(&text));
        match items {
            Some(items) => File::with(self.path.clone(), text.into(), items),
            None => {
                let contents = text.to_string();
                let known = Known::of(&self.items);
                File::of(self.path.clone(), text.into(), &contents, known)
            }
        }
    }
}

/// What an edit left alone of the version before.
pub(super) struct Kept<'a> {
    pub(super) old: &'a File,
    /// Bytes at the start that no change touched.
    pub(super) head: usize,
    /// Bytes at the end that no change touched.
    pub(super) tail: usize,
}

impl Kept<'_> {
    /// Whether the edit begins on the line on which the item before `first`
    /// ends: what comes there may go on with it.
    fn is_on_line_of(&self, first: usize, text: &Text) -> bool {
        let items = &self.old.items;
        let Some(before) = first.checked_sub(1).and_then(|before| items.get(before)) else {
            return false;
        };
        let next = items.get(first).map_or(self.head, |next| next.start);
        let between = text.slice(before.end()..next.min(self.head).max(before.end()));
        !between.contains(BREAKS)
    }

    /// The items of the new text, only those read again that the edit touched.
    /// `None` where that does not tell: the braces do not match any more.
    fn by_braces(&self, text: &Text) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let (first, mut last) = self.touched(text);
        loop {
            let start = match first.checked_sub(1) {
                Some(before) => old.get(before)?.end(),
                None => 0,
            };
            // On the line of the edit, a quote or a comment may now reach further.
            while old.get(last).is_some_and(|next| next.crowded) {
                last += 1;
            }
            let next = old.get(last);
            let end = next.map_or(text.len(), |next| self.shift(next.start, text));
            let region = text.slice(start..end);
            let (raws, rest) = reader::items(&region, first == 0).ok()?;
            if next.is_some() {
                let below = Span::new(region.len(), region.len());
                let joins = rest
                    .note
                    .is_some_and(|note| reader::is_next_line(&region, note, below));
                // The region's end says something about the item behind it.
                if joins || !rest.breaks || rest.in_comment {
                    last += 1;
                    continue;
                }
            }
            let mut known = Known::default();
            let raws = raws.into_iter();
            let read = raws.map(|raw| place(raw, &region, start, &self.old.path, &mut known));
            return self.joined(first, read.collect::<Option<_>>()?, last, text);
        }
    }

    /// The same for a text whose braces do not match. `None` where the old
    /// version does not tell either: all of the text is to be read again.
    fn by_stretches(&self, text: &Text) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let (first, last) = self.touched(text);
        // What lies between two items belongs to the first of them, and what
        // comes before all items to the first.
        let mut first = first.saturating_sub(1);
        while first > 0 && !self.starts_stretch(first) {
            first -= 1;
        }
        let mut last = last.max(first + 1).min(old.len());
        let is_one_stretch = |placed: &Placed| stretches(placed.item.source()).ranges.len() == 1;
        if !self.old.by_indent {
            let mut others = old.get(..first)?.iter().chain(old.get(last..)?);
            if !others.all(is_one_stretch) {
                return None;
            }
        }
        let start = old.get(first).filter(|_| first > 0);
        let start = start.map_or(0, |placed| placed.start);
        loop {
            while last < old.len() && !self.starts_stretch(last) {
                last += 1;
            }
            let next = old.get(last);
            let end = next.map_or(text.len(), |next| self.shift(next.start, text));
            let region = text.slice(start..end);
            // The edit may have put something before what comes behind it.
            let follows = next.is_some() && !starts_line(&region, next);
            if follows || next.is_some() && stretches(&region).ends_with_note {
                last += 1;
                continue;
            }
            let mut known = Known::of(old.get(first..last)?);
            let (read, loose) = by_stretches(&self.old.path, &region, start, &mut known);
            let items = self.joined(first, read, last, text)?;
            let is_told = loose.is_empty() && !is_balanced(&items, text);
            return is_told.then_some(items);
        }
    }

    /// The items that an edit touched: the first, and the one behind the last.
    fn touched(&self, text: &Text) -> (usize, usize) {
        let old = &self.old.items;
        let old_len = self.old.text().len();
        // The byte behind an item is part of what makes it end there, and the
        // one before it of what makes it start there.
        let mut first = old.partition_point(|placed| placed.end() < self.head);
        if self.is_on_line_of(first, text) {
            first -= 1;
        }
        let last = old.partition_point(|placed| old_len - placed.start >= self.tail);
        (first, last.max(first))
    }

    /// Where a place behind all changes is now.
    fn shift(&self, at: usize, text: &Text) -> usize {
        text.len() - (self.old.text().len() - at)
    }

    /// The old items before `first`, what was read, and the old ones from `last` on.
    pub(super) fn joined(
        &self,
        first: usize,
        read: Vec<Placed>,
        last: usize,
        text: &Text,
    ) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let mut items = Vec::with_capacity(old.len() + read.len());
        items.extend_from_slice(old.get(..first)?);
        items.extend(read);
        items.extend(old.get(last..)?.iter().map(|placed| Placed {
            start: self.shift(placed.start, text),
            ..placed.clone()
        }));
        Some(items)
    }

    /// Whether an item is the first of a stretch.
    fn starts_stretch(&self, index: usize) -> bool {
        self.old.items.get(index).is_some_and(|placed| {
            let item = &placed.item;
            match item.root().note {
                Some(_) => indent(item.source(), item.root().span.start as usize) == Some(0),
                None => {
                    let text = self.old.text();
                    text.line(text.line_of(placed.start)).start == placed.start
                }
            }
        })
    }
}

/// Whether an item that comes behind `region` still starts its line: it stands
/// at the margin, or, where a note begins it, behind nothing but blanks.
fn starts_line(region: &str, next: Option<&Placed>) -> bool {
    let line = line_before(region, region.len());
    match next.and_then(|placed| placed.item.root().note) {
        Some(_) => Lexer::new(line).peek() == Token::End,
        None => line.is_empty(),
    }
}

/// Whether the stretches of a text whose braces do not match make up for each
/// other, so that braces do tell what belongs where.
fn is_balanced(items: &[Placed], text: &Text) -> bool {
    let mut stretches = String::new();
    for (index, placed) in items.iter().enumerate() {
        if placed.item.by_indent {
            let start = if index == 0 { 0 } else { placed.start };
            let end = items.get(index + 1).map_or(text.len(), |next| next.start);
            stretches += &text.slice(start..end);
        }
    }
    !stretches.is_empty() && reader::items(&stretches, true).is_ok()
}
