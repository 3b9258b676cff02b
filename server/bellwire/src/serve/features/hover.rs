//! What is known of the thing under the cursor.

use bellwire_assist as assist;
use tower_lsp::ls_types::{Hover, HoverContents, Position};

use crate::serve::shown::markup;
use crate::serve::snapshot::Snapshot;

/// The hover at a position.
pub fn hover(file: &Snapshot, position: Position) -> Option<Hover> {
    let found = assist::hover(&file.view, &file.entry, file.offset(position))?;
    Some(Hover {
        contents: HoverContents::Markup(markup(file.edge.can.markdown, found.markdown)),
        range: Some(file.range(&found.range)),
    })
}
