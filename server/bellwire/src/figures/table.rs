//! Tables of plain text.

use unicode_width::UnicodeWidthStr;

use crate::output::plain;

/// The widest that a column of names gets.
const WIDEST: usize = 24;

/// Which side a column leans to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
}

/// Rows under a heading. Columns are as wide as what is in them.
pub struct Table {
    title: &'static str,
    head: Vec<(&'static str, Side)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table; a column whose heading starts with a blank leans right.
    pub fn new(title: &'static str, head: &[&'static str]) -> Table {
        let side = |head: &&'static str| match head.strip_prefix(' ') {
            Some(head) => (head, Side::Right),
            None => (*head, Side::Left),
        };
        Table {
            title,
            head: head.iter().map(side).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row, a cell for each column.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        let mut cells: Vec<String> = cells.into_iter().map(|cell| plain(&cell).into()).collect();
        // Nothing stands behind the last column, which may be long.
        let last = self.head.len().saturating_sub(1);
        for cell in cells.iter_mut().take(last) {
            *cell = shorten(cell);
        }
        self.rows.push(cells);
    }

    /// The table's lines behind an empty one; nothing if there are no rows.
    pub fn write(&self, out: &mut String) {
        if self.rows.is_empty() {
            return;
        }
        let width = |column: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(column));
            let widest = cells.map(|cell| cell.width()).max().unwrap_or(0);
            let head = self.head.get(column).map_or(0, |(head, _)| head.width());
            widest.max(head)
        };
        let widths: Vec<usize> = (0..self.head.len()).map(width).collect();
        out.push('\n');
        out.push_str(self.title);
        out.push('\n');
        let mut line = |cells: &mut dyn Iterator<Item = &str>| {
            let mut text = String::from(" ");
            for ((cell, width), (_, side)) in cells.zip(&widths).zip(&self.head) {
                let gap = " ".repeat(width.saturating_sub(cell.width()));
                text.push(' ');
                match side {
                    Side::Left => text.extend([cell, &gap]),
                    Side::Right => text.extend([&gap, cell]),
                }
                text.push(' ');
            }
            out.push_str(text.trim_end());
            out.push('\n');
        };
        line(&mut self.head.iter().map(|(head, _)| *head));
        for row in &self.rows {
            line(&mut row.iter().map(String::as_str));
        }
    }
}

fn shorten(text: &str) -> String {
    if text.width() <= WIDEST {
        return text.to_string();
    }
    let mut short = String::new();
    for c in text.chars() {
        if short.width() + 2 > WIDEST {
            break;
        }
        short.push(c);
    }
    short + "…"
}
