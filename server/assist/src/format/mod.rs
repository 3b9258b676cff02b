//! The canonical layout: two blanks for each block, one between words, and columns
//! where lines of one kind follow each other.
//!
//! A statement never spans lines, so lines are laid out one by one; `line` says
//! what one is made of, `read` makes them of statements, `columns` aligns
//! neighbours, and `layout` tells what is to change. The lines inside a
//! top-level statement depend on nothing else, and what is to change about them
//! is kept with it, so that an edit costs the statement that it is in. What
//! cannot be read stays as it is. Where braces do not match, indentation is all
//! that says what belongs where: there, only whole statements are laid out, and
//! only where they stand as deep as they should. Whatever comes out must read
//! the same as before, or nothing is changed.

mod cells;
mod columns;
mod gap;
mod layout;
mod line;
mod read;
mod sheet;
#[cfg(test)]
mod tests;
mod words;

use std::ops::Range;

use bellwire_plan::source::{BREAKS, File};

use crate::edit::{Edit, applied, line_break};
use columns::align;
use gap::Gap;
use layout::{Change, read_the_same};
use line::Line;
use sheet::Sheet;

/// The changes that bring a file into the canonical layout, a line each, in the
/// order of the text.
pub fn format(file: &File) -> Vec<Edit> {
    let mut edits = edits(file, 0..usize::MAX);
    let text = file.text();
    let end = text.len();
    if end > 0 && !text.slice(end - 1..end).ends_with(BREAKS) {
        let last = text.line(text.lines() - 1);
        match edits.last_mut().filter(|edit| edit.range.end == end) {
            Some(edit) => edit.text += line_break(file),
            None if last.is_empty() => {}
            None => edits.push(Edit {
                range: end..end,
                text: line_break(file).to_string(),
            }),
        }
    }
    edits
}

/// The same for the lines that `range` touches.
pub fn format_range(file: &File, range: Range<usize>) -> Vec<Edit> {
    edits(file, range)
}

/// A line outside of all blocks, as it stands in the file.
struct Outside<'a> {
    range: Range<usize>,
    old: &'a str,
    /// The statement that starts on it.
    sheet: Option<&'a Sheet<'a>>,
}

/// The lines that `wanted` touches and that are to change.
fn edits(file: &File, wanted: Range<usize>) -> Vec<Edit> {
    if file.unreadable_because().is_some() {
        return Vec::new();
    }
    let gaps = Gap::all(file);
    let between = gaps.iter().zip(gaps.iter().skip(1));
    let sheets: Vec<_> = file
        .items()
        .zip(between)
        .map(|((start, item), (above, below))| Sheet::new(start, item, above, below))
        .collect();
    let (mut lines, places) = outside(file, &gaps, &sheets);
    align(&mut lines);
    let mut edits = Vec::new();
    let mut draft = String::new();
    for (line, place) in lines.iter().zip(places) {
        line.write(&mut draft);
        edits.extend(
            place
                .edits(&draft, &wanted)
                .into_iter()
                .map(|(range, text)| Edit { range, text }),
        );
    }
    // A broken statement's text by itself does not tell how it reads in its place.
    match file.is_by_indent() && !read_the_same(file, &applied(file, &edits)) {
        true => Vec::new(),
        false => edits,
    }
}

/// The lines outside of all blocks, and where they stand.
fn outside<'a>(
    file: &File,
    gaps: &'a [Gap],
    sheets: &'a [Option<Sheet<'a>>],
) -> (Vec<Line<'a>>, Vec<Outside<'a>>) {
    let (mut lines, mut places) = (Vec::new(), Vec::new());
    let mut items = file.items();
    let mut is_loose = file.items().next().is_none() && file.is_by_indent();
    for (index, gap) in gaps.iter().enumerate() {
        for (range, old) in gap.own_lines() {
            // Behind an open block, a comment may belong into it.
            lines.push(match is_loose {
                true => Line::left(old),
                false => Line::plain(old),
            });
            places.push(Outside {
                range,
                old,
                sheet: None,
            });
        }
        is_loose = items.next().is_some_and(|(_, item)| item.is_by_indent());
        let sheet = sheets.get(index).and_then(Option::as_ref);
        if let Some(sheet) = sheet {
            let head = sheet.head();
            lines.push(sheet.first());
            places.push(Outside {
                range: sheet.start + head.start..sheet.start + head.end,
                old: sheet.slice(&head),
                sheet: Some(sheet),
            });
        }
        if sheet.is_none_or(|sheet| sheet.head().end < sheet.text.len()) {
            // Whatever else stands there, lines before and behind it are not aligned.
            lines.push(Line::default());
            places.push(Outside {
                range: 0..0,
                old: "",
                sheet: None,
            });
        }
    }
    (lines, places)
}

impl Outside<'_> {
    /// What is to change about the line, which is to read `new`, and about the
    /// other lines of the statement on it, as far as `wanted` touches them;
    /// nothing if the statement would not say the same after it.
    fn edits(self, new: &str, wanted: &Range<usize>) -> Vec<Change> {
        let touches = |range: &Range<usize>| range.start <= wanted.end && wanted.start <= range.end;
        let mut edits = Vec::new();
        if new != self.old {
            edits.push((self.range, new.to_string()));
        }
        let sheet = self.sheet;
        let touched = sheet.filter(|sheet| touches(&(sheet.start..sheet.start + sheet.text.len())));
        if let Some(sheet) = touched {
            edits.extend(sheet.changes().iter().map(|(range, new)| {
                let range = sheet.start + range.start..sheet.start + range.end;
                (range, new.clone())
            }));
            edits.sort_by_key(|(range, _)| range.start);
        }
        edits.retain(|(range, _)| touches(range));
        let keeps = |sheet: &Sheet| {
            let edits = edits.iter().map(|(range, new)| {
                let range = range.start - sheet.start..range.end - sheet.start;
                (range, new.as_str())
            });
            sheet.keeps(edits)
        };
        match edits.is_empty() || touched.is_none_or(keeps) {
            true => edits,
            false => Vec::new(),
        }
    }
}
