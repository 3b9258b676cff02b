//! The difference between two lists of tokens.

use std::ops::Range;

/// What turns one list into another: the only stretch that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Splice {
    /// Where it starts, in both.
    pub start: usize,
    /// How many elements of the old list go.
    pub removed: usize,
    /// The elements of the new list that come in their place.
    pub inserted: Range<usize>,
}

/// What turns `old` into `new`; `None` if they are the same. Elements should be
/// encoded relative to each other, so that an inserted line changes one only.
pub fn delta<T: PartialEq>(old: &[T], new: &[T]) -> Option<Splice> {
    let same = |(a, b): &(&T, &T)| a == b;
    let start = old.iter().zip(new).take_while(same).count();
    let rest = old.len().min(new.len()) - start;
    let ends = old.iter().rev().zip(new.iter().rev());
    let tail = ends.take(rest).take_while(same).count();
    let (removed, end) = (old.len() - tail - start, new.len() - tail);
    (removed > 0 || end > start).then_some(Splice {
        start,
        removed,
        inserted: start..end,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_delta_is_the_stretch_that_differs() {
        let splice = |start, removed, inserted| {
            Some(Splice {
                start,
                removed,
                inserted,
            })
        };
        let rows: [(&[u8], &[u8], Option<Splice>); 6] = [
            (&[1, 2, 3], &[1, 2, 3], None),
            (&[1, 2, 3], &[1, 9, 3], splice(1, 1, 1..2)),
            (&[1, 2, 3], &[1, 3], splice(1, 1, 1..1)),
            (&[1, 1], &[1, 1, 1], splice(2, 0, 2..3)),
            (&[], &[4, 5], splice(0, 0, 0..2)),
            (&[4, 5], &[], splice(0, 2, 0..0)),
        ];
        for (old, new, expected) in rows {
            assert_eq!(delta(old, new), expected);
            let mut applied = old.to_vec();
            if let Some(Splice {
                start,
                removed,
                inserted,
            }) = expected
            {
                applied.splice(start..start + removed, new[inserted].iter().copied());
            }
            assert_eq!(applied, new);
        }
    }
}
