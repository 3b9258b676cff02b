//! The canonical layout.

use bellwire_assist::{self as assist, Edit};
use tower_lsp::ls_types::{Position, Range, TextEdit};

use crate::serve::snapshot::Snapshot;

/// The whole file.
pub fn whole(file: &Snapshot) -> Vec<TextEdit> {
    edits(file, assist::format(&file.entry))
}

/// The lines of a range.
pub fn range(file: &Snapshot, range: Range) -> Vec<TextEdit> {
    edits(file, assist::format_range(&file.entry, file.bytes(range)))
}

/// What a character that was typed asks for.
pub fn typed(file: &Snapshot, position: Position, typed: &str) -> Vec<TextEdit> {
    edits(
        file,
        assist::on_type(&file.entry, file.offset(position), typed),
    )
}

fn edits(file: &Snapshot, edits: Vec<Edit>) -> Vec<TextEdit> {
    let mut places = file.places();
    let edits = edits.into_iter();
    edits
        .map(|edit| TextEdit::new(places.range(&edit.range), edit.text))
        .collect()
}
