//! Changes to files, as plain data.

use std::ops::Range;

use bellwire_plan::source::{File, FilePath};

/// A replacement in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The file.
    pub path: FilePath,
    /// The bytes that go.
    pub range: Range<usize>,
    /// What comes in their place.
    pub text: String,
}

/// The line break that a file uses: that of its first line.
pub(crate) fn line_break(file: &File) -> &'static str {
    let text = file.text();
    let first = text.line(0).end;
    match text.slice(first..first + 2).as_str() {
        "\r\n" => "\r\n",
        other if other.starts_with('\r') => "\r",
        _ => "\n",
    }
}
