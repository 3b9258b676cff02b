//! Many files: what uses what, and what a change makes stale.
//!
//! A [`Workspace`] has one owner, which puts files in. Everybody else reads
//! through a [`View`], which is cheap to clone and never blocks for long. A
//! file and what was computed from it are one [`Entry`], replaced as a whole,
//! so an answer about a file is always about one version of it.

mod batch;
mod circles;
mod claim;
mod claims;
mod entry;
mod evaluate;
mod files;
mod imports;
mod index;
mod located;
mod named;
mod prepared;
mod rivals;
mod scope;
mod shared;
mod taken;
mod view;
mod work_out;

pub use entry::{Entry, Import};
pub use evaluate::Evaluation;
pub use files::{Files, ImportState, NoFiles, Read};
pub use located::Located;
pub use named::{Named, SiteNames, Sort};
pub use prepared::Prepared;
pub use scope::FileScope;
pub use view::View;

use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use crate::day::Day;
use crate::source::{File, FilePath};
use batch::Batch;
use claim::Claim;
use shared::Shared;
use work_out::worked_out;

/// All files, with what is computed from them. Owned by one writer.
pub struct Workspace {
    shared: Arc<Shared>,
    disk: Arc<dyn Files>,
    /// Files that somebody uses and that cannot be had, with why.
    absent: FxHashMap<FilePath, ImportState>,
}

impl Workspace {
    /// An empty workspace. `today` is what batteries are old by.
    pub fn new(disk: Arc<dyn Files>, today: Day) -> Workspace {
        Workspace {
            shared: Arc::new(Shared::new(today)),
            disk,
            absent: FxHashMap::default(),
        }
    }

    /// A handle for readers.
    pub fn view(&self) -> View {
        View::new(self.shared.clone())
    }

    /// How many files use a file.
    pub fn users(&self, path: &FilePath) -> usize {
        self.shared.index.user_count(path)
    }

    /// Puts in new files, or new versions of files, and works out again what
    /// depends on them. Files that they use are read. Gives the files whose
    /// findings may now be other ones, each once.
    pub fn put(&mut self, files: Vec<File>) -> Vec<FilePath> {
        let entries = files.into_iter().map(|file| self.entry(file)).collect();
        self.put_entries(entries)
    }

    /// Puts in files that were [prepared](View::prepare). Of each, only what no longer holds is
    /// worked out again.
    pub fn put_prepared(&mut self, prepared: Vec<Prepared>) -> Vec<FilePath> {
        let prepared = prepared.into_iter();
        let entries = prepared.map(|prepared| prepared.on(self.shared.today));
        self.put_entries(entries.collect())
    }

    /// Takes files out. Gives the files whose findings may now be other ones.
    pub fn remove(&mut self, paths: &[FilePath]) -> Vec<FilePath> {
        let mut changed = Changed::default();
        for path in paths {
            let Some((_, entry)) = self.shared.entries.remove(path) else {
                continue;
            };
            self.forget_imports(&entry, &mut changed);
            let nothing = Default::default();
            self.shared.index.declare(path, entry.declares, nothing);
            changed
                .claims
                .extend(self.shared.claims.replace(Some(&entry), None));
            changed.files.insert(path.clone());
            changed.imports = true;
        }
        // Whoever uses a file that is gone asks the disk again.
        let used = paths.iter().filter(|path| self.users(path) > 0);
        let used = used.cloned().collect();
        self.load(used, &mut changed);
        self.work_out(changed)
    }

    /// Forgets which files could not be had, and asks for them again: for
    /// when files have come or gone. Gives the files whose findings may differ.
    pub fn look_again(&mut self) -> Vec<FilePath> {
        let mut changed = Changed::default();
        let wanted: Vec<FilePath> = self.absent.drain().map(|(path, _)| path).collect();
        changed.files.extend(wanted.iter().cloned());
        self.load(wanted, &mut changed);
        self.work_out(changed)
    }

    /// A version of a file, with what is known from the one before.
    fn entry(&self, file: File) -> Entry {
        let old = self.shared.entries.get(file.path());
        Entry::new(Arc::new(file), old.as_deref().map(|old| &**old))
    }

    /// Stores files, reads what they use, and what that uses, and works out what depends on them.
    fn put_entries(&mut self, entries: Vec<Entry>) -> Vec<FilePath> {
        let mut changed = Changed::default();
        let mut wanted = Vec::new();
        for entry in entries {
            self.store(entry, &mut changed, &mut wanted);
        }
        self.load(wanted, &mut changed);
        self.work_out(changed)
    }

