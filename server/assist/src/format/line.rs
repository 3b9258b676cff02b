//! What a line of text is made of, and how it reads in the canonical layout.

use bellwire_plan::vocabulary::Context;

/// A line of a file.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// As it is, without blanks at the end.
    pub old: String,
    /// How deep it stands; `None` where it stays as it is.
    pub depth: Option<usize>,
    /// What it says, in cells; empty for a comment or a brace alone.
    pub cells: Vec<Cell>,
    /// Lines of the same class that follow each other are aligned.
    pub class: Option<Class>,
    /// What stands behind its cells: a block, or nothing.
    pub tail: String,
    /// The comment at its end, and the column at which it starts.
    pub comment: Option<(String, usize)>,
}

/// A piece of a line.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    /// Its text, with the comma that follows.
    pub text: String,
    /// The same in the lines that this cell is aligned with.
    pub column: Column,
    /// The text, filled up with blanks.
    pub width: usize,
}

/// What makes cells of neighbouring lines a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

/// Which lines are like each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// Things that have a model: devices.
    Things(Context),
    /// Things without: zones, partitions.
    Numbered(&'static str),
    /// Everything else: `standby 45 mA`.
    Properties,
}

impl Cell {
    pub(super) fn new(text: String, column: Column) -> Cell {
        Cell {
            width: width(&text),
            text,
            column,
        }
    }
}

impl Line {
    /// A line of which nothing is known yet: blank, a comment, or left as it is.
    pub(super) fn plain(text: &str) -> Line {
        let old = text.trim_end().to_string();
        let is_comment = old.trim_start().starts_with('#');
        Line {
            // A blank at the end may be part of a text that is not closed.
            depth: is_comment.then_some(0),
            old: if old.is_empty() || is_comment {
                old
            } else {
                text.to_string()
            },
            cells: Vec::new(),
            class: None,
            tail: String::new(),
            comment: None,
        }
    }

    /// Whether it is nothing but a comment.
    pub(super) fn is_comment(&self) -> bool {
        self.cells.is_empty() && self.old.trim_start().starts_with('#')
    }

    /// The line in the canonical layout.
    pub(super) fn text(&self) -> String {
        let Some(depth) = self.depth else {
            return self.old.clone();
        };
        let mut text = "  ".repeat(depth);
        if self.cells.is_empty() && self.tail.is_empty() {
            return text + self.old.trim();
        }
        for cell in self.cells.iter().filter(|cell| cell.width > 0) {
            text += &cell.text;
            let blanks = cell.width.saturating_sub(width(&cell.text)) + 1;
            text.extend(std::iter::repeat_n(' ', blanks));
        }
        text += &self.tail;
        text.truncate(text.trim_end().len());
        if let Some((comment, column)) = &self.comment {
            let blanks = column.saturating_sub(width(&text)).max(1);
            text.extend(std::iter::repeat_n(' ', blanks));
            text += comment.trim_end();
        }
        text
    }
}

/// How many columns a text takes.
pub(super) fn width(text: &str) -> usize {
    text.chars().count()
}
