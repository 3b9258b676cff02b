//! Changes to files, as plain data.

use std::cmp::Reverse;
use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{Change, File};

/// A replacement in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The bytes that go.
    pub range: Range<usize>,
    /// What comes in their place.
    pub text: String,
}

/// Replacements in one of several files.
#[derive(Debug)]
pub struct FileEdits {
    /// The version of the file that they are for.
    pub file: Arc<File>,
    /// The replacements, in the order of the text.
    pub edits: Vec<Edit>,
}

/// A text after changes that do not overlap, in the order of the text.
pub fn patched<'a>(text: &str, changes: impl Iterator<Item = (Range<usize>, &'a str)>) -> String {
    let mut new = String::with_capacity(text.len());
    let mut end = 0;
    for (range, change) in changes {
        new += text.get(end..range.start).unwrap_or("");
        new += change;
        end = range.end;
    }
    new + text.get(end..).unwrap_or("")
}

/// A file after edits of it that do not overlap.
pub(crate) fn applied(file: &File, edits: &[Edit]) -> File {
    let mut edits: Vec<&Edit> = edits.iter().collect();
    // From the end on, so that each stands where the text still is as it was.
    edits.sort_by_key(|edit| Reverse(edit.range.start));
    let changes = edits.into_iter().map(|edit| Change {
        range: Some(edit.range.clone()),
        text: edit.text.clone(),
    });
    file.edit(&changes.collect::<Vec<_>>())
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
