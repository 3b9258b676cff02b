//! Edits of several files.

use std::collections::BTreeMap;

use bellwire_assist::Edit;
use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::View;
use tower_lsp::ls_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit,
    WorkspaceEdit,
};

use crate::serve::edge::Edge;
use crate::serve::snapshot::Snapshot;

/// Edits that were worked out for one file's version, and for others as they are now.
pub fn workspace_edit(file: &Snapshot, edits: Vec<Edit>) -> WorkspaceEdit {
    of_files(&file.view, &file.edge, edits, Some(file))
}

/// Edits as one change of the workspace, each file with the version that it is
/// for. The file that was `asked` about may have moved on since.
pub fn of_files(
    view: &View,
    edge: &Edge,
    edits: Vec<Edit>,
    asked: Option<&Snapshot>,
) -> WorkspaceEdit {
    let asked_as = |name: &FilePath| asked.filter(|asked| asked.name() == name);
    let mut by_file: BTreeMap<FilePath, Vec<TextEdit>> = BTreeMap::new();
    for edit in edits {
        let target = match asked_as(&edit.path) {
            Some(asked) => Some(asked.entry.file.clone()),
            None => view.file(&edit.path),
        };
        if let Some(target) = target {
            let change = TextEdit::new(edge.places(target.text()).range(&edit.range), edit.text);
            by_file.entry(edit.path).or_default().push(change);
        }
    }
    if !edge.can.versioned_edits {
        let changes = by_file.into_iter();
        let changes = changes.filter_map(|(name, edits)| Some((edge.uri(&name)?, edits)));
        return WorkspaceEdit::new(changes.collect());
    }
    let documents = by_file.into_iter().filter_map(|(name, edits)| {
        let version = match asked_as(&name) {
            Some(asked) => asked.version,
            None => edge.version(&name),
        };
        let uri = edge.uri(&name)?;
        Some(TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier { uri, version },
            edits: edits.into_iter().map(OneOf::Left).collect(),
        })
    });
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(documents.collect())),
        ..WorkspaceEdit::default()
    }
}
