//! Findings for programs.

use serde::Serialize;

use super::{Region, Row};
use crate::load::Loaded;

#[derive(Serialize)]
struct Report<'a> {
    findings: Vec<Finding<'a>>,
    sites: usize,
    files: usize,
}

#[derive(Serialize)]
struct Finding<'a> {
    code: &'static str,
    severity: &'static str,
    file: String,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    message: &'a str,
    site: Option<&'a str>,
    accepted: Option<&'a str>,
    related: Vec<Related<'a>>,
}

#[derive(Serialize)]
struct Related<'a> {
    file: String,
    line: u32,
    column: u32,
    message: &'a str,
}

/// The findings as one JSON object.
///
/// # Errors
/// See [`crate::output::json`].
pub fn write(plans: &Loaded, rows: &[Row]) -> std::io::Result<String> {
    let (files, sites) = plans.view.counts();
    let report = Report {
        findings: rows.iter().map(|row| finding(plans, row)).collect(),
        sites,
        files,
    };
    crate::output::json(&report)
}

fn finding<'a>(plans: &'a Loaded, row: &'a Row) -> Finding<'a> {
    let Region {
        line,
        column,
        end_line,
        end_column,
    } = Region::of(&row.file, &row.located.range);
    let found = &row.located.finding;
    Finding {
        code: found.code.name(),
        severity: found.severity.name(),
        file: plans.relative(row.file.path()),
        line,
        column,
        end_line,
        end_column,
        message: &found.message,
        site: row.located.site.as_deref(),
        accepted: found.accepted.as_deref(),
        related: row
            .related()
            .map(|related| Related {
                file: plans.relative(related.file),
                line: related.region.line,
                column: related.region.column,
                message: related.message,
            })
            .collect(),
    }
}
