//! Giving things other names. What cannot be done is refused with a sentence.

use bellwire_assist as assist;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::ls_types::{Position, PrepareRenameResponse, WorkspaceEdit};

use super::edit::workspace_edit;
use crate::serve::snapshot::Snapshot;

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
    Ok(workspace_edit(file, edits))
}

fn refused(why: String) -> Error {
    Error {
        code: ErrorCode::ServerError(REQUEST_FAILED),
        message: why.into(),
        data: None,
    }
}
