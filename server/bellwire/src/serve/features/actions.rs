//! Changes that mend findings.

use bellwire_assist::{self as assist, QuickFix};
use tower_lsp::ls_types::{
    CodeAction, CodeActionContext, CodeActionKind, CodeActionOrCommand, CodeActionResponse,
    NumberOrString, Range,
};

use super::edit::own_edit;
use crate::serve::shown::shown;
use crate::serve::snapshot::Snapshot;

/// The kind of the change that mends all slips of a file.
pub const FIX_ALL: CodeActionKind = CodeActionKind::new("source.fixAll.bellwire");

/// The fixes for what is found in a range, and the one for all slips of the file.
pub fn actions(file: &Snapshot, range: Range, context: &CodeActionContext) -> CodeActionResponse {
    if !file.edge.can.takes_changes {
        return Vec::new();
    }
    let wants = |kind: &CodeActionKind| {
        let only = context.only.as_ref();
        only.is_none_or(|only| only.iter().any(|wanted| is_sort_of(kind, wanted)))
    };
    let mut actions = Vec::new();
    let mut touches_slip = false;
    if wants(&CodeActionKind::QUICKFIX) {
        for fix in assist::mends(&file.view, &file.entry, file.bytes(range)) {
            touches_slip |= fix.slip;
            actions.push(action(file, fix, context));
        }
    }
    // A client that has not asked for it is offered it only where there is a slip.
    if wants(&FIX_ALL) && (context.only.is_some() || touches_slip) {
        actions.extend(all_slips(file));
    }
    actions
        .into_iter()
        .map(CodeActionOrCommand::CodeAction)
        .collect()
}

/// Whether a kind is another, or one of its sorts: `source.fixAll` of `source`.
fn is_sort_of(kind: &CodeActionKind, wanted: &CodeActionKind) -> bool {
    let rest = kind.as_str().strip_prefix(wanted.as_str());
    rest.is_some_and(|rest| wanted.as_str().is_empty() || rest.is_empty() || rest.starts_with('.'))
}

fn all_slips(file: &Snapshot) -> Option<CodeAction> {
    let edits = assist::mend_slips(&file.view, &file.entry)?;
    Some(CodeAction {
        title: "Correct all slips in this file".to_string(),
        kind: Some(FIX_ALL),
        edit: Some(own_edit(file, edits)),
        ..CodeAction::default()
    })
}

fn action(file: &Snapshot, fix: QuickFix, context: &CodeActionContext) -> CodeAction {
    let range = file.range(&fix.range);
    let code = NumberOrString::String(fix.code.name().to_string());
    let mends = context.diagnostics.iter();
    let mends = mends.filter(|found| found.range == range && found.code.as_ref() == Some(&code));
    CodeAction {
        title: shown(&fix.title),
        kind: Some(CodeActionKind::QUICKFIX),
        diagnostics: Some(mends.cloned().collect()),
        edit: Some(own_edit(file, fix.edits)),
        is_preferred: fix.preferred.then_some(true),
        ..CodeAction::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_is_a_sort_of_those_it_starts_with() {
        let sort = |wanted: &str| is_sort_of(&FIX_ALL, &CodeActionKind::from(wanted.to_string()));
        assert!(["", "source", "source.fixAll", "source.fixAll.bellwire"].map(sort) == [true; 4]);
        assert!(["quickfix", "source.fix", "source.fixAll.other"].map(sort) == [false; 3]);
    }
}
