//! Names that a site gives in lines that cannot be read.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use crate::model::read::Words;
use crate::source::{Form, Item};
use crate::vocabulary::{Context, word};

/// What lines give a name to behind a word that means nothing where it stands, or in a block
/// that belongs to no statement. That is told there; what such a name stands for is unknown,
/// and it is not missing.
pub(super) fn names(item: &Arc<Item>) -> FxHashSet<&str> {
    let mut names = FxHashSet::default();
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
                Some(own) => {
                    let inner = own.context(line.name().map(|name| name.value));
                    left.extend(inner.map(|inner| (line, Some(inner))));
                }
                None => {
                    names.extend(line.name().map(|name| name.value));
                    left.push((line, None));
                }
            }
        }
    }
    names
}
