//! Many files: what uses what, and what a change makes stale.
//!
//! A [`Workspace`] has one owner, which puts files in. Everybody else reads
//! through a [`View`], which is cheap to clone and never blocks for long. A
//! file and what was computed from it are one [`Entry`], replaced as a whole,
//! so an answer about a file is always about one version of it.

mod claims;
mod entry;
mod evaluate;
mod scope;
mod view;

pub use entry::{Entry, Import, ImportState};
pub use evaluate::Evaluation;
pub use scope::FileScope;
pub use view::{Located, View};

use std::sync::Arc;

use dashmap::DashMap;
use rayon::prelude::*;
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use crate::checks::Day;
use crate::source::{File, FilePath};
use claims::{Claim, Claims};

/// Whatever reads files: the only way to the outside.
pub trait Files: Send + Sync {
    /// The text of a file that a plan uses.
    fn read(&self, path: &FilePath) -> Read;
}

/// What came of reading a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Read {
    /// Its text.
    Text(String),
    /// There is no such file.
    Absent,
    /// It lies outside the workspace folders, and is not read.
    Outside,
    /// It is there but cannot be read; why, as a sentence.
    Unreadable(String),
}

/// What owner and readers share.
pub(crate) struct Shared {
    entries: DashMap<FilePath, Arc<Entry>, FxBuildHasher>,
    claims: Claims,
    today: Day,
}

impl Shared {
    fn new(today: Day) -> Shared {
        Shared {
            entries: DashMap::default(),
            claims: Claims::default(),
            today,
        }
    }
}

/// All files, with what is computed from them. Owned by one writer.
pub struct Workspace {
    shared: Arc<Shared>,
    disk: Arc<dyn Files>,
    /// Who uses a file, whether it is there or not.
    users: FxHashMap<FilePath, FxHashSet<FilePath>>,
    /// Files that somebody uses and that cannot be had, with why.
    absent: FxHashMap<FilePath, ImportState>,
}

impl Workspace {
    /// An empty workspace. `today` is what batteries are old by.
    pub fn new(disk: Arc<dyn Files>, today: Day) -> Workspace {
        Workspace {
            shared: Arc::new(Shared::new(today)),
            disk,
            users: FxHashMap::default(),
            absent: FxHashMap::default(),
        }
    }

    /// A handle for readers.
    pub fn view(&self) -> View {
        View::new(self.shared.clone())
    }

    /// Puts in new files, or new versions of files, and works out again what
    /// depends on them. Files that they use are read. Gives the files whose
    /// findings may now be other ones, each once.
    pub fn put(&mut self, files: Vec<File>) -> Vec<FilePath> {
        let files = files.into_iter().map(Arc::new).collect();
        let changed = self.store(files);
        self.work_out(changed)
    }

    /// Takes files out. Gives the files whose findings may now be other ones.
    pub fn remove(&mut self, paths: &[FilePath]) -> Vec<FilePath> {
        let mut changed = Changed::default();
        for path in paths {
            let Some((_, entry)) = self.shared.entries.remove(path) else {
                continue;
            };
            self.forget_imports(&entry);
            changed
                .claims
                .extend(self.shared.claims.replace(Some(&entry), None));
            changed.files.insert(path.clone());
            changed.imports = true;
        }
        // Whoever uses a file that is gone asks the disk again.
        for path in paths {
            if self.users.get(path).is_some_and(|users| !users.is_empty()) {
                self.load(path.clone(), &mut changed);
            }
        }
        self.work_out(changed)
    }

    /// Forgets which files could not be had, and asks for them again: for
    /// when files have come or gone. Gives the files whose findings may differ.
    pub fn look_again(&mut self) -> Vec<FilePath> {
        let mut changed = Changed::default();
        let wanted: Vec<FilePath> = self.absent.drain().map(|(path, _)| path).collect();
        for path in wanted {
            changed.files.insert(path.clone());
            self.load(path, &mut changed);
        }
        self.work_out(changed)
    }

    /// Stores files, and reads what they use, and what that uses.
    fn store(&mut self, files: Vec<Arc<File>>) -> Changed {
        let mut changed = Changed::default();
        for file in files {
            self.store_one(file, &mut changed);
        }
        changed
    }

