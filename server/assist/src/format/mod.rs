//! The canonical layout: two blanks a block, one between words, and columns
//! where like lines follow each other.
//!
//! A statement never spans lines, so lines are laid out one by one; `line` says
//! what one is made of, `read` makes them of statements, and `columns` aligns
//! neighbours. What cannot
//! be read stays as it is, and so does a file whose braces do not match: there,
//! indentation is all that says what belongs where. Whatever comes out must
//! read the same as before, or nothing is changed.

mod columns;
mod line;
mod read;
#[cfg(test)]
mod tests;
mod words;

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{File, Item, Statement};
use bellwire_plan::workspace::Entry;

use crate::edit::{Edit, applied, line_break};
use line::Line;

/// The changes that bring a file into the canonical layout, a line each.
pub fn format(entry: &Entry) -> Vec<Edit> {
    let mut edits = edits(&entry.file);
    let text = entry.file.text();
    if !text.is_empty()
        && !text
            .slice(text.len() - 1..text.len())
            .ends_with(['\n', '\r'])
    {
        let end = text.len();
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
    checked(&entry.file, edits)
}

/// The same for the lines that `range` touches.
pub fn format_range(entry: &Entry, range: Range<usize>) -> Vec<Edit> {
    let mut edits = edits(&entry.file);
    edits.retain(|edit| edit.range.start <= range.end && range.start <= edit.range.end);
    checked(&entry.file, edits)
}

/// The lines that are to change.
fn edits(file: &File) -> Vec<Edit> {
    if file.is_by_indent() || file.unreadable_because().is_some() {
        return Vec::new();
    }
    let text = file.text();
    let count = text.lines();
    let mut lines: Vec<Line> = (0..count)
        .map(|index| Line::plain(&text.slice(text.line(index))))
        .collect();
    for (start, item) in file.items() {
        read::item(file, start, item, &mut lines);
    }
    columns::align(&mut lines);
    let changed = lines.iter().enumerate().filter_map(|(index, line)| {
        let range = text.line(index);
        let new = line.text();
        let old = text.slice(range.clone());
        (new != old).then(|| Edit {
            path: file.path().clone(),
            range,
            text: new,
        })
    });
    changed.collect()
}

/// The edits, unless they would change what the file says.
fn checked(file: &File, edits: Vec<Edit>) -> Vec<Edit> {
    match says_the_same(file, &applied(file, &edits)) {
        true => edits,
        false => Vec::new(),
    }
}

/// Whether two texts have the same statements, places aside.
pub(crate) fn says_the_same(one: &File, other: &File) -> bool {
    let items =
        |file: &File| -> Vec<Arc<Item>> { file.items().map(|(_, item)| item.clone()).collect() };
    let (one, other) = (items(one), items(other));
    one.len() == other.len()
        && one.iter().zip(&other).all(|(a, b)| {
            a.problems.len() == b.problems.len() && words_of(a, &a.root) == words_of(b, &b.root)
        })
}

/// All that a statement says, token by token.
fn words_of(item: &Item, statement: &Statement) -> Vec<String> {
    let mut words = vec![format!("{:?} {}", statement.form, item.keyword(statement))];
    words.extend(
        statement
            .arguments
            .iter()
            .map(|value| words::value(item, value)),
    );
    if let Some((_, values)) = &statement.model {
        words.push(":".to_string());
        words.extend(values.iter().map(|value| words::value(item, value)));
    }
    if let Some(path) = &statement.path {
        words.push(words::path(item, path));
    }
    let note = statement.note.map(|note| item.text(note));
    words.extend(note.into_iter().flat_map(|note| {
        let lines = note.lines().map(|line| line.trim().to_string());
        lines.collect::<Vec<_>>()
    }));
    words.push(format!("{}", statement.block.is_some()));
    words.push("(".to_string());
    for inner in &statement.body {
        words.extend(words_of(item, inner));
    }
    words.push(")".to_string());
    words
}
