//! Lines whose parts stand under each other, as the formatter lays them out.

/// Lines of parts; an empty part takes no room.
#[derive(Debug, Default)]
pub struct Columns(Vec<Vec<String>>);

impl Columns {
    /// Adds a line.
    pub fn line<const N: usize>(&mut self, parts: [&str; N]) {
        self.0.push(parts.map(String::from).to_vec());
    }

    /// The lines, indented; every part but a line's last is padded to its column's width.
    pub fn text(&self, indent: usize) -> String {
        let columns = self.0.iter().map(Vec::len).max().unwrap_or(0);
        let width = |column: usize| {
            let parts = self.0.iter().filter_map(|line| line.get(column));
            parts.map(|part| part.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(width).collect();
        let mut text = String::new();
        for line in &self.0 {
            let mut row = " ".repeat(indent);
            for (part, width) in line.iter().zip(&widths).filter(|(_, width)| **width > 0) {
                row.push_str(part);
                row.push_str(&" ".repeat(width - part.chars().count() + 1));
            }
            text.push_str(row.trim_end());
            text.push('\n');
        }
        text
    }
}
