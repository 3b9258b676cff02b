//! Findings as SARIF 2.1.0 (OASIS standard, *Static Analysis Results Interchange Format*).

use bellwire_plan::finding::{Code, Severity};
use serde_json::{Value, json};

use super::{Region, Row};
use crate::load::Loaded;
use crate::percent;

/// The findings as one SARIF log.
///
/// # Errors
/// See [`crate::output::json`].
pub fn write(plans: &Loaded, rows: &[Row]) -> std::io::Result<String> {
    let rules = Code::ALL.iter().map(|code| {
        json!({
            "id": code.name(),
            "shortDescription": {"text": code.title()},
            "fullDescription": {"text": code.explanation().why},
            "help": {"text": code.explanation().mend},
            "defaultConfiguration": {"level": level(code.severity())},
            "properties": {"family": code.family()},
        })
    });
    let log = json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "bellwire",
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": rules.collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "results": rows.iter().map(|row| result(plans, row)).collect::<Vec<_>>(),
        }],
    });
    crate::output::json(&log)
}

fn result(plans: &Loaded, row: &Row) -> Value {
    let found = &row.located.finding;
    let region = Region::of(&row.file, &row.located.range);
    let mut result = json!({
        "ruleId": found.code.name(),
        "ruleIndex": Code::ALL.iter().position(|code| *code == found.code),
        "level": level(found.severity),
        "message": {"text": found.message},
        "locations": [{"physicalLocation": place(plans.relative(row.file.path()), region)}],
    });
    let related: Vec<Value> = row
        .related()
        .enumerate()
        .map(|(id, related)| {
            json!({
                "id": id,
                "physicalLocation": place(plans.relative(related.file), related.region),
                "message": {"text": related.message},
            })
        })
        .collect();
    if !related.is_empty() {
        result["relatedLocations"] = related.into();
    }
    match &found.accepted {
        Some(reason) => {
            result["suppressions"] = json!([{"kind": "inSource", "justification": reason}]);
        }
        None => {
            if let Some(fix) = fix(plans, row) {
                result["fixes"] = json!([fix]);
            }
        }
    }
    result
}

/// The change that the check has worked out, which editors offer too.
fn fix(plans: &Loaded, row: &Row) -> Option<Value> {
    let mend = row.located.finding.mend.as_ref()?;
    let start = row.located.item_start()?;
    let replacements = mend.edits.iter().map(|(span, text)| {
        let range = start + span.start as usize..start + span.end as usize;
        json!({
            "deletedRegion": lines(Region::of(&row.file, &range)),
            "insertedContent": {"text": text},
        })
    });
    Some(json!({
        "description": {"text": mend.title},
        "artifactChanges": [{
            "artifactLocation": {"uri": uri(&plans.relative(row.file.path()))},
            "replacements": replacements.collect::<Vec<_>>(),
        }],
    }))
}

fn place(file: String, region: Region) -> Value {
    json!({"artifactLocation": {"uri": uri(&file)}, "region": lines(region)})
}

fn lines(region: Region) -> Value {
    json!({
        "startLine": region.line,
        "startColumn": region.column,
        "endLine": region.end_line,
        "endColumn": region.end_column,
    })
}

/// A relative path as a URI reference.
fn uri(path: &str) -> String {
    percent::encoded(path, |_, byte| byte == b'/')
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information => "note",
    }
}

#[cfg(test)]
mod tests {
    use super::uri;

    #[test]
    fn paths_become_uris() {
        assert_eq!(uri("../sites/Café 1.bell"), "../sites/Caf%C3%A9%201.bell");
    }
}
