//! Links to the files that a file uses.

use bellwire_assist as assist;
use tower_lsp::ls_types::DocumentLink;

use crate::serve::snapshot::Snapshot;

/// A link for each path that leads to a file.
pub fn links(file: &Snapshot) -> Vec<DocumentLink> {
    let links = assist::links(&file.view, &file.entry);
    let mut positions = file.positions();
    let link = |link: assist::Link| DocumentLink {
        range: positions.range(&link.range),
        target: file.edge.uri(&link.target),
        tooltip: None,
        data: None,
    };
    links.into_iter().map(link).collect()
}
