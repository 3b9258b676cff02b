//! Reading a workspace.

use std::ops::Range;
use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::batch::Batch;
use super::claims::Claims;
use super::entry::Entry;
use super::evaluate::Evaluation;
use super::files::{ImportState, Read};
use super::prepared::Prepared;
use super::scope::FileScope;
use super::shared::Shared;
use super::work_out::{LIBRARY_ENTRIES, worked_out};
use crate::day::Day;
use crate::finding::Lack;
use crate::library;
use crate::source::{File, FilePath, Item, Spot};
use crate::vocabulary::Space;

/// A handle on a workspace, to read it. Cheap to clone.
#[derive(Clone)]
pub struct View {
    shared: Arc<Shared>,
}

impl View {
    pub(super) fn new(shared: Arc<Shared>) -> View {
        View { shared }
    }

    /// The day that the workspace counts as today.
    pub fn today(&self) -> Day {
        self.shared.today
    }

    /// A file with what is computed from it; the library's files are files too.
    ///
    /// Of a file that nobody has open, this is a copy: what its reader has made
    /// again goes with it.
    pub fn entry(&self, path: &FilePath) -> Option<Arc<Entry>> {
        let entry = self.stored(path)?;
        match entry.file.is_closed() {
            true => Some(Arc::new(entry.at_rest(|_| false))),
            false => Some(entry),
        }
    }

    pub(super) fn stored(&self, path: &FilePath) -> Option<Arc<Entry>> {
        if let Some(entry) = self.shared.entries.get(path) {
            return Some(entry.clone());
        }
        library::file(path)?;
        let mut library = LIBRARY_ENTRIES.iter();
        library.find(|entry| entry.file.path() == path).cloned()
    }

    /// Whether there is such a file, the library's among them.
    pub fn has(&self, path: &FilePath) -> bool {
        self.shared.entries.contains_key(path) || library::file(path).is_some()
    }

    /// What only one site may have, and who has it.
    pub(super) fn claims(&self) -> &Claims {
        &self.shared.claims
    }

    /// The text of a file; of one that nobody has open, a copy that all who read it share.
    pub fn file(&self, path: &FilePath) -> Option<Arc<File>> {
        Some(self.stored(path)?.file.lent())
    }

    /// All files but the library's, in the order of their names.
    pub fn paths(&self) -> Vec<FilePath> {
        let entries = self.shared.entries.iter();
        let mut paths: Vec<_> = entries.map(|entry| entry.key().clone()).collect();
        paths.par_sort_unstable();
        paths
    }

    /// How many files there are, but the library's, and how many sites are in them.
    pub fn counts(&self) -> (usize, usize) {
        let entries = &self.shared.entries;
        let sites = |entry: &Entry| {
            entry
                .evaluations
                .iter()
                .filter(|known| known.is_site())
                .count()
        };
        (
            entries.len(),
            entries.iter().map(|entry| sites(&entry)).sum(),
        )
    }

    /// A file that nobody has open, as it was read, worked out beside whatever the workspace's
    /// owner is at: for many at once.
    ///
    /// # Errors
    /// There is no such file to be had.
    pub fn prepare(&self, path: FilePath, read: Read) -> Result<Prepared, ImportState> {
        Prepared::new(path, read, &self.shared)
    }

    /// The names that the items of a file can use.
    pub fn scope(&self, entry: &Entry) -> FileScope {
        self.shared.scope(entry)
    }

    /// What is known of an item.
    pub fn evaluation(&self, item: &Item) -> Option<Arc<Evaluation>> {
        let entry = self.entry(&item.file)?;
        let found = entry
            .evaluations
            .iter()
            .find(|evaluation| evaluation.item.id == item.id)?;
        Some(found.clone())
    }

    /// A version of a file as it would be worked out, without putting it into
    /// the workspace: for trying a change out. Whether the files that it uses
    /// are there is not looked at.
    pub fn try_out(&self, file: File) -> Entry {
        let old = self.entry(file.path());
        let entry = Entry::new(Arc::new(file), old.as_deref());
        let nothing = FxHashMap::default();
        worked_out(&entry, &Batch::new(&self.shared, &nothing), true)
    }

    /// The files that declare something in a namespace, whether or not anybody
    /// uses them, in the order of their names. None for sites, which nobody
    /// looks up.
    pub fn declaring(&self, space: Space) -> Vec<FilePath> {
        self.shared.index.declaring(space)
    }

    /// Where another file declares what a finding lacks: the first that does.
    pub fn declared(&self, lack: &Lack) -> Option<Spot> {
        let declares = |item: &Arc<Item>| {
            let kind = item.model().map(|model| model.kind.name);
            lack.kind.is_none() || kind == lack.kind
        };
        let paths = self.declaring(lack.space).into_iter();
        let mut found =
            paths.filter_map(|path| self.stored(&path)?.file.declared(lack.space, &lack.name));
        let item = found.find(declares)?;
        let name = item.declared().name?;
        Some(item.spot(name))
    }

    /// The files that use a file, in the order of their names.
    pub fn users(&self, path: &FilePath) -> Vec<FilePath> {
        let mut users = self.shared.index.users(path);
        users.sort();
        users
    }

    /// The name of a site of the workspace that is called so, in the first file
    /// that has one.
    pub fn site(&self, name: &str) -> Option<Spot> {
        self.shared.claims.site(name)
    }

    /// Where a place is now: the version of its file, and its bytes there. `None` if the
    /// item is no longer part of its file.
    pub fn locate(&self, spot: &Spot) -> Option<(Arc<File>, Range<usize>)> {
        let file = &self.stored(&spot.item.file)?.file;
        let range = file.locate(spot)?;
        Some((file.lent(), range))
    }

    /// Where a place is now, in bytes of its file.
    pub(super) fn range(&self, spot: &Spot) -> Option<Range<usize>> {
        self.stored(&spot.item.file)?.file.locate(spot)
    }
}
