//! What a request is answered from: one version of one file, and a view on the rest.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{FilePath, Text};
use bellwire_plan::workspace::{Entry, View};
use tower_lsp::ls_types as lsp;

use super::convert::{self, Positions};
use super::edge::Edge;
use super::settings::Settings;

/// The whole workspace, as it is.
#[derive(Clone)]
pub struct Everything {
    /// All files.
    pub view: View,
    /// How the client counts and names.
    pub edge: Edge,
}

/// One file as it was when the request came. Cheap to hand over.
pub struct Snapshot {
    /// All files.
    pub view: View,
    /// How the client counts and names.
    pub edge: Edge,
    /// What the user has set.
    pub settings: Arc<Settings>,
    /// The file, worked out.
    pub entry: Arc<Entry>,
}

impl Snapshot {
    /// The file's text.
    pub fn text(&self) -> &Text {
        self.entry.file.text()
    }

    /// The file's name.
    pub fn name(&self) -> &FilePath {
        self.entry.file.path()
    }

    /// The byte offset of a position in the file.
    pub fn offset(&self, position: lsp::Position) -> usize {
        convert::offset(self.text(), position, self.edge.can.encoding)
    }

    /// The bytes of a range in the file.
    pub fn bytes(&self, range: lsp::Range) -> Range<usize> {
        convert::bytes(self.text(), range, self.edge.can.encoding)
    }

    /// A byte range of the file as a range of the protocol.
    pub fn range(&self, range: &Range<usize>) -> lsp::Range {
        self.positions().range(range)
    }

    /// For many places of the file.
    pub fn positions(&self) -> Positions<'_> {
        self.edge.positions(self.text())
    }
}
