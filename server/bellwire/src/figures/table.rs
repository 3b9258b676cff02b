//! Tables of figures, for a terminal.

use bellwire_plan::table;
use unicode_width::UnicodeWidthStr;

use crate::output::plain;

/// The widest that a column of names gets.
const WIDEST: usize = 24;

/// A table under a heading.
pub struct Table {
    title: &'static str,
    table: table::Table,
}

impl Table {
    /// An empty table; a column whose title starts with a blank leans right.
    pub fn new(title: &'static str, columns: &[&str]) -> Table {
        Table {
            title,
            table: table::Table::new(columns),
        }
    }

    /// Adds a row, a cell for each column.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        // Nothing stands behind the last column, which may be long.
        let last = self.table.columns.len().saturating_sub(1);
        let cells = cells.into_iter().enumerate();
        self.table.row(cells.map(|(column, cell)| {
            let cell = plain(&cell);
            match column < last {
                true => shorten(&cell),
                false => cell.into(),
            }
        }));
    }

    /// The table's lines behind an empty one, in so many columns, if they are counted; nothing
    /// if there are no rows.
    pub fn write(&self, out: &mut String, most: Option<usize>) {
        if self.table.rows.is_empty() {
            return;
        }
        let title = ["", self.title].map(String::from);
        let lines = match most.is_none_or(|most| self.fits(most)) {
            true => self.table.lines().collect(),
            false => self.below_each_other(),
        };
        for line in title.into_iter().chain(lines) {
            out.push_str(&line);
            out.push('\n');
        }
    }

    /// Whether the lines fit into so many columns. A last cell that leans left may go on in
    /// the next line of the terminal.
    fn fits(&self, most: usize) -> bool {
        let titled = usize::from(self.table.is_titled());
        let leans_left = self.table.columns.last().is_some_and(|last| !last.right);
        let mut lines = self.table.lines().enumerate();
        lines.all(|(index, line)| {
            let row = index
                .checked_sub(titled)
                .and_then(|row| self.table.rows.get(row));
            let last = row.and_then(|row| row.last()).filter(|_| leans_left);
            let open = last.map_or(0, |last| last.width());
            line.width().saturating_sub(open) <= most
        })
    }

    /// Each row by itself under its first cell, every other in a line of its own behind the
    /// title of its column.
    fn below_each_other(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for row in &self.table.rows {
            let mut cells = self.table.columns.iter().zip(row);
            let name = cells.next().map_or("", |(_, name)| name);
            if !name.is_empty() {
                lines.push(format!("  {name}"));
            }
            let mut own = table::Table::new(&["", ""]);
            for (column, cell) in cells.filter(|(_, cell)| !cell.is_empty()) {
                own.row([column.title.clone(), cell.clone()]);
            }
            lines.extend(own.lines().map(|line| format!("  {line}")));
        }
        lines
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

#[cfg(test)]
mod tests {
    use super::*;

    fn written(most: Option<usize>) -> String {
        let mut table = Table::new("Zones, ohms", &["zone", " least", "reads as"]);
        let row = |cells: [&str; 3]| cells.map(String::from);
        table.row(row(["main 2", "993", "normal"]));
        table.row(row(["", "1983", "alarm"]));
        let mut text = String::new();
        table.write(&mut text, most);
        text
    }

    #[test]
    fn a_table_that_does_not_fit_has_a_line_for_each_cell() {
        let wide = "
Zones, ohms
  zone    least  reads as
  main 2    993  normal
           1983  alarm
";
        assert_eq!(written(None), wide);
        assert_eq!(written(Some(25)), wide);
        let narrow = "
Zones, ohms
  main 2
    least     993
    reads as  normal
    least     1983
    reads as  alarm
";
        assert_eq!(written(Some(24)), narrow);
    }
}
