//! The top-level names of a file.

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use super::words::Words;
use crate::finding::Lack;
use crate::source::{File, Item};
use crate::vocabulary::{Context, Space, kind, word};

/// A file's items by namespace and name, each in the order of the text.
#[derive(Debug, Default)]
struct DeclaredNames {
    named: FxHashMap<Space, FxHashMap<Box<str>, Vec<Arc<Item>>>>,
    /// Where a name is missing, with the kind if it is that of a model and is known.
    nameless: FxHashSet<(Space, Option<&'static str>)>,
    /// What lines name that cannot be read: their word means nothing, or they go on below.
    unread: FxHashSet<Box<str>>,
}

impl DeclaredNames {
    fn of(file: &File) -> DeclaredNames {
        let mut names = DeclaredNames::default();
        // Most items start with a word, which is known without reading them again.
        let goes_on = |item: &Item| item.word().is_empty() && item.root().goes_on();
        let mut items = file.items().map(|(_, item)| item).peekable();
        while let Some(item) = items.next() {
            if item.means_nothing() {
                // It may be meant for a `use`, whose file may have anything.
                if Words::root(item)
                    .label()
                    .is_some_and(|path| path.value.ends_with(".bell"))
                {
                    let all = Space::LOOKED_UP.map(|space| (space, None));
                    names.nameless.extend(all);
                }
                let given = item.root().arguments.iter().filter(|value| value.is_name());
                names
                    .unread
                    .extend(given.map(|value| item.text(value.span).into()));
                continue;
            }
            let Some(space) = Space::of(item) else {
                continue;
            };
            match item.name() {
                Some(name) if items.peek().is_some_and(|next| goes_on(next)) => {
                    names.unread.insert(name.into());
                }
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

impl Item {
    /// Whether it starts with no word that may stand at the top level of a file.
    pub(crate) fn means_nothing(&self) -> bool {
        word(self.word(), Context::File).is_none()
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

    /// Whether what is missing may be there: without a name, or in a line that cannot be read.
    pub(crate) fn may_have(&self, lack: &Lack) -> bool {
        let DeclaredNames {
            nameless, unread, ..
        } = self.names();
        nameless.contains(&(lack.space, None))
            || nameless.contains(&(lack.space, lack.kind))
            || unread.contains(lack.name.as_str())
    }

    fn names(&self) -> &DeclaredNames {
        self.derived.get_or_make(|| DeclaredNames::of(self))
    }
}
