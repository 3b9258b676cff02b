//! Findings for clients that ask for them. A result's id is a hash of it, so
//! what has not changed is not sent again.

use std::hash::{Hash, Hasher};

use rustc_hash::{FxHashMap, FxHasher};
use tower_lsp::ls_types::*;

use super::findings::diagnostics;
use crate::serve::snapshot::{Everything, Snapshot};

/// The findings of a file, unless the client has them as `known`.
pub fn one(file: &Snapshot, known: Option<&str>) -> DocumentDiagnosticReportResult {
    let found = diagnostics(&file.view, &file.entry, &file.edge);
    let id = id(&found);
    let report = match known == Some(&id) {
        true => RelatedUnchangedDocumentDiagnosticReport {
            related_documents: None,
            unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                result_id: id,
            },
        }
        .into(),
        false => full(found, Some(id)),
    };
    DocumentDiagnosticReportResult::Report(report)
}

/// The answer for a file that is not there.
pub fn none() -> DocumentDiagnosticReportResult {
    DocumentDiagnosticReportResult::Report(full(Vec::new(), None))
}

fn full(items: Vec<Diagnostic>, result_id: Option<String>) -> DocumentDiagnosticReport {
    RelatedFullDocumentDiagnosticReport {
        related_documents: None,
        full_document_diagnostic_report: FullDocumentDiagnosticReport { result_id, items },
    }
    .into()
}

/// The findings of all files that have some or had some, but for those that the client has.
pub fn all(all: &Everything, known: Vec<PreviousResultId>) -> WorkspaceDiagnosticReportResult {
    let known = known.into_iter();
    let mut known: FxHashMap<_, _> = known
        .map(|known| (all.edge.file_name(&known.uri), known.value))
        .collect();
    let mut items = Vec::new();
    for name in all.view.paths() {
        let (Some(entry), Some(uri)) = (all.view.faulty(&name), all.edge.uri(&name)) else {
            continue;
        };
        let found = diagnostics(&all.view, &entry, &all.edge);
        let version = entry.file.version().map(i64::from);
        let (id, before) = (id(&found), known.remove(&name));
        if before.as_ref() == Some(&id) {
            items.push(WorkspaceDocumentDiagnosticReport::Unchanged(
                WorkspaceUnchangedDocumentDiagnosticReport {
                    uri,
                    version,
                    unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                        result_id: id,
                    },
                },
            ));
        } else if before.is_some() || !found.is_empty() {
            items.push(workspace_full(uri, version, found, Some(id)));
        }
    }
    // Files that are gone, or in order by now, have nothing wrong with them.
    for name in known.into_keys() {
        let uri = all.edge.uri(&name).into_iter();
        items.extend(uri.map(|uri| workspace_full(uri, None, Vec::new(), None)));
    }
    WorkspaceDiagnosticReportResult::Report(WorkspaceDiagnosticReport { items })
}

fn workspace_full(
    uri: Uri,
    version: Option<i64>,
    items: Vec<Diagnostic>,
    result_id: Option<String>,
) -> WorkspaceDocumentDiagnosticReport {
    WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
        uri,
        version,
        full_document_diagnostic_report: FullDocumentDiagnosticReport { result_id, items },
    })
}

fn id(found: &[Diagnostic]) -> String {
    let mut hasher = FxHasher::default();
    serde_json::to_string(found)
        .unwrap_or_default()
        .hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}