    /// Stores a file; adds the files that it newly uses to those `wanted`.
    fn store(&mut self, entry: Entry, changed: &mut Changed, wanted: &mut Vec<FilePath>) {
        let path = entry.file.path().clone();
        let old = self.shared.entries.get(&path).map(|entry| entry.clone());
        let same_imports = old.as_ref().is_some_and(|old| old.same_imports(&entry));
        if !same_imports {
            changed.imports = true;
            if let Some(old) = &old {
                self.forget_imports(old, changed);
            }
            for import in &entry.imports {
                let target = &import.target;
                if self.shared.index.add_user(target, &path) {
                    changed.stale.insert(target.clone());
                }
                wanted.push(target.clone());
            }
        }
        let before = old.as_ref().map(|old| old.declares).unwrap_or_default();
        self.shared.index.declare(&path, before, entry.declares);
        if let Some(old) = old {
            changed.before.entry(path.clone()).or_insert(old);
        }
        self.absent.remove(&path);
        self.shared.entries.insert(path.clone(), Arc::new(entry));
        changed.files.insert(path);
    }

    /// Reads files that are used, unless they are there already, and what they use.
    fn load(&mut self, mut wanted: Vec<FilePath>, changed: &mut Changed) {
        while let Some(path) = wanted.pop() {
            if self.shared.entries.contains_key(&path) || self.absent.contains_key(&path) {
                continue;
            }
            let why = match self.disk.read(&path) {
                // Told where it is used: a folder on the way to a file is no plan to find fault with.
                Read::Unreadable(why) => ImportState::Unreadable(why),
                read => match read.file(path.clone()) {
                    Ok(file) => {
                        self.store(self.entry(file), changed, &mut wanted);
                        continue;
                    }
                    Err(why) => why,
                },
            };
            self.absent.insert(path, why);
        }
    }

    /// Takes a file out of the users of what it uses. What nobody uses any
    /// more is forgotten: a path that is being typed is another one at every key.
    fn forget_imports(&mut self, entry: &Entry, changed: &mut Changed) {
        for import in &entry.imports {
            let index = &self.shared.index;
            if index.remove_user(&import.target, entry.file.path()) {
                self.absent.remove(&import.target);
                changed.stale.insert(import.target.clone());
            }
        }
    }

    /// Works out again whatever the changed files make stale.
    fn work_out(&mut self, mut changed: Changed) -> Vec<FilePath> {
        let mut stale: FxHashSet<FilePath> = &changed.files | &changed.stale;
        let mut next: Vec<FilePath> = changed.files.iter().cloned().collect();
        // Cycles of use may be longer than one step; names are not.
        while let Some(path) = next.pop() {
            for user in self.shared.index.users(&path) {
                if stale.insert(user.clone()) && changed.imports {
                    next.push(user);
                }
            }
        }
        let mut stale: Vec<FilePath> = stale.into_iter().collect();
        stale.par_sort_unstable();
        let batch = Batch::new(&self.shared, &self.absent);
        let work = |path: &FilePath| work_out_one(path, &changed, &batch);
        let is_prepared = |path: &FilePath| {
            let entry = self.shared.entries.get(path);
            changed.files.contains(path) && entry.is_some_and(|entry| entry.is_evaluated())
        };
        let unprepared = stale.iter().filter(|path| !is_prepared(path));
        let fresh: Vec<Fresh> = if unprepared.count() > 1 {
            // One at a time: a core that is done takes over from the other.
            stale.par_iter().with_max_len(1).filter_map(work).collect()
        } else {
            stale.iter().filter_map(work).collect()
        };
        let mut touched = changed.files.clone();
        for Fresh {
            before,
            new,
            differs,
        } in fresh
        {
            if differs {
                touched.insert(new.file.path().clone());
            }
            let claims = self.shared.claims.replace(before.as_deref(), Some(&new));
            changed.claims.extend(claims);
        }
        self.shared.claims.add_rivals(&changed.files, &mut touched);
        self.shared
            .claims
            .add_claimants(&changed.claims, &mut touched);
        touched.into_iter().collect()
    }
}

/// A file that was worked out.
struct Fresh {
    /// The entry whose claims are known.
    before: Option<Arc<Entry>>,
    new: Arc<Entry>,
    /// Whether its findings may be other ones.
    differs: bool,
}

