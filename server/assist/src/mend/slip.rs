//! Slips of the hand, each written as it is meant.

use std::ops::Range;

use bellwire_plan::workspace::{Entry, Located};

use super::Proposal;
use crate::edit::Edit;

/// Quotes that word processors make of straight ones.
const CURLY: &[char] = &['“', '”', '„', '‟', '«', '»', '‘', '’'];

/// What the text of a finding would be without the slip in it.
pub(super) fn corrected(entry: &Entry, found: &Located) -> Option<Proposal> {
    let text = entry.file.text();
    let at = found.range.clone();
    let written = text.slice(at.clone());
    let (title, range, meant) = if written.starts_with(CURLY) {
        let line = text.line(text.line_of(at.start));
        let rest = at.start..line.end;
        let meant = text.slice(rest.clone()).replace(CURLY, "\"");
        ("Write straight quotes", rest, meant)
    } else if let Some(comment) = written.strip_prefix("//") {
        let meant = format!("#{comment}");
        ("Start the comment with `#`", at, meant)
    } else if text.slice(comma(entry, found)) == "," {
        (
            "Write a decimal point",
            comma(entry, found),
            ".".to_string(),
        )
    } else if let Some(date) = slashed_date(&text.slice(at.start..at.start + 10)) {
        let range = at.start..at.start + date.len();
        ("Write the date with hyphens", range, date)
    } else {
        return None;
    };
    let edit = Edit {
        path: entry.file.path().clone(),
        range,
        text: meant,
    };
    Some(Proposal::new(title, vec![edit]).slip())
}

/// Where the comma between a number and its decimals would be: at the start of
/// the finding, or behind it.
fn comma(entry: &Entry, found: &Located) -> Range<usize> {
    let text = entry.file.text();
    let starts_so = text.slice(found.range.clone()).starts_with(',');
    let start = if starts_so {
        found.range.start
    } else {
        found.range.end
    };
    let behind = text.slice(start + 1..start + 2);
    let is_decimal = behind.starts_with(|c: char| c.is_ascii_digit());
    start..start + usize::from(is_decimal)
}

/// `2025-03-14` for a text that starts with `2025/03/14`, or the same without the day.
fn slashed_date(text: &str) -> Option<String> {
    let is_part = |c: char| c.is_ascii_digit() || c == '/';
    let written = text.split(|c| !is_part(c)).next()?;
    let lengths: Vec<usize> = written.split('/').map(str::len).collect();
    matches!(lengths.as_slice(), [4, 2] | [4, 2, 2]).then(|| written.replace('/', "-"))
}
