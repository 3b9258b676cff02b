//! Folding, and growing the selection.

use std::ops::Range;

use bellwire_assist::{self as assist, FoldKind};
use tower_lsp::ls_types::{FoldingRange, FoldingRangeKind, Position, SelectionRange};

use crate::serve::snapshot::Snapshot;

/// The most steps that a selection grows by. Plans stay far below; many readers
/// of JSON refuse to go far beyond.
const DEEPEST: usize = 48;

/// Everything that can be folded.
pub fn folds(file: &Snapshot) -> Vec<FoldingRange> {
    let folds = assist::folds(&file.entry).into_iter();
    folds
        .map(|fold| FoldingRange {
            start_line: fold.first as u32,
            end_line: fold.last as u32,
            kind: match fold.kind {
                FoldKind::Block => None,
                FoldKind::Comment => Some(FoldingRangeKind::Comment),
                FoldKind::Uses => Some(FoldingRangeKind::Imports),
            },
            ..FoldingRange::default()
        })
        .collect()
}

/// For each position, what to select step by step, from the inside out.
pub fn selections(file: &Snapshot, positions: &[Position]) -> Vec<SelectionRange> {
    let offsets: Vec<usize> = positions.iter().map(|at| file.offset(*at)).collect();
    let found = assist::selections(&file.entry, offsets.iter().copied());
    let one = |(offset, ranges): (usize, Vec<Range<usize>>)| {
        let outside_in = ranges
            .iter()
            .take(DEEPEST)
            .rev()
            .fold(None, |parent, range| {
                Some(Box::new(SelectionRange {
                    range: file.range(range),
                    parent,
                }))
            });
        // An answer is due for every position.
        outside_in.map_or_else(
            || SelectionRange {
                range: file.range(&(offset..offset)),
                parent: None,
            },
            |selection| *selection,
        )
    };
    offsets.into_iter().zip(found).map(one).collect()
}
