//! The names that a file can use, and a record of those that were looked up.

use std::cell::RefCell;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHasher};

use crate::finding::Lack;
use crate::library::LIBRARY;
use crate::model::Scope;
use crate::source::{File, Item};
use crate::vocabulary::Space;

/// A file's own names, those of the files that it uses, and the library's.
#[derive(Clone)]
pub struct FileScope {
    files: Vec<Arc<File>>,
    fingerprint: Fingerprint,
}

/// Tells what a scope holds: one number for each namespace that statements
/// look names up in, and whether it is whole. Equal fingerprints are equal scopes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Fingerprint {
    spaces: [u64; Space::LOOKED_UP.len()],
    whole: bool,
}

impl Fingerprint {
    fn of(files: &[Arc<File>], whole: bool) -> Fingerprint {
        let mut hashers = Space::LOOKED_UP.map(|_| FxHasher::default());
        for (_, item) in files.iter().flat_map(|file| file.items()) {
            // What means nothing may be meant for any namespace.
            let own = match Space::of(item) {
                Some(space) => hashers.get_mut(space as usize..=space as usize),
                None => item.means_nothing().then_some(&mut hashers[..]),
            };
            for hasher in own.into_iter().flatten() {
                item.id.hash(hasher);
            }
        }
        Fingerprint {
            spaces: hashers.map(|hasher| hasher.finish()),
            whole,
        }
    }

    fn get(&self, space: Space) -> Option<u64> {
        self.spaces.get(space as usize).copied()
    }
}

impl FileScope {
    /// The scope of `own`, which uses `used`; `whole` if these are all.
    pub(super) fn new(
        own: Arc<File>,
        used: impl IntoIterator<Item = Arc<File>>,
        whole: bool,
    ) -> FileScope {
        let files: Vec<_> = std::iter::once(own).chain(used).collect();
        let fingerprint = Fingerprint::of(&files, whole);
        FileScope { files, fingerprint }
    }

    /// What tells it from scopes that hold other things.
    pub(super) fn fingerprint(&self) -> Fingerprint {
        self.fingerprint
    }

    fn all_files(&self) -> impl Iterator<Item = &Arc<File>> {
        self.files.iter().chain(LIBRARY.iter())
    }
}

impl Scope for FileScope {
    fn find(&self, space: Space, name: &str) -> Option<Arc<Item>> {
        self.all_files().find_map(|file| file.declared(space, name))
    }

    fn all(&self, space: Space) -> Vec<Arc<Item>> {
        self.all_files().flat_map(|file| file.all(space)).collect()
    }

    fn may_have(&self, lack: &Lack) -> bool {
        self.all_files().any(|file| file.may_have(lack))
    }

    fn is_whole(&self) -> bool {
        self.fingerprint.whole
    }
}

/// What an evaluation asked its scope, and the answers: as long as they are
/// the same, so is the evaluation. A scope itself, of those answers alone.
#[derive(Debug, Default)]
pub(super) struct Lookups {
    /// Each name that was looked up, in order.
    found: Box<[Lookup]>,
    /// The namespaces that somebody asked for all of, with their fingerprint.
    all: Box<[(Space, Option<u64>)]>,
    /// Whether the scope was whole.
    whole: bool,
}

#[derive(Debug)]
struct Lookup {
    space: Space,
    name: Box<str>,
    found: Option<Arc<Item>>,
}

impl Lookups {
    /// Whether `scope` would give the same answers.
    pub(super) fn still_hold(&self, scope: &FileScope) -> bool {
        let same = |lookup: &Lookup| {
            let found = scope.find(lookup.space, &lookup.name);
            found.map(|item| item.id) == lookup.found.as_ref().map(|item| item.id)
        };
        if self.whole != scope.is_whole() && self.lack_a_name() {
            return false;
        }
        let mut all = self.all.iter();
        all.all(|(space, fingerprint)| scope.fingerprint.get(*space) == *fingerprint)
            && self.found.iter().all(same)
    }

    /// Whether a name was looked up that nothing has.
    pub(super) fn lack_a_name(&self) -> bool {
        self.found.iter().any(|lookup| lookup.found.is_none())
    }

    /// The items that were found.
    pub(super) fn ids(&self) -> impl Iterator<Item = u64> {
        let found = self.found.iter();
        found.filter_map(|lookup| Some(lookup.found.as_ref()?.id))
    }
}

impl Scope for Lookups {
    fn find(&self, space: Space, name: &str) -> Option<Arc<Item>> {
        let key = |lookup: &Lookup| (lookup.space, &*lookup.name).cmp(&(space, name));
        let at = self.found.binary_search_by(key).ok()?;
        self.found.get(at)?.found.clone()
    }

    /// Nothing: what was found does not depend on it, only what is suggested.
    fn all(&self, _: Space) -> Vec<Arc<Item>> {
        Vec::new()
    }

    /// No: likewise, only what is told does.
    fn may_have(&self, _: &Lack) -> bool {
        false
    }

    fn is_whole(&self) -> bool {
        self.whole
    }
}

/// By name, what was found.
type Answers = FxHashMap<Box<str>, Option<Arc<Item>>>;

/// A scope that remembers what it was asked.
pub(super) struct Recorder<'a> {
    scope: &'a FileScope,
    found: RefCell<FxHashMap<Space, Answers>>,
    all: RefCell<Vec<(Space, Option<u64>)>>,
}

impl<'a> Recorder<'a> {
    pub(super) fn new(scope: &'a FileScope) -> Recorder<'a> {
        Recorder {
            scope,
            found: RefCell::default(),
            all: RefCell::default(),
        }
    }

    /// Notes that the answer hangs on all of a namespace.
    fn note_all(&self, space: Space) {
        let mut all = self.all.borrow_mut();
        if !all.iter().any(|(known, _)| *known == space) {
            all.push((space, self.scope.fingerprint.get(space)));
        }
    }

    pub(super) fn finish(self) -> Lookups {
        let spaces = self.found.into_inner().into_iter();
        let lookups = spaces.flat_map(|(space, names)| {
            let names = names.into_iter();
            names.map(move |(name, found)| Lookup { space, name, found })
        });
        let mut found: Vec<Lookup> = lookups.collect();
        found.sort_unstable_by(|a, b| (a.space, &a.name).cmp(&(b.space, &b.name)));
        Lookups {
            found: found.into(),
            all: self.all.into_inner().into(),
            whole: self.scope.is_whole(),
        }
    }
}

impl Scope for Recorder<'_> {
    fn find(&self, space: Space, name: &str) -> Option<Arc<Item>> {
        let mut found = self.found.borrow_mut();
        let known = found.entry(space).or_default();
        if let Some(known) = known.get(name) {
            return known.clone();
        }
        let found = self.scope.find(space, name);
        known.insert(name.into(), found.clone());
        found
    }

    fn all(&self, space: Space) -> Vec<Arc<Item>> {
        self.note_all(space);
        self.scope.all(space)
    }

    fn may_have(&self, lack: &Lack) -> bool {
        self.note_all(lack.space);
        self.scope.may_have(lack)
    }

    fn is_whole(&self) -> bool {
        self.scope.is_whole()
    }
}
