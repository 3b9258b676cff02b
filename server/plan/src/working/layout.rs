//! A working as plain lines.

use super::{Part, Working};

impl Working {
    /// As lines of at most `width` characters, tables and notes alike; a table
    /// that needs more is as wide as it must be.
    pub fn lines(&self, width: usize) -> Vec<String> {
        let mut lines = vec![self.title.clone()];
        for Part {
            heading,
            table,
            notes,
        } in &self.parts
        {
            lines.extend([String::new(), heading.clone()]);
            lines.extend(table.lines());
            for note in notes {
                wrap(note, width, &mut lines);
            }
        }
        lines
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
