//! Changes that mend findings.

use bellwire_assist::{self as assist, QuickFix};
use tower_lsp::ls_types::{
    CodeAction, CodeActionContext, CodeActionKind, CodeActionOrCommand, CodeActionResponse,
    NumberOrString, Range,
};

use super::edit::workspace_edit;
use crate::serve::snapshot::Snapshot;

/// The fixes for what is found in a range.
pub fn actions(file: &Snapshot, range: Range, context: &CodeActionContext) -> CodeActionResponse {
    let wanted = context.only.as_ref().is_none_or(|only| {
        only.iter()
            .any(|kind| [CodeActionKind::QUICKFIX, CodeActionKind::EMPTY].contains(kind))
    });
    if !wanted {
        return Vec::new();
    }
    let fixes = assist::mends(&file.view, &file.entry, file.bytes(range));
    let fixes = fixes.into_iter().map(|fix| action(file, fix, context));
    fixes.map(CodeActionOrCommand::CodeAction).collect()
}

fn action(file: &Snapshot, fix: QuickFix, context: &CodeActionContext) -> CodeAction {
    let range = file.range(&fix.range);
    let code = NumberOrString::String(fix.code.name().to_string());
    let mends = context.diagnostics.iter();
    let mends = mends.filter(|found| found.range == range && found.code.as_ref() == Some(&code));
    CodeAction {
        title: fix.title,
        kind: Some(CodeActionKind::QUICKFIX),
        diagnostics: Some(mends.cloned().collect()),
        edit: Some(workspace_edit(file, fix.edits)),
        is_preferred: fix.preferred.then_some(true),
        ..CodeAction::default()
    }
}
