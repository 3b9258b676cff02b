//! The canonical layout.

use bellwire_assist as assist;
use tower_lsp::ls_types::{Position, Range, TextEdit};

use super::edit::text_edits;
use crate::serve::snapshot::Snapshot;

/// The whole file.
pub fn whole(file: &Snapshot) -> Vec<TextEdit> {
    text_edits(file.positions(), assist::format(&file.entry.file))
}

/// The lines of a range.
pub fn range(file: &Snapshot, range: Range) -> Vec<TextEdit> {
    let edits = assist::format_range(&file.entry.file, file.bytes(range));
    text_edits(file.positions(), edits)
}

/// What a character that was typed asks for.
pub fn typed(file: &Snapshot, position: Position, typed: &str) -> Vec<TextEdit> {
    let edits = assist::on_type(&file.entry.file, file.offset(position), typed);
    text_edits(file.positions(), edits)
}
