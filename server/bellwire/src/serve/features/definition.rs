//! Going to where a name is declared.

use bellwire_assist::{self as assist, Target};
use tower_lsp::ls_types::{GotoDefinitionResponse, Position};

use crate::serve::snapshot::Snapshot;

/// Where the name is declared.
pub fn definition(file: &Snapshot, position: Position) -> Option<GotoDefinitionResponse> {
    let offset = file.offset(position);
    locations(file, assist::definition(&file.view, &file.entry, offset))
}

/// The model of the thing whose name it is.
pub fn type_definition(file: &Snapshot, position: Position) -> Option<GotoDefinitionResponse> {
    let offset = file.offset(position);
    locations(
        file,
        assist::type_definition(&file.view, &file.entry, offset),
    )
}

fn locations(file: &Snapshot, targets: Vec<Target>) -> Option<GotoDefinitionResponse> {
    let places = targets
        .iter()
        .filter_map(|target| file.edge.location(&target.file, &target.range));
    let places: Vec<_> = places.collect();
    (!places.is_empty()).then_some(GotoDefinitionResponse::Array(places))
}