    fn store_one(&mut self, file: Arc<File>, changed: &mut Changed) {
        let path = file.path().clone();
        let old = self.shared.entries.get(&path).map(|entry| entry.clone());
        let entry = Entry::new(file, old.as_deref());
        let same_imports = old.as_ref().is_some_and(|old| old.same_imports(&entry));
        let targets: Vec<FilePath> = entry
            .imports
            .iter()
            .map(|import| import.target.clone())
            .collect();
        if !same_imports {
            changed.imports = true;
            if let Some(old) = &old {
                self.forget_imports(old);
            }
            for target in &targets {
                let users = self.users.entry(target.clone()).or_default();
                users.insert(path.clone());
            }
        }
        if let Some(old) = old {
            changed.before.entry(path.clone()).or_insert(old);
        }
        self.absent.remove(&path);
        self.shared.entries.insert(path.clone(), Arc::new(entry));
        changed.files.insert(path);
        if !same_imports {
            for target in targets {
                self.load(target, changed);
            }
        }
    }

    /// Reads a file that is used, unless it is there already.
    fn load(&mut self, path: FilePath, changed: &mut Changed) {
        if self.shared.entries.contains_key(&path) || self.absent.contains_key(&path) {
            return;
        }
        match self.disk.read(&path) {
            Read::Text(text) => self.store_one(Arc::new(File::new(path, &text)), changed),
            Read::Absent => {
                self.absent.insert(path, ImportState::Missing);
            }
            Read::Outside => {
                self.absent.insert(path, ImportState::Outside);
            }
            Read::Unreadable(why) => {
                self.store_one(Arc::new(File::unreadable(path, why)), changed);
            }
        }
    }

    fn forget_imports(&mut self, entry: &Entry) {
        for import in &entry.imports {
            if let Some(users) = self.users.get_mut(&import.target) {
                users.remove(entry.file.path());
            }
        }
    }

    /// Works out again whatever the changed files make stale.
    fn work_out(&mut self, mut changed: Changed) -> Vec<FilePath> {
        let mut stale = changed.files.clone();
        let mut next: Vec<FilePath> = changed.files.iter().cloned().collect();
        // Cycles of use may be longer than one step; names are not.
        while let Some(path) = next.pop() {
            for user in self.users.get(&path).into_iter().flatten() {
                if stale.insert(user.clone()) && changed.imports {
                    next.push(user.clone());
                }
            }
        }
        let stale: Vec<FilePath> = stale.into_iter().collect();
        let shared = &self.shared;
        let absent = &self.absent;
        let users = &self.users;
        let work = |path: &FilePath| {
            let old = shared.entries.get(path)?.clone();
            let is_used = users.get(path).is_some_and(|users| !users.is_empty());
            Some((
                old.clone(),
                Arc::new(old.worked_out(shared, absent, is_used)),
            ))
        };
        let fresh: Vec<_> = if stale.len() > 1 {
            stale.par_iter().filter_map(work).collect()
        } else {
            stale.iter().filter_map(work).collect()
        };
        let mut touched = changed.files.clone();
        for (old, new) in fresh {
            let path = new.file.path().clone();
            let before = changed.before.remove(&path);
            let before = before.as_ref().unwrap_or(&old);
            // What points into a file that changed may point elsewhere in it now.
            if !new.same_results(&old) || new.points_into(&changed.files) {
                touched.insert(path.clone());
            }
            changed
                .claims
                .extend(self.shared.claims.replace(Some(before), Some(&new)));
            self.shared.entries.insert(path, new);
        }
        for path in &changed.files {
            if let Some(entry) = self.shared.entries.get(path) {
                touched.extend(self.shared.claims.rivals(&entry));
            }
        }
        touched.extend(self.shared.claims.holders(&changed.claims));
        touched.into_iter().collect()
    }
}

/// What a batch of changes has touched so far.
#[derive(Default)]
struct Changed {
    files: FxHashSet<FilePath>,
    /// The entries before, for their claims.
    before: FxHashMap<FilePath, Arc<Entry>>,
    claims: FxHashSet<Claim>,
    /// Whether any file uses other files than before.
    imports: bool,
}
