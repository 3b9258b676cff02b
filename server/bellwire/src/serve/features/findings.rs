//! Findings, as the protocol has them.

use bellwire_plan::finding::{Code, Severity};
use bellwire_plan::workspace::{Entry, Located, View};
use tower_lsp::ls_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    NumberOrString, Uri,
};

use crate::serve::convert::Positions;
use crate::serve::edge::Edge;
use crate::serve::shelf;
use crate::serve::shown::shown;

/// All findings of a file.
pub fn diagnostics(view: &View, entry: &Entry, edge: &Edge) -> Vec<Diagnostic> {
    let found = view.findings(entry);
    if found.is_empty() {
        // Most files have none: their text need not be made for its places.
        return Vec::new();
    }
    let mut positions = edge.positions(entry.file.text());
    let found = found.iter();
    found
        .map(|located| diagnostic(edge, &mut positions, located))
        .collect()
}

fn diagnostic(edge: &Edge, positions: &mut Positions, located: &Located) -> Diagnostic {
    let finding = &located.finding;
    let (severity, message) = match &finding.accepted {
        Some(reason) => (
            DiagnosticSeverity::HINT,
            format!("accepted ({reason}): {}", finding.message),
        ),
        None => (severity(finding.severity), finding.message.clone()),
    };
    let related = located.related.iter().filter_map(|(file, range, message)| {
        Some(DiagnosticRelatedInformation {
            location: edge.location(file, range)?,
            message: shown(message),
        })
    });
    let related: Vec<_> = related.collect();
    Diagnostic {
        range: positions.range(&located.range),
        severity: Some(severity),
        code: Some(NumberOrString::String(finding.code.name().to_string())),
        code_description: explanation(edge, finding.code),
        source: Some("bellwire".to_string()),
        message: shown(&message),
        related_information: (!related.is_empty()).then_some(related),
        tags: (finding.code == Code::Unused).then(|| vec![DiagnosticTag::UNNECESSARY]),
        data: None,
    }
}

/// Where the code is explained.
fn explanation(edge: &Edge, code: Code) -> Option<CodeDescription> {
    if !edge.can.links_codes {
        return None;
    }
    let href = Uri::from_file_path(shelf::explanation(code)?)?;
    Some(CodeDescription { href })
}

fn severity(severity: Severity) -> DiagnosticSeverity {
    match severity {
        Severity::Error => DiagnosticSeverity::ERROR,
        Severity::Warning => DiagnosticSeverity::WARNING,
        Severity::Information => DiagnosticSeverity::INFORMATION,
    }
}
