//! Where the cursor is.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::model::Occurrence;
use bellwire_plan::source::{Item, Span, Statement};
use bellwire_plan::vocabulary::Word;
use bellwire_plan::workspace::{Entry, Evaluation};

use crate::walk;

/// A cursor in a file: the item under it, and what is known of that.
#[derive(Debug, Clone)]
pub(crate) struct Place<'a> {
    /// Where the item starts in the file.
    pub start: usize,
    /// The item.
    pub item: &'a Arc<Item>,
    /// What is known of it.
    pub evaluation: &'a Arc<Evaluation>,
    /// The cursor, counted from the item's start.
    pub offset: u32,
}

impl<'a> Place<'a> {
    /// The place at a byte offset of a file; `None` between top-level statements.
    pub(crate) fn at(entry: &'a Entry, offset: usize) -> Option<Place<'a>> {
        let (found, inner) = entry.file.item_at(offset)?;
        let evaluation = walk::evaluation(entry, found)?;
        Some(Place {
            start: offset - inner as usize,
            item: found,
            evaluation,
            offset: inner,
        })
    }

    /// The statements around the cursor, outermost first, each with its word;
    /// it ends where a word is not known.
    pub(crate) fn words(&self) -> Vec<(&'a Statement, &'static Word)> {
        let around = walk::around(self.item, self.item.path_to(self.offset)).into_iter();
        around
            .map_while(|around| Some((around.statement, around.word?)))
            .collect()
    }

    /// The name under the cursor; the shortest, where several overlap.
    pub(crate) fn name(&self) -> Option<&'a Occurrence> {
        let all = self.evaluation.occurrences().iter();
        all.filter(|found| found.span.touches(self.offset))
            .min_by_key(|found| found.span.len())
    }

    /// A span of the item as bytes of the file.
    pub(crate) fn range(&self, span: Span) -> Range<usize> {
        walk::in_file(self.start, span)
    }
}

/// The cursor, and the name under it with its declaration.
pub(crate) fn name_at(entry: &Entry, offset: usize) -> Option<(Place<'_>, &Occurrence)> {
    let place = Place::at(entry, offset)?;
    let found = place.name()?;
    Some((place, found))
}
