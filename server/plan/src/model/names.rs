//! The top-level names of a file.

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use super::words::Words;
use crate::source::{File, Item};
use crate::vocabulary::{Space, kind};

/// A file's items by namespace and name, each in the order of the text.
#[derive(Debug, Default)]
struct DeclaredNames {
    named: FxHashMap<Space, FxHashMap<Box<str>, Vec<Arc<Item>>>>,
    /// Where a name is missing, with the kind if it is that of a model and is known.
    nameless: FxHashSet<(Space, Option<&'static str>)>,
}

impl DeclaredNames {
    fn of(file: &File) -> DeclaredNames {
        let mut names = DeclaredNames::default();
        for (_, item) in file.items() {
            let Some(space) = Space::of(item) else {
                continue;
            };
            match item.name() {
                Some(name) => {
                    let space = names.named.entry(space).or_default();
                    space.entry(name.into()).or_default().push(item.clone());
                }
                None => {
                    let kind = Words::root(item).name().and_then(|name| kind(name.value));
                    names.nameless.insert((space, kind.map(|kind| kind.name)));
                }
            }
        }
        names
    }
}

impl File {
    /// The item that declares `name`; the first, if there are several.
    pub fn declared(&self, space: Space, name: &str) -> Option<Arc<Item>> {
        self.declaring(space, name).first().cloned()
    }

    /// All items that declare `name`.
    pub(crate) fn declaring(&self, space: Space, name: &str) -> &[Arc<Item>] {
        let items = self
            .names()
            .named
            .get(&space)
            .and_then(|names| names.get(name));
        items.map_or(&[], |items| items)
    }

    /// The items that declare names of a namespace, in the order of the text.
    pub fn all(&self, space: Space) -> Vec<Arc<Item>> {
        let of_space = |item: &&Arc<Item>| Space::of(item) == Some(space) && item.name().is_some();
        let items = self.items().map(|(_, item)| item);
        items.filter(of_space).cloned().collect()
    }

    /// Whether something has no name that may be of a namespace, and a model of that kind.
    pub(crate) fn has_nameless(&self, space: Space, kind: Option<&'static str>) -> bool {
        let nameless = &self.names().nameless;
        nameless.contains(&(space, None)) || nameless.contains(&(space, kind))
    }

    fn names(&self) -> &DeclaredNames {
        self.derived.get_or_make(|| DeclaredNames::of(self))
    }
}
