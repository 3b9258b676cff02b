//! Tables of plain text.

use unicode_width::UnicodeWidthStr;

/// Rows under titles.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// A cell for each column.
    pub rows: Vec<Vec<String>>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Above it; may be empty.
    pub title: String,
    /// Numbers lean right.
    pub right: bool,
}

impl Table {
    /// An empty table with the titles of its columns, which may be empty. A column whose
    /// title starts with a blank leans right.
    pub fn new(columns: &[&str]) -> Table {
        let column = |title: &&str| Column {
            title: title.trim_start().to_string(),
            right: title.starts_with(' '),
        };
        Table {
            columns: columns.iter().map(column).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row, a cell for each column.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Whether any column has a title.
    pub fn is_titled(&self) -> bool {
        self.columns.iter().any(|column| !column.title.is_empty())
    }

    /// A line for the titles, if there are any, and one for each row, without a break at
    /// the end. Columns are as wide as what is in them.
    pub fn lines(&self) -> impl Iterator<Item = String> {
        let widest = |(index, column): (usize, &Column)| {
            let cells = self.rows.iter().filter_map(|row| row.get(index));
            let widths = cells.map(|cell| cell.width());
            widths.fold(column.title.width(), usize::max)
        };
        let widths: Vec<usize> = self.columns.iter().enumerate().map(widest).collect();
        let titles = || {
            self.columns
                .iter()
                .map(|column| column.title.as_str())
                .collect()
        };
        let titles: Option<Vec<&str>> = self.is_titled().then(titles);
        let rows = self.rows.iter().map(|row| row.iter().map(String::as_str));
        let lines = titles.into_iter().chain(rows.map(Iterator::collect));
        lines.map(move |cells| self.line(&cells, &widths))
    }

    fn line(&self, cells: &[&str], widths: &[usize]) -> String {
        let mut line = String::from(" ");
        for ((cell, width), column) in cells.iter().zip(widths).zip(&self.columns) {
            let gap = " ".repeat(width.saturating_sub(cell.width()));
            line.push(' ');
            match column.right {
                true => line.extend([&gap, *cell]),
                false => line.extend([*cell, &gap]),
            }
            line.push(' ');
        }
        line.truncate(line.trim_end().len());
        line
    }
}
