//! Columns over lines of one kind that follow each other.

use rustc_hash::FxHashMap;

use super::line::{Cell, Class, Column, Line};

/// A keyword longer than this does not widen the column of keywords.
const LONG: usize = 12;

/// Anything else longer than this does not widen its column.
const WIDE: usize = 32;

/// Fills up the cells of lines of one kind. Comments between them do not part
/// them; blank lines and other lines do.
pub(super) fn align(lines: &mut [Line]) {
    let mut run: Vec<usize> = Vec::new();
    let mut kind: Option<(Class, usize)> = None;
    for index in 0..lines.len() {
        let Some(line) = lines.get(index) else { break };
        if line.is_comment() {
            continue;
        }
        let own = line.class.zip(line.depth);
        if own.is_none() || own != kind {
            align_run(lines, &run);
            run.clear();
            kind = own;
        }
        if own.is_some() {
            run.push(index);
        }
    }
    align_run(lines, &run);
}

fn align_run(lines: &mut [Line], run: &[usize]) {
    if run.len() < 2 {
        return;
    }
    // Lines drop out where they part from the others.
    let mut together: Vec<(usize, usize)> = run.iter().map(|index| (*index, 0)).collect();
    for place in 0.. {
        let groups = groups(lines, &together, place);
        if groups.is_empty() {
            return;
        }
        together.clear();
        for (number, group) in groups.into_iter().enumerate() {
            let most = group
                .iter()
                .filter_map(|index| cell(lines, *index, place))
                .map(Cell::own_width)
                .filter(|width| *width <= if place == 0 { LONG } else { WIDE })
                .max()
                .unwrap_or(0);
            for index in group {
                together.push((index, number));
                let cells = lines.get_mut(index).map(|line| &mut line.cells);
                if let Some(cell) = cells.and_then(|cells| cells.get_mut(place)) {
                    cell.width = most;
                }
            }
        }
    }
}

fn cell<'a, 'b>(lines: &'a [Line<'b>], index: usize, place: usize) -> Option<&'a Cell<'b>> {
    lines.get(index)?.cells.get(place)
}

/// Parts lines that were together up to `place` by what they have there.
fn groups(lines: &[Line], together: &[(usize, usize)], place: usize) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut known: FxHashMap<(usize, Key), usize> = FxHashMap::default();
    for (index, group) in together {
        let Some(key) = key(lines, *index, place) else {
            continue;
        };
        let number = *known.entry((*group, key)).or_insert(groups.len());
        match groups.get_mut(number) {
            Some(group) => group.push(*index),
            None => groups.push(vec![*index]),
        }
    }
    groups
}

/// What lines must share to have a column at a place: the sort of cell, and
/// for properties the keyword too.
type Key<'a> = (Column, Option<&'a str>);

fn key<'a>(lines: &'a [Line], index: usize, place: usize) -> Option<Key<'a>> {
    let line = lines.get(index)?;
    let cell = line.cells.get(place)?;
    // What is not followed by a column of its own stays by itself.
    let next = line.cells.get(place + 1).map(|next| next.column);
    let is_free = cell.column == Column::Free || next == Some(Column::Free);
    if is_free && place > 0 {
        return None;
    }
    let keyword = line.cells.first().filter(|_| place > 0);
    let keyword = keyword.filter(|_| line.class == Some(Class::Properties));
    Some((cell.column, keyword.map(|cell| cell.text.as_ref())))
}
