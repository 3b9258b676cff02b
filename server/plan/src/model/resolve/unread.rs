//! Names that a site gives in lines that cannot be read.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use super::can_be_called;
use crate::model::words::Words;
use crate::source::{Form, Item};
use crate::vocabulary::{Context, Names, Presence, What, Word, word};

/// What lines give a name to behind a word that means nothing where it stands, in a block that
/// belongs to no statement, or in that of one whose own name is missing. That is told there;
/// what such a name stands for is unknown, and it is not missing.
#[derive(Default)]
pub(super) struct Unread<'a> {
    names: FxHashSet<&'a str>,
    /// Whether a thing has no name: any name may be meant for it.
    nameless: bool,
}

impl<'a> Unread<'a> {
    pub fn of(item: &'a Arc<Item>) -> Unread<'a> {
        let mut unread = Unread::default();
        let mut left = vec![(Words::root(item), Some(Context::Site))];
        while let Some((words, inner)) = left.pop() {
            for line in words.body() {
                match line.statement.form {
                    Form::Line => {}
                    Form::Fragment => {
                        left.push((line, None));
                        continue;
                    }
                    Form::Path | Form::Clause => continue,
                }
                let own = inner.and_then(|inner| word(line.keyword(), inner));
                match own {
                    // What a run's lines say is no name of a thing.
                    Some(own) if own.opens == Some(Context::Run) => {}
                    Some(own)
                        if needs_name(own)
                            && !line.name().is_some_and(|name| can_be_called(name.value)) =>
                    {
                        unread.nameless = true;
                        left.push((line, None));
                    }
                    Some(own) => {
                        let inner = own.context(line.name().map(|name| name.value));
                        left.extend(inner.map(|inner| (line, Some(inner))));
                    }
                    None => {
                        unread.names.extend(line.name().map(|name| name.value));
                        left.push((line, None));
                    }
                }
            }
        }
        unread
    }

    /// Whether a line that cannot be read gives this name, for all that is known.
    pub fn may_give(&self, name: &str) -> bool {
        self.nameless || self.names.contains(name)
    }
}

/// Whether a word's statement starts with a name that it cannot do without.
fn needs_name(word: &Word) -> bool {
    let is_name = |what| matches!(what, What::NewName | What::Named(Names::Bus));
    let mut first = word.slots.iter().take(1);
    first.any(|slot| slot.presence != Presence::Optional && is_name(slot.what))
}
