//! A top-level statement with the lines that it stands on.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{Item, line_before, line_behind};

use super::gap::Gap;
use super::line::width;

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

impl<'a> Sheet<'a> {
    /// The lines of an item between two gaps; `None` if it shares one with another
    /// item, which is a fault and stays as it is.
    pub(super) fn new(start: usize, item: &'a Item, above: &Gap, below: &Gap) -> Option<Sheet<'a>> {
        let (before, after) = (above.back()?, below.front()?);
        let text = match before.is_empty() && after.is_empty() {
            true => Cow::Borrowed(item.source()),
            false => Cow::Owned([before, item.source(), after].concat()),
        };
        Some(Sheet {
            item,
            text,
            base: before.len(),
            start: start - before.len(),
        })
    }

    /// Where the statement's first line stands in the text, its note left out.
    pub(super) fn head(&self) -> Range<usize> {
        let at = self.base + self.item.root().head.start as usize;
        let (before, behind) = (line_before(&self.text, at), line_behind(&self.text, at));
        at - before.len()..at + behind.len()
    }

    pub(super) fn slice(&self, range: &Range<usize>) -> &str {
        self.text.get(range.clone()).unwrap_or("")
    }

    /// Whether a place of the item is on a line.
    pub(super) fn is_on(&self, at: u32, line: &Range<usize>) -> bool {
        let at = self.base + at as usize;
        line.start <= at && at <= line.end
    }

    /// The comment of a line and its column, if besides it there is nothing on
    /// the line but what stands from `from` to `to`.
    pub(super) fn comment(
        &self,
        range: &Range<usize>,
        from: u32,
        to: u32,
    ) -> Option<Option<(&str, usize)>> {
        let base = self.base;
        let text: &str = &self.text;
        let before = text.get(range.start..base + from as usize)?;
        let after = text.get(base + to as usize..range.end)?;
        let rest = after.trim();
        if !before.trim().is_empty() || !(rest.is_empty() || rest.starts_with('#')) {
            return None;
        }
        Some((!rest.is_empty()).then(|| {
            let all = self.slice(range);
            (rest, width(all) - width(after.trim_start()))
        }))
    }
}
