//! The top-level names of a file.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::source::{File, Item};
use crate::vocabulary::Space;

/// A file's items by namespace and name, each in the order of the text.
#[derive(Debug, Default)]
struct DeclaredNames(FxHashMap<Space, FxHashMap<Box<str>, Vec<Arc<Item>>>>);

impl DeclaredNames {
    fn of(file: &File) -> DeclaredNames {
        let mut names = DeclaredNames::default();
        for (_, item) in file.items() {
            if let (Some(space), Some(name)) = (Space::of(item), item.name()) {
                let space = names.0.entry(space).or_default();
                space.entry(name.into()).or_default().push(item.clone());
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
        let items = self.names().0.get(&space).and_then(|names| names.get(name));
        items.map_or(&[], |items| items)
    }

    /// The items that declare names of a namespace, in the order of the text.
    pub fn all(&self, space: Space) -> Vec<Arc<Item>> {
        let of_space = |item: &&Arc<Item>| Space::of(item) == Some(space) && item.name().is_some();
        let items = self.items().map(|(_, item)| item);
        items.filter(of_space).cloned().collect()
    }

    fn names(&self) -> &DeclaredNames {
        self.derived.get_or_make(|| DeclaredNames::of(self))
    }
}
