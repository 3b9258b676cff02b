//! What may be written at the cursor, with its meaning.
//!
//! `cursor` finds out what may stand there, `surroundings` what the plan around it
//! has, and the other files answer: `words` with statements, `arguments` with
//! whatever the vocabulary lets stand in a slot, `names` with what the site
//! has, `terminals` with ends of cables, `declared` with what other files have.

mod arguments;
mod cursor;
mod declared;
mod names;
mod surroundings;
mod terminals;
mod word_at;
mod words;

#[cfg(test)]
mod tests;

use std::ops::Range;

use bellwire_plan::source::{FilePath, Form};
use bellwire_plan::vocabulary::{Space, WORDS, Word};
use bellwire_plan::workspace::{Entry, View};

use crate::edit::Edit;
use crate::hover;
use cursor::{Ask, Cursor};
use surroundings::Surroundings;

/// What a completion is, for its icon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CompletionKind {
    /// A word of the notation.
    Word,
    /// A model.
    Model,
    /// A rule set or a monitoring centre.
    Declaration,
    /// A device, a joint, a partition.
    Thing,
    /// Terminals.
    Terminal,
    /// A free address or number.
    Number,
    /// A unit.
    Unit,
    /// One of a few words.
    Choice,
    /// A file.
    File,
    /// The code of a finding.
    Code,
}

/// Something that may be written at the cursor.
#[derive(Debug, Clone, PartialEq)]
pub struct Completion {
    /// What the list shows.
    pub label: String,
    /// What it is.
    pub kind: CompletionKind,
    /// A few words beside it.
    pub detail: Option<String>,
    /// What [`document`] knows it by.
    pub key: Option<String>,
    /// What is inserted, as it is.
    pub insert: String,
    /// The same with tab stops, for editors that have them.
    pub snippet: Option<String>,
    /// What the typed text is compared with, if not the label.
    pub filter: Option<String>,
    /// The bytes of the file that it replaces.
    pub replace: Range<usize>,
    /// Sorts the list.
    pub sort: String,
    /// What must change elsewhere in the file.
    pub extra: Vec<Edit>,
    /// Coarse place in the list: lower comes first.
    rank: u8,
}

impl Completion {
    fn new(kind: CompletionKind, label: impl Into<String>) -> Completion {
        let label = label.into();
        Completion {
            insert: label.clone(),
            label,
            kind,
            detail: None,
            key: None,
            snippet: None,
            filter: None,
            replace: 0..0,
            sort: String::new(),
            extra: Vec::new(),
            rank: 5,
        }
    }

    fn detail(mut self, detail: impl Into<String>) -> Completion {
        self.detail = Some(detail.into()).filter(|detail: &String| !detail.is_empty());
        self
    }

    fn rank(mut self, rank: u8) -> Completion {
        self.rank = rank;
        self
    }
}

/// Everything that may be written at a byte offset of a file, in order.
pub fn complete(view: &View, entry: &Entry, offset: usize) -> Vec<Completion> {
    let Some(cursor) = Cursor::new(&entry.file, offset) else {
        return Vec::new();
    };
    let Some(ask) = cursor.ask() else {
        return Vec::new();
    };
    let plan = Surroundings::new(view, entry, &cursor);
    let mut replace = cursor.replace.clone();
    let mut found = match ask {
        Ask::Word {
            context,
            form,
            first_point,
        } => {
            let mut found = match &first_point {
                Some(parts) if !parts.is_empty() || form == Form::Path => Vec::new(),
                _ => words::words(&plan, context, form),
            };
            if let Some(parts) = &first_point {
                found.extend(terminals::first_point(&plan, parts));
            }
            found
        }
        Ask::Argument {
            word,
            statement,
            slots,
            model,
            parts,
        } => {
            let mut found: Vec<Completion> = slots
                .iter()
                .flat_map(|slot| arguments::of(&plan, word, slot, &statement.arguments, &parts))
                .collect();
            if let Some(names) = model.filter(|_| parts.is_empty()) {
                found.extend(declared::models_with_colon(&plan, word, names));
            }
            found
        }
        Ask::Model { word, names, name } => {
            replace = cursor.original(name);
            declared::models(&plan, word, names)
        }
        Ask::Unit(dimensions) => arguments::units(&plan, &dimensions),
        Ask::Point { parts, leg } => terminals::next_point(&plan, &parts, leg),
    };
    found.sort_by_key(|completion| completion.rank);
    for (index, completion) in found.iter_mut().enumerate() {
        completion.sort = format!("{index:05}");
        completion.replace = replace.clone();
    }
    found
}

/// What a completion means, in Markdown, by the [`Completion::key`] that it
/// was given; worked out when it is looked at.
pub fn document(view: &View, key: &str) -> Option<String> {
    let (measures, key) = key.split_once(' ')?;
    let measures = measures.parse().ok()?;
    match key.split_once(' ')? {
        ("word", index) => {
            let word = WORDS.get(index.parse::<usize>().ok()?)?;
            Some(hover::word(word, measures))
        }
        ("model", place) => {
            let (path, name) = place.split_once('#')?;
            let file = view.file(&FilePath::new(path))?;
            let item = file.declared(Space::Model, name)?;
            Some(hover::model(&item, measures))
        }
        _ => None,
    }
}

/// The key of a word.
fn key_of(plan: &Surroundings, word: &'static Word) -> Option<String> {
    let index = WORDS.iter().position(|other| *other == *word)?;
    Some(format!("{} word {index}", plan.measures()))
}
