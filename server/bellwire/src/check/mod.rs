//! `bellwire check`: what is wrong with the plans.

mod json;
mod sarif;
mod text;

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::finding::Severity;
use bellwire_plan::source::{Encoding, File, FilePath};
use bellwire_plan::workspace::Located;

use rayon::prelude::*;

use crate::args::{CheckArgs, CheckFormat};
use crate::load::Loaded;
use crate::today::today;
use crate::{Failure, Outcome, output};

/// A finding and the file that it is in.
pub struct Row {
    /// The file.
    pub file: Arc<File>,
    /// The finding, with its place.
    pub located: Located,
}

/// Lines and columns from 1, columns in characters; the end is behind the last character.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Region {
    pub line: u32,
    pub column: u32,
    pub end_line: u32,
    pub end_column: u32,
}

impl Region {
    /// The region of a byte range.
    pub fn of(file: &File, range: &Range<usize>) -> Region {
        let start = file.text().position(range.start, Encoding::Utf32);
        let end = file.text().position(range.end, Encoding::Utf32);
        Region {
            line: start.line + 1,
            column: start.column + 1,
            end_line: end.line + 1,
            end_column: end.column + 1,
        }
    }
}

/// A place that belongs to a finding: its file, where in it, and what it is there.
pub struct Related<'a> {
    pub file: &'a FilePath,
    pub region: Region,
    pub message: &'a str,
}

impl Row {
    /// The other places that belong to the finding.
    pub fn related(&self) -> impl Iterator<Item = Related<'_>> {
        let related = self.located.related.iter();
        related.map(|(file, range, message)| Related {
            file: file.path(),
            region: Region::of(file, range),
            message,
        })
    }

    /// Whether it counts: it has not been accepted.
    pub fn counts(&self) -> bool {
        self.located.finding.accepted.is_none()
    }
}

/// Runs the command.
///
/// # Errors
/// The plans cannot be read, or the output cannot be written.
pub fn run(args: &CheckArgs) -> Result<Outcome, Failure> {
    let plans = Loaded::new(&args.plans, args.today.unwrap_or_else(today))?;
    let rows = rows(&plans);
    let text = match args.format {
        CheckFormat::Text => {
            let colour = output::in_colour(args.colour);
            text::write(&plans, &rows, colour, output::columns())
        }
        CheckFormat::Json => json::write(&plans, &rows)?,
        CheckFormat::Sarif => sarif::write(&plans, &rows)?,
    };
    output::write(&text)?;
    let is_error = |row: &Row| row.counts() && row.located.finding.severity == Severity::Error;
    match rows.iter().any(is_error) {
        true => Ok(Outcome::Found),
        false => Ok(Outcome::Clean),
    }
}

/// All findings, in the order of the files' names and of the text.
fn rows(plans: &Loaded) -> Vec<Row> {
    let of_file = |path: &FilePath| -> Vec<Row> {
        let Some(entry) = plans.view.faulty(path) else {
            return Vec::new();
        };
        let row = |located| Row {
            file: entry.file.clone(),
            located: with_use(plans, path, located),
        };
        let found = plans.view.findings(&entry).into_iter();
        found.map(row).collect()
    };
    let paths = plans.view.paths();
    paths.par_iter().flat_map_iter(of_file).collect()
}

/// A finding that lacks a name, with the file that declares it and the `use` that it
/// takes. Where a finding goes out as it is found, in an editor, that is a quick fix.
fn with_use(plans: &Loaded, own: &FilePath, mut located: Located) -> Located {
    let lack = located.finding.lacks.as_deref();
    let declared = lack.and_then(|lack| plans.view.declared(lack));
    if let Some((file, range)) = declared.and_then(|spot| plans.view.locate(&spot)) {
        let message = match own.way_to(file.path()) {
            Some(way) => format!("declared here: add `use \"{way}\"`"),
            None => "declared here, in a file that no `use` can name: give it a name without quotes and line breaks".to_string(),
        };
        located.related.push((file, range, message));
    }
    located
}
