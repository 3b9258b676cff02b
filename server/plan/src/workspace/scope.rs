//! The names that a file can use, and a record of those that were looked up.

use std::cell::RefCell;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHasher};

use crate::library::LIBRARY;
use crate::model::{Found, Scope, Space};
use crate::source::File;

/// A file's own names, those of the files that it uses, and the library's.
#[derive(Clone)]
pub struct FileScope {
    files: Vec<Arc<File>>,
    print: Print,
}

/// Tells what a scope holds: one number for each namespace that statements
/// look names up in. Equal prints are equal scopes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Print([u64; 3]);

impl Print {
    fn of(files: &[Arc<File>]) -> Print {
        let mut hashers: [FxHasher; 3] = Default::default();
        for (_, item) in files.iter().flat_map(|file| file.items()) {
            if let Some(hasher) = Space::of(item).and_then(|space| hashers.get_mut(slot(space)?)) {
                item.id.hash(hasher);
            }
        }
        Print(hashers.map(|hasher| hasher.finish()))
    }

    fn get(&self, space: Space) -> u64 {
        let slot = slot(space).and_then(|slot| self.0.get(slot));
        slot.copied().unwrap_or(0)
    }
}

/// Where a namespace stands in a print. Nobody looks up sites.
fn slot(space: Space) -> Option<usize> {
    match space {
        Space::Model => Some(0),
        Space::Rules => Some(1),
        Space::Monitoring => Some(2),
        Space::Site => None,
    }
}

impl FileScope {
    /// The scope of `own`, which uses `used`.
    pub(super) fn new(own: Arc<File>, used: impl IntoIterator<Item = Arc<File>>) -> FileScope {
        let files: Vec<_> = std::iter::once(own).chain(used).collect();
        let print = Print::of(&files);
        FileScope { files, print }
    }

    /// What tells it from scopes that hold other things.
    pub(super) fn print(&self) -> Print {
        self.print
    }

    fn all_files(&self) -> impl Iterator<Item = &Arc<File>> {
        self.files.iter().chain(LIBRARY.iter())
    }
}

impl Scope for FileScope {
    fn find(&self, space: Space, name: &str) -> Option<Found> {
        self.all_files().find_map(|file| file.declared(space, name))
    }

    fn all(&self, space: Space) -> Vec<Found> {
        self.all_files().flat_map(|file| file.all(space)).collect()
    }
}

/// What an evaluation asked its scope, and the answers: as long as they are
/// the same, so is the evaluation.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Lookups {
    /// By namespace and name, the id of what was found.
    found: FxHashMap<Space, FxHashMap<Box<str>, Option<u64>>>,
    /// The namespaces that somebody asked for all of, with their print.
    all: Vec<(Space, u64)>,
}

impl Lookups {
    /// Whether `scope` would give the same answers.
    pub(super) fn still_hold(&self, scope: &FileScope) -> bool {
        let same = |(space, names): (&Space, &FxHashMap<Box<str>, Option<u64>>)| {
            let mut names = names.iter();
            names.all(|(name, id)| scope.find(*space, name).map(|item| item.id) == *id)
        };
        let mut all = self.all.iter();
        all.all(|(space, print)| scope.print.get(*space) == *print) && self.found.iter().all(same)
    }

    /// Whether a name was looked up that nothing has.
    pub(super) fn lack_a_name(&self) -> bool {
        let mut names = self.found.values().flat_map(|names| names.values());
        names.any(|id| id.is_none())
    }

    /// The items that were found.
    pub(super) fn ids(&self) -> impl Iterator<Item = u64> {
        self.found
            .values()
            .flat_map(|names| names.values())
            .filter_map(|id| *id)
    }
}

/// A scope that remembers what it was asked.
pub(super) struct Recorder<'a> {
    scope: &'a FileScope,
    lookups: RefCell<Lookups>,
}

impl<'a> Recorder<'a> {
    pub(super) fn new(scope: &'a FileScope) -> Recorder<'a> {
        Recorder {
            scope,
            lookups: RefCell::default(),
        }
    }

    pub(super) fn finish(self) -> Lookups {
        self.lookups.into_inner()
    }
}

impl Scope for Recorder<'_> {
    fn find(&self, space: Space, name: &str) -> Option<Found> {
        let found = self.scope.find(space, name);
        let mut lookups = self.lookups.borrow_mut();
        let known = lookups.found.entry(space).or_default();
        if !known.contains_key(name) {
            known.insert(name.into(), found.as_ref().map(|item| item.id));
        }
        found
    }

    fn all(&self, space: Space) -> Vec<Found> {
        let mut lookups = self.lookups.borrow_mut();
        if !lookups.all.iter().any(|(known, _)| *known == space) {
            lookups.all.push((space, self.scope.print.get(space)));
        }
        drop(lookups);
        self.scope.all(space)
    }
}
