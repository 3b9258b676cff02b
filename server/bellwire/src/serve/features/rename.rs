//! Giving things other names. What cannot be done is refused with a sentence.

use std::str::FromStr;

use bellwire_assist as assist;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::ls_types::{FileRename, Position, PrepareRenameResponse, Uri, WorkspaceEdit};

use super::edit::workspace_edit;
use crate::serve::shown::shown;
use crate::serve::snapshot::{Everything, Snapshot};

/// The protocol's code for a request that is well-formed but cannot be done.
const REQUEST_FAILED: i64 = -32803;

/// The name under the cursor, if it can be changed.
pub fn prepare(file: &Snapshot, position: Position) -> Result<PrepareRenameResponse> {
    let found = assist::prepare_rename(&file.entry, file.offset(position)).map_err(refused)?;
    Ok(PrepareRenameResponse::RangeWithPlaceholder {
        range: file.range(&found.range),
        placeholder: found.name,
    })
}

/// The edits that change it everywhere.
pub fn rename(file: &Snapshot, position: Position, new: &str) -> Result<WorkspaceEdit> {
    let offset = file.offset(position);
    let edits = assist::rename(&file.view, &file.entry, offset, new).map_err(refused)?;
    Ok(workspace_edit(&file.edge, edits))
}

/// The edits that keep every `use` right when files move.
pub fn files(all: &Everything, renames: &[FileRename]) -> WorkspaceEdit {
    let name = |uri: &str| Some(all.edge.file_name(&Uri::from_str(uri).ok()?));
    let renames: Vec<_> = renames
        .iter()
        .filter_map(|rename| Some((name(&rename.old_uri)?, name(&rename.new_uri)?)))
        .collect();
    workspace_edit(&all.edge, assist::rename_files(&all.view, &renames))
}

fn refused(why: String) -> Error {
    Error {
        code: ErrorCode::ServerError(REQUEST_FAILED),
        message: shown(&why).into(),
        data: None,
    }
}