/// What a batch of changes has touched so far.
#[derive(Default)]
struct Changed {
    files: FxHashSet<FilePath>,
    /// Files that nobody used before, or that nobody uses any more.
    stale: FxHashSet<FilePath>,
    /// The entries before, for their claims.
    before: FxHashMap<FilePath, Arc<Entry>>,
    claims: FxHashSet<Claim>,
    /// Whether any file uses other files than before.
    imports: bool,
}

/// Works out a file and puts it in the place of what was not worked out, which goes
/// here, on whichever core is at it: it is most of the memory.
fn work_out_one(path: &FilePath, changed: &Changed, batch: &Batch) -> Option<Fresh> {
    let shared = batch.shared;
    let old = shared.entries.get(path)?.clone();
    let is_used = shared.index.user_count(path) > 0;
    let new = worked_out(&old, batch, is_used);
    let new = Arc::new(match new.file.is_closed() {
        true => new.at_rest(Evaluation::rests),
        false => new,
    });
    shared.entries.insert(path.clone(), new.clone());
    Some(Fresh {
        // What points into a file that changed may point elsewhere in it now.
        differs: !new.same_results(&old) || new.points_into(&changed.files),
        new,
        before: match changed.files.contains(path) {
            true => changed.before.get(path).cloned(),
            false => Some(old),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library;

    #[test]
    fn files_are_those_of_the_workspace_and_of_the_library() {
        let path = FilePath::new("/a.bell");
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        workspace.put(vec![File::new(path.clone(), "use \"b.bell\"")]);
        let view = workspace.view();
        let library = library::LIBRARY.iter().map(|file| file.path());
        for path in [&path].into_iter().chain(library) {
            assert!(view.has(path) && view.entry(path).is_some(), "{path}");
        }
        let absent = FilePath::new("/b.bell");
        assert!(!view.has(&absent) && view.entry(&absent).is_none());
    }

    #[test]
    fn what_is_used_and_cannot_be_read_is_told_where_it_is_used_alone() {
        struct Folders;
        impl Files for Folders {
            fn read(&self, _: &FilePath) -> Read {
                Read::Unreadable("this is a folder".to_string())
            }
        }
        let path = FilePath::new("/sites/a.bell");
        let folder = FilePath::new("/catalog");
        let mut workspace = Workspace::new(Arc::new(Folders), Day::default());
        let typed = File::new(path.clone(), "use \"../catalog\"");
        assert_eq!(workspace.put(vec![typed]), std::slice::from_ref(&path));
        let view = workspace.view();
        assert!(!view.has(&folder));
        let findings = view.entry(&path).map(|entry| view.findings(&entry));
        let messages = findings.iter().flatten().map(|at| &at.finding.message);
        let messages: Vec<_> = messages.collect();
        assert_eq!(messages, ["`../catalog` cannot be read: this is a folder"]);
    }

    #[test]
    fn a_closed_file_rests_whatever_its_readers_have_made_again() {
        let path = FilePath::new("/a.bell");
        let text = "site a {\n  account-line\n}\nsite a {\n}\n";
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        workspace.put(vec![File::closed(path.clone(), text)]);
        let view = workspace.view();
        let stored = || {
            workspace
                .shared
                .entries
                .get(&path)
                .map(|entry| entry.clone())
        };
        let stored = stored().into_iter().collect::<Vec<_>>();
        let rests = || {
            let known = stored.iter().flat_map(|entry| &entry.evaluations);
            known.filter(|evaluation| evaluation.rests()).count()
        };
        assert_eq!(rests(), 2);
        let read = view.entry(&path);
        let sites = read.iter().flat_map(|entry| &entry.evaluations);
        assert_eq!(sites.filter_map(|known| known.site()).count(), 2);
        assert_eq!(read.map(|entry| view.findings(&entry).len()), Some(3));
        assert_eq!(rests(), 2);
        // Those who read the text at the same time make it once.
        let [one, other] = [view.file(&path), view.file(&path)].map(Option::unwrap);
        assert!(Arc::ptr_eq(&one, &other) && !Arc::ptr_eq(&one, &stored[0].file));
        let known = Arc::downgrade(&one);
        drop((one, other));
        assert!(known.upgrade().is_none());
        // Opened, it is kept as it is.
        workspace.put(vec![File::new(path.clone(), text)]);
        let open = view.entry(&path);
        let open = open.iter().flat_map(|entry| &entry.evaluations);
        assert_eq!(open.filter(|known| known.rests()).count(), 0);
    }
}
