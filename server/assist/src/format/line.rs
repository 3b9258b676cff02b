//! What a line of text is made of, and how it reads in the canonical layout.

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::vocabulary::Context;

/// A line of a file.
#[derive(Debug, Clone, Default)]
pub(super) struct Line<'a> {
    /// As it is; without blanks at the end where they mean nothing.
    pub old: &'a str,
    /// How deep it stands; `None` where it stays as it is.
    pub depth: Option<usize>,
    /// What it says, in cells; empty for a comment or a brace alone.
    pub cells: Vec<Cell<'a>>,
    /// Lines of the same class that follow each other are aligned.
    pub class: Option<Class>,
    /// What stands behind its cells: a block, or nothing.
    pub tail: Cow<'a, str>,
    /// The comment at its end, and the column at which it starts.
    pub comment: Option<(&'a str, usize)>,
}

/// A piece of a line.
#[derive(Debug, Clone)]
pub(super) struct Cell<'a> {
    /// Its text, without the comma that follows.
    pub text: Cow<'a, str>,
    /// Whether a comma follows.
    pub comma: bool,
    /// The same in the lines that this cell is aligned with.
    pub column: Column,
    /// How many columns it is given; none for a cell that is left out.
    pub width: usize,
}

/// What makes cells of neighbouring lines a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Column {
    /// The keyword.
    Keyword,
    /// The argument of that index.
    Argument(usize),
    /// `: MODEL`
    Model,
    /// The clause of that index, with this word.
    Clause(usize, &'static str),
    /// What follows goes on behind it, wherever that is.
    Free,
}

/// The kinds of lines that are aligned with each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// Things that have a model: devices.
    Things(Context),
    /// Things without: zones, partitions.
    Numbered(&'static str),
    /// Everything else: `standby 45 mA`.
    Properties,
}

impl<'a> Cell<'a> {
    pub(super) fn new(text: impl Into<Cow<'a, str>>, column: Column) -> Cell<'a> {
        let text = text.into();
        Cell {
            width: width(&text),
            text,
            comma: false,
            column,
        }
    }

    /// How many columns it takes.
    pub(super) fn own_width(&self) -> usize {
        width(&self.text) + usize::from(self.comma)
    }

    /// Puts a comma behind it.
    pub(super) fn end_with_comma(&mut self) {
        self.comma = true;
        self.width += 1;
    }
}

impl<'a> Line<'a> {
    /// A line of which nothing is known yet: blank, a comment, or left as it is.
    pub(super) fn plain(text: &'a str) -> Line<'a> {
        let trimmed = text.trim_end();
        let is_comment = is_comment(trimmed);
        Line {
            // A blank at the end may be part of a text that is not closed.
            old: match trimmed.is_empty() || is_comment {
                true => trimmed,
                false => text,
            },
            depth: is_comment.then_some(0),
            ..Line::default()
        }
    }

    /// A line that stays as it is, to the last blank.
    pub(super) fn left(old: &'a str) -> Line<'a> {
        Line {
            old,
            ..Line::default()
        }
    }

    /// Whether it is nothing but a comment.
    pub(super) fn is_comment(&self) -> bool {
        self.cells.is_empty() && is_comment(self.old)
    }

    /// Whether the line says what is written, in the same order.
    pub(super) fn differs_in_blanks_only(&self, old: &str) -> bool {
        let cells = self.cells.iter().flat_map(|cell| {
            let comma = if cell.comma { "," } else { "" };
            [cell.text.as_ref(), comma]
        });
        let comment = self.comment.map_or("", |(comment, _)| comment);
        let new = cells.chain([self.tail.as_ref(), comment]);
        let is_ink = |c: &char| !c.is_whitespace();
        let new = new.flat_map(str::chars).filter(is_ink);
        new.eq(old.chars().filter(is_ink))
    }

    /// The line in the canonical layout, in `text`.
    pub(super) fn write(&self, text: &mut String) {
        text.clear();
        let Some(depth) = self.depth else {
            *text += self.old;
            return;
        };
        pad(text, 2 * depth);
        if self.cells.is_empty() && self.tail.is_empty() {
            *text += self.old.trim();
            return;
        }
        // Blanks are written only before what comes behind them.
        let mut blanks = 0;
        for cell in &self.cells {
            let own = cell.own_width();
            if own == 0 && cell.width == 0 {
                continue;
            }
            if own > 0 {
                pad(text, blanks);
                blanks = 0;
                *text += &cell.text;
                text.extend(cell.comma.then_some(','));
            }
            blanks += cell.width.saturating_sub(own) + 1;
        }
        if !self.tail.is_empty() {
            pad(text, blanks);
            *text += &self.tail;
        }
        if let Some((comment, column)) = self.comment {
            pad(text, column.saturating_sub(width(text)).max(1));
            *text += comment.trim_end();
        }
    }
}

fn pad(text: &mut String, blanks: usize) {
    text.extend(std::iter::repeat_n(' ', blanks));
}

fn is_comment(line: &str) -> bool {
    line.trim_start().starts_with('#')
}

/// How many columns a text takes.
pub(super) fn width(text: &str) -> usize {
    text.chars().count()
}

/// The byte ranges of a text's lines, without their line breaks; LF, CR and
/// CRLF each end one.
pub(super) fn lines(text: &str) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut start = 0;
    let mut bytes = text.bytes().enumerate().peekable();
    while let Some((at, byte)) = bytes.next() {
        if byte == b'\n' || byte == b'\r' {
            lines.push(start..at);
            start = at + 1;
            if byte == b'\r' && bytes.next_if(|(_, next)| *next == b'\n').is_some() {
                start += 1;
            }
        }
    }
    lines.push(start..text.len());
    lines
}
