//! A working as plain lines.

use super::{Part, Working};

impl Working {
    /// As lines of at most `width` characters, tables and notes alike; a table
    /// that needs more is as wide as it must be.
    pub fn lines(&self, width: usize) -> Vec<String> {
        let mut lines = vec![self.title.clone()];
        for part in &self.parts {
            lines.push(String::new());
            part.write(width, &mut lines);
        }
        lines
    }
}

impl Part {
    fn write(&self, width: usize, lines: &mut Vec<String>) {
        lines.push(self.heading.clone());
        let widest = |index: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(index));
            let title = self.columns.get(index).map_or("", |column| column.title);
            let cells = cells.map(|cell| cell.chars().count());
            cells.max().unwrap_or(0).max(title.chars().count())
        };
        let widths: Vec<usize> = (0..self.columns.len()).map(widest).collect();
        let mut line = |cells: &mut dyn Iterator<Item = &str>| {
            let mut text = String::from(" ");
            for ((cell, width), column) in cells.zip(&widths).zip(&self.columns) {
                let gap = " ".repeat(width.saturating_sub(cell.chars().count()));
                text.push(' ');
                match column.right {
                    true => text.extend([&gap, cell]),
                    false => text.extend([cell, &gap]),
                }
                text.push(' ');
            }
            lines.push(text.trim_end().to_string());
        };
        if self.columns.iter().any(|column| !column.title.is_empty()) {
            line(&mut self.columns.iter().map(|column| column.title));
        }
        for row in &self.rows {
            line(&mut row.iter().map(String::as_str));
        }
        for note in &self.notes {
            wrap(note, width, lines);
        }
    }
}

/// A sentence over as many lines as it takes, indented.
fn wrap(text: &str, width: usize, lines: &mut Vec<String>) {
    let mut line = String::new();
    for word in text.split_whitespace() {
        let length = line.chars().count() + 1 + word.chars().count();
        if !line.is_empty() && length + 2 > width {
            lines.push(format!("  {line}"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(format!("  {line}"));
    }
}
