//! Figures between the words, and above panels and sites.

use bellwire_assist as assist;
use serde_json::json;
use tower_lsp::ls_types::{
    CodeLens, Command, InlayHint, InlayHintLabel, InlayHintTooltip, Location, Range,
};

use crate::serve::shown::shown;
use crate::serve::snapshot::Snapshot;

/// The command of a lens: takes the reader to a place.
pub const GO: &str = "bellwire.go";

/// The hints in a range.
pub fn hints(file: &Snapshot, range: Range) -> Vec<InlayHint> {
    let found = assist::hints(&file.entry, file.bytes(range), file.settings.hints);
    let mut positions = file.positions();
    let hint = |hint: assist::Hint| InlayHint {
        position: positions.position(hint.offset),
        label: InlayHintLabel::String(shown(&hint.label)),
        kind: None,
        text_edits: None,
        tooltip: Some(InlayHintTooltip::String(shown(&hint.tooltip))),
        padding_left: Some(true),
        padding_right: None,
        data: None,
    };
    found.into_iter().map(hint).collect()
}

/// The lenses of a file.
pub fn lenses(file: &Snapshot) -> Vec<CodeLens> {
    if !file.settings.lenses {
        return Vec::new();
    }
    let mut positions = file.positions();
    let lens = |lens: assist::Lens| {
        let uri = file
            .edge
            .uri(file.name())
            .filter(|_| file.edge.can.shows_documents);
        let place = uri.map(|uri| json!(Location::new(uri, file.range(&lens.target))));
        CodeLens {
            range: positions.range(&lens.range),
            command: Some(Command {
                title: shown(&lens.title),
                // Without a command a lens is mere text.
                command: place.as_ref().map_or("", |_| GO).to_string(),
                arguments: place.map(|place| vec![place]),
            }),
            data: None,
        }
    };
    assist::lenses(&file.entry).into_iter().map(lens).collect()
}
