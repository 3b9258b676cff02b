//! Changes to files, as plain data.

use std::cmp::Reverse;
use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{self, Change, File};

/// A replacement in a file.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
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

/// A piece of a text that was edited.
enum Piece {
    /// Bytes of the text as it was.
    Kept(Range<usize>),
    New(String),
}

impl Piece {
    fn len(&self) -> usize {
        match self {
            Piece::Kept(range) => range.len(),
            Piece::New(text) => text.len(),
        }
    }

    fn slice(&self, part: Range<usize>) -> Piece {
        match self {
            Piece::Kept(range) => Piece::Kept(range.start + part.start..range.start + part.end),
            Piece::New(text) => Piece::New(text.get(part).unwrap_or("").to_string()),
        }
    }
}

/// The text that `pieces` make, after edits of it that do not overlap.
fn edited(pieces: &[Piece], edits: &[Edit]) -> Vec<Piece> {
    // Parts are asked for in the order of the text: the pieces before one are done with.
    let (mut at, mut start) = (0, 0);
    let mut part = |part: Range<usize>| {
        let mut slices = Vec::new();
        while let Some(piece) = pieces.get(at) {
            let end = start + piece.len();
            let from = part.start.clamp(start, end) - start;
            let to = part.end.clamp(start, end) - start;
            if from < to {
                slices.push(piece.slice(from..to));
            }
            if end > part.end {
                break;
            }
            (at, start) = (at + 1, end);
        }
        slices
    };
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort_by_key(|edit| edit.range.start);
    let mut made = Vec::new();
    let mut end = 0;
    for edit in edits {
        made.extend(part(end..edit.range.start));
        made.push(Piece::New(edit.text.clone()));
        end = edit.range.end;
    }
    made.extend(part(end..usize::MAX));
    made
}

/// The edits of a file that do what `first` does, and then `more` to the text after that.
pub(crate) fn followed_by(file: &File, first: &[Edit], more: &[Edit]) -> Vec<Edit> {
    let length = file.text().len();
    let first = edited(&[Piece::Kept(0..length)], first);
    let end = Piece::Kept(length..length);
    let mut both = Vec::new();
    let (mut start, mut text) = (0, String::new());
    for piece in edited(&first, more).into_iter().chain([end]) {
        match piece {
            Piece::New(new) => text += &new,
            Piece::Kept(kept) => {
                if start < kept.start || !text.is_empty() {
                    both.push(Edit {
                        range: start..kept.start,
                        text: std::mem::take(&mut text),
                    });
                }
                start = kept.end;
            }
        }
    }
    both
}

/// The line break that a file uses: that of its first line.
pub(crate) fn line_break(file: &File) -> &'static str {
    let text = file.text();
    let first = text.line(0).end;
    source::line_break(&text.slice(first..first + 2), 0)
}

/// What the line of an offset is indented by.
pub(crate) fn indent_of(file: &File, offset: usize) -> String {
    let text = file.text();
    let line = text.slice(text.line(text.line_of(offset)));
    source::leading_blanks(&line).to_string()
}
