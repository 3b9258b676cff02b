//! Edits of several files.

use std::collections::BTreeMap;

use bellwire_assist::Edit;
use bellwire_plan::source::FilePath;
use tower_lsp::ls_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit,
    WorkspaceEdit,
};

use crate::serve::snapshot::Snapshot;

/// Edits as one change of the workspace, each file with the version that it is for.
pub fn workspace_edit(file: &Snapshot, edits: Vec<Edit>) -> WorkspaceEdit {
    let mut by_file: BTreeMap<FilePath, Vec<OneOf<TextEdit, _>>> = BTreeMap::new();
    for edit in edits {
        let Some(target) = file.view.file(&edit.path) else {
            continue;
        };
        // The file that was asked about may have moved on since.
        let text = match edit.path == *file.name() {
            true => file.text(),
            false => target.text(),
        };
        let edit = (
            edit.path,
            TextEdit::new(file.edge.range(text, &edit.range), edit.text),
        );
        by_file.entry(edit.0).or_default().push(OneOf::Left(edit.1));
    }
    let documents = by_file.into_iter().filter_map(|(name, edits)| {
        let version = match name == *file.name() {
            true => file.version,
            false => file.edge.version(&name),
        };
        let uri = file.edge.uri(&name)?;
        Some(TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier { uri, version },
            edits,
        })
    });
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(documents.collect())),
        ..WorkspaceEdit::default()
    }
}
