//! Tables of figures, for a terminal.

use bellwire_plan::table;
use unicode_width::UnicodeWidthStr;

use crate::output::plain;

/// The widest that a column of names gets.
const WIDEST: usize = 24;

/// A table under a heading.
pub struct Table {
    title: &'static str,
    columns: usize,
    table: table::Table,
}

impl Table {
    /// An empty table; a column whose title starts with a blank leans right.
    pub fn new(title: &'static str, columns: &[&str]) -> Table {
        Table {
            title,
            columns: columns.len(),
            table: table::Table::new(columns),
        }
    }

    /// Adds a row, a cell for each column.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        // Nothing stands behind the last column, which may be long.
        let last = self.columns.saturating_sub(1);
        let cells = cells.into_iter().enumerate();
        self.table.row(cells.map(|(column, cell)| {
            let cell = plain(&cell);
            match column < last {
                true => shorten(&cell),
                false => cell.into(),
            }
        }));
    }

    /// The table's lines behind an empty one; nothing if there are no rows.
    pub fn write(&self, out: &mut String) {
        if self.table.rows.is_empty() {
            return;
        }
        let title = ["", self.title].map(String::from);
        for line in title.into_iter().chain(self.table.lines()) {
            out.push_str(&line);
            out.push('\n');
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
