//! The names that a file can use, and a record of those that were looked up.

use std::cell::RefCell;
use std::sync::Arc;

use crate::library::LIBRARY;
use crate::model::{Found, Scope, Space};
use crate::source::File;

/// A file's own names, those of the files that it uses, and the library's.
#[derive(Clone)]
pub struct FileScope {
    files: Vec<Arc<File>>,
}

impl FileScope {
    /// The scope of `own`, which uses `used`.
    pub(super) fn new(own: Arc<File>, used: impl IntoIterator<Item = Arc<File>>) -> FileScope {
        let files = std::iter::once(own).chain(used).collect();
        FileScope { files }
    }

    fn all_files(&self) -> impl Iterator<Item = &Arc<File>> {
        self.files.iter().chain(LIBRARY.iter())
    }

    /// Tells scopes with the same contents from others.
    fn print(&self) -> Vec<u64> {
        self.files
            .iter()
            .flat_map(|file| file.items().map(|(_, item)| item.id))
            .collect()
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
    found: Vec<(Space, Box<str>, Option<u64>)>,
    /// The whole scope, where somebody asked for all of it.
    all: Option<Vec<u64>>,
}

impl Lookups {
    /// Whether `scope` would give the same answers.
    pub(super) fn still_hold(&self, scope: &FileScope) -> bool {
        if let Some(all) = &self.all {
            return *all == scope.print();
        }
        self.found
            .iter()
            .all(|(space, name, id)| scope.find(*space, name).map(|item| item.id) == *id)
    }

    /// The items that were found.
    pub(super) fn ids(&self) -> impl Iterator<Item = u64> {
        self.found.iter().filter_map(|(_, _, id)| *id)
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
        let known = lookups
            .found
            .iter()
            .any(|(known, text, _)| *known == space && **text == *name);
        if !known {
            let id = found.as_ref().map(|item| item.id);
            lookups.found.push((space, name.into(), id));
        }
        found
    }

    fn all(&self, space: Space) -> Vec<Found> {
        let print = self.scope.print();
        self.lookups.borrow_mut().all = Some(print);
        self.scope.all(space)
    }
}
