//! What lies between two statements.

use std::ops::Range;

use bellwire_plan::source::File;

use super::line::lines;

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
