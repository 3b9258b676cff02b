//! Clauses behind a line that they are no part of: `{ standby 45 mA, alarm 110 mA }`.

use std::sync::Arc;

use crate::source::{Form, Item, Statement};
use crate::vocabulary::{is_word, takes};

/// What a clause is part of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartOf {
    /// The line that it stands behind.
    Line,
    /// Nothing on the line: it is loose, and should be a line of its own.
    Nothing,
    /// The last loose one before it.
    Loose,
}

/// Goes through the clauses of a line, and says what each is part of.
#[derive(Clone, Copy)]
pub(super) struct Parting<'a> {
    item: &'a Arc<Item>,
    /// The word that the line starts with.
    line: &'a str,
    /// The one that the last loose clause starts with.
    loose: Option<&'a str>,
}

impl<'a> Parting<'a> {
    pub(super) fn new(item: &'a Arc<Item>, line: &Statement) -> Parting<'a> {
        Parting {
            item,
            line: item.keyword(line),
            loose: None,
        }
    }

    pub(super) fn part_of(&mut self, clause: &Statement) -> PartOf {
        let word = self.item.keyword(clause);
        if self.loose.is_some_and(|loose| takes(loose, word)) {
            return PartOf::Loose;
        }
        if clause.form != Form::Clause {
            return PartOf::Line;
        }
        if takes(self.line, word) {
            self.loose = None;
            return PartOf::Line;
        }
        // What nobody knows may be meant for the line.
        if !is_word(self.line) || !is_word(word) {
            return PartOf::Line;
        }
        self.loose = Some(word);
        PartOf::Nothing
    }
}

/// Whether any clause in a statement of an item is loose.
pub(super) fn has_loose(item: &Arc<Item>, statement: &Statement) -> bool {
    if statement.body.is_empty() {
        return false;
    }
    let mut parting = Parting::new(item, statement);
    let mut body = statement.body.iter();
    body.any(|inner| parting.part_of(inner) == PartOf::Nothing || has_loose(item, inner))
}
