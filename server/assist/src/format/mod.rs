//! The canonical layout: two blanks a block, one between words, and columns
//! where like lines follow each other.
//!
//! A statement never spans lines, so lines are laid out one by one; `line` says
//! what one is made of, `read` makes them of statements, and `columns` aligns
//! neighbours. The lines inside a top-level statement depend on nothing else,
//! and what is to change about them is kept with it, so that an edit costs the
//! statement that it is in. What cannot be read stays as it is. Where braces do
//! not match, indentation is all that says what belongs where: there, only
//! whole statements are laid out, and only where they stand as deep as they
//! should. Whatever comes out must read the same as before, or nothing is
//! changed.

mod columns;
mod line;
mod read;
mod sheet;
#[cfg(test)]
mod tests;
mod words;

use std::borrow::Cow;
use std::ops::Range;

use bellwire_plan::source::{File, Item};
use bellwire_plan::workspace::Entry;

use crate::edit::{Edit, applied, line_break};
use columns::align;
use line::Line;
use sheet::{Gap, Sheet, read_the_same};

/// The changes that bring a file into the canonical layout, a line each, in the
/// order of the text.
pub fn format(entry: &Entry) -> Vec<Edit> {
    let mut edits = edits(&entry.file, 0..usize::MAX);
    let text = entry.file.text();
    let end = text.len();
    if end > 0 && !text.slice(end - 1..end).ends_with(['\n', '\r']) {
        let last = text.line(text.lines() - 1);
        match edits.last_mut().filter(|edit| edit.range.end == end) {
            Some(edit) => edit.text += line_break(&entry.file),
            None if last.is_empty() => {}
            None => edits.push(Edit {
                path: entry.file.path().clone(),
                range: end..end,
                text: line_break(&entry.file).to_string(),
            }),
        }
    }
    edits
}

/// The same for the lines that `range` touches.
pub fn format_range(entry: &Entry, range: Range<usize>) -> Vec<Edit> {
    edits(&entry.file, range)
}

/// The lines that `wanted` touches and that are to change.
fn edits(file: &File, wanted: Range<usize>) -> Vec<Edit> {
    if file.unreadable_because().is_some() {
        return Vec::new();
    }
    let gaps = Gap::all(file);
    let sheets: Vec<_> = file
        .items()
        .zip(gaps.windows(2))
        .map(|((start, item), gaps)| sheet(start, item, gaps))
        .collect();
    // The lines outside of all blocks.
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
            places.push((range, old, None));
        }
        is_loose = items.next().is_some_and(|(_, item)| item.is_by_indent());
        let sheet = sheets.get(index).and_then(Option::as_ref);
        if let Some(sheet) = sheet {
            let head = sheet.head();
            lines.push(sheet.first());
            let range = sheet.start + head.start..sheet.start + head.end;
            places.push((range, sheet.slice(&head), Some(sheet)));
        }
        if sheet.is_none_or(|sheet| sheet.head().end < sheet.text.len()) {
            // What else stands there parts the lines around it.
            lines.push(Line::default());
            places.push((0..0, "", None));
        }
    }
    align(&mut lines);
    let touches = |range: &Range<usize>| range.start <= wanted.end && wanted.start <= range.end;
    let mut edits = Vec::new();
    let mut draft = String::new();
    for (line, (range, old, sheet)) in lines.iter().zip(places) {
        let mut own = Vec::new();
        line.write(&mut draft);
        if draft != old {
            own.push((range, draft.clone()));
        }
        let sheet = sheet.filter(|sheet| touches(&(sheet.start..sheet.start + sheet.text.len())));
        if let Some(sheet) = sheet {
            let changes = sheet.changes();
            own.extend(changes.iter().map(|(range, new)| {
                let range = sheet.start + range.start..sheet.start + range.end;
                (range, new.clone())
            }));
            own.sort_by_key(|(range, _)| range.start);
        }
        own.retain(|(range, _)| touches(range));
        let keeps = |sheet: &Sheet| {
            let own = own.iter().map(|(range, new)| {
                let range = range.start - sheet.start..range.end - sheet.start;
                (range, new.as_str())
            });
            sheet.keeps(own)
        };
        if !own.is_empty() && sheet.is_none_or(keeps) {
            edits.extend(own.into_iter().map(|(range, text)| Edit {
                path: file.path().clone(),
                range,
                text,
            }));
        }
    }
    // A broken statement's text by itself does not tell how it reads in its place.
    match file.is_by_indent() && !read_the_same(file, &applied(file, &edits)) {
        true => Vec::new(),
        false => edits,
    }
}

/// The lines of an item between two gaps; `None` if it shares one with another
/// item, which is a fault and stays as it is.
fn sheet<'a>(start: usize, item: &'a Item, gaps: &[Gap]) -> Option<Sheet<'a>> {
    let [above, below] = gaps else { return None };
    let (before, after) = (above.back()?, below.front()?);
    let text = match before.is_empty() && after.is_empty() {
        true => Cow::Borrowed(item.source()),
        false => Cow::Owned([before, item.source(), after].concat()),
    };
    Some(Sheet {
        item,
        text,
        base: before.len(),
        start: start - before.len(),
    })
}
