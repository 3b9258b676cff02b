//! Edits, of one file or of several.

use bellwire_assist::{Edit, FileEdits};
use tower_lsp::ls_types::{
    DocumentChanges, OneOf, OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit,
    WorkspaceEdit,
};

use crate::serve::convert::Positions;
use crate::serve::edge::Edge;
use crate::serve::snapshot::Snapshot;

/// Edits of a text with these places.
pub fn text_edits(mut positions: Positions, edits: Vec<Edit>) -> Vec<TextEdit> {
    let edits = edits.into_iter();
    edits
        .map(|edit| TextEdit::new(positions.range(&edit.range), edit.text))
        .collect()
}

/// Edits of the file that was asked about, as a change of the workspace.
pub fn own_edit(asked: &Snapshot, edits: Vec<Edit>) -> WorkspaceEdit {
    let file = asked.entry.file.clone();
    workspace_edit(&asked.edge, [FileEdits { file, edits }])
}

/// Edits as one change of the workspace. Each file has the version that they were worked out
/// from, so that a client whose user has typed since can refuse them.
pub fn workspace_edit(edge: &Edge, files: impl IntoIterator<Item = FileEdits>) -> WorkspaceEdit {
    let changes = files.into_iter().filter_map(|FileEdits { file, edits }| {
        let edits = text_edits(edge.positions(file.text()), edits);
        Some((edge.uri(file.path())?, file.version(), edits))
    });
    if !edge.can.versioned_edits {
        return WorkspaceEdit::new(changes.map(|(uri, _, edits)| (uri, edits)).collect());
    }
    let documents = changes.map(|(uri, version, edits)| TextDocumentEdit {
        text_document: OptionalVersionedTextDocumentIdentifier { uri, version },
        edits: edits.into_iter().map(OneOf::Left).collect(),
    });
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(documents.collect())),
        ..WorkspaceEdit::default()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use bellwire_assist as assist;
    use bellwire_plan::day::Day;
    use bellwire_plan::source::{Change, File, FilePath};
    use bellwire_plan::workspace::{NoFiles, Workspace};
    use serde_json::json;

    use super::*;
    use crate::serve::abilities::Abilities;

    #[test]
    fn edits_are_for_the_version_they_were_worked_out_from() {
        let catalog = "model keypad K2 \"Two-line keypad\" { }\n";
        let site = "use \"catalog.bell\"\nsite quay { keypad front : K2 }\n";
        let path = |name| FilePath::new(name);
        let file = |name, text| File::new(path(name), text);
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        workspace.put(vec![
            file("/catalog.bell", catalog).with_version(4),
            file("/site.bell", site).with_version(7),
        ]);
        let view = workspace.view();
        let asked = view.entry(&path("/catalog.bell")).unwrap();
        let edits = assist::rename(&view, &asked, catalog.find("K2").unwrap(), "K3").unwrap();
        let edits: Vec<_> = edits.collect();
        // Meanwhile the user writes a line above.
        let line = Change {
            range: Some(0..0),
            text: "# a note\n".to_string(),
        };
        let site = view.file(&path("/site.bell")).unwrap();
        workspace.put(vec![site.edit(&[line]).with_version(8)]);
        let client = json!({"workspace": {"workspaceEdit": {"documentChanges": true}}});
        let can = Abilities::new(&serde_json::from_value(client).unwrap());
        let sent = json!(workspace_edit(&Edge::new(can, Arc::default()), edits));
        let edit = |name, version, line, from, to| {
            let range = json!({
                "start": {"line": line, "character": from},
                "end": {"line": line, "character": to},
            });
            json!({
                "textDocument": {"uri": format!("file:///{name}.bell"), "version": version},
                "edits": [{"range": range, "newText": "K3"}],
            })
        };
        let expected = [edit("catalog", 4, 0, 13, 15), edit("site", 7, 1, 27, 29)];
        assert_eq!(sent["documentChanges"], json!(expected));
    }
}
