//! Where else a name stands.

use bellwire_assist::{self as assist, References};
use tower_lsp::ls_types::{
    DocumentHighlight, DocumentHighlightKind, LinkedEditingRanges, Location, Position,
};

use crate::serve::snapshot::Snapshot;

/// Everywhere in the workspace.
pub fn references(file: &Snapshot, position: Position, with_declaration: bool) -> Vec<Location> {
    let offset = file.offset(position);
    let found = assist::references(&file.view, &file.entry, offset, with_declaration);
    let in_file = |found: References| {
        let uri = file.edge.uri(found.file.path())?;
        let mut positions = file.edge.positions(found.file.text());
        let found = found.places.iter();
        let found = found.map(|found| Location::new(uri.clone(), positions.range(&found.range)));
        Some(found.collect::<Vec<_>>())
    };
    found.filter_map(in_file).flatten().collect()
}

/// In this file.
pub fn highlights(file: &Snapshot, position: Position) -> Option<Vec<DocumentHighlight>> {
    let found = assist::highlights(&file.entry, file.offset(position));
    let mut positions = file.positions();
    let highlights = found.iter().map(|found| DocumentHighlight {
        range: positions.range(&found.range),
        kind: Some(match found.is_declaration {
            true => DocumentHighlightKind::WRITE,
            false => DocumentHighlightKind::READ,
        }),
    });
    Some(highlights.collect())
}

/// The places that are typed into together.
pub fn linked(file: &Snapshot, position: Position) -> Option<LinkedEditingRanges> {
    let places = assist::linked(&file.entry, file.offset(position));
    let ranges: Vec<_> = places.iter().map(|place| file.range(place)).collect();
    (!ranges.is_empty()).then_some(LinkedEditingRanges {
        ranges,
        word_pattern: None,
    })
}
