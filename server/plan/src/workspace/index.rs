//! What would otherwise take a look at every file: who declares names, and who
//! uses whom. Kept up by whoever puts files in; read by everybody.

use std::collections::BTreeSet;
use std::sync::{PoisonError, RwLock};

use dashmap::DashMap;
use rustc_hash::{FxBuildHasher, FxHashSet};

use crate::source::{File, FilePath};
use crate::vocabulary::Space;

/// Which of the namespaces that statements look names up in a file declares
/// something in.
pub(super) type Declares = [bool; Space::LOOKED_UP.len()];

/// What a file declares.
pub(super) fn declares(file: &File) -> Declares {
    let mut declares = Declares::default();
    for (_, item) in file.items() {
        let space = Space::of(item).filter(|_| item.name().is_some());
        if let Some(declares) = space.and_then(|space| declares.get_mut(space as usize)) {
            *declares = true;
        }
    }
    declares
}

#[derive(Debug, Default)]
pub(super) struct Index {
    declaring: RwLock<[BTreeSet<FilePath>; Space::LOOKED_UP.len()]>,
    /// Who uses a file, whether it is there or not; nobody is no entry.
    users: DashMap<FilePath, FxHashSet<FilePath>, FxBuildHasher>,
}

impl Index {
    /// A file declares other things than before; one that is not there, nothing.
    pub(super) fn declare(&self, path: &FilePath, before: Declares, after: Declares) {
        if before == after {
            return;
        }
        let declaring = self.declaring.write();
        let mut declaring = declaring.unwrap_or_else(PoisonError::into_inner);
        for (paths, declares) in declaring.iter_mut().zip(after) {
            match declares {
                true => paths.insert(path.clone()),
                false => paths.remove(path),
            };
        }
    }

    /// The files that declare something in a namespace, in the order of their names.
    pub(super) fn declaring(&self, space: Space) -> Vec<FilePath> {
        let declaring = self.declaring.read();
        let declaring = declaring.unwrap_or_else(PoisonError::into_inner);
        let paths = declaring.get(space as usize);
        paths.into_iter().flatten().cloned().collect()
    }

    /// Notes that a file uses another. Gives whether it is the first to.
    pub(super) fn add_user(&self, target: &FilePath, user: &FilePath) -> bool {
        let mut users = self.users.entry(target.clone()).or_default();
        users.insert(user.clone());
        users.len() == 1
    }

    /// Notes that a file uses another no more. Gives whether nobody does now.
    pub(super) fn remove_user(&self, target: &FilePath, user: &FilePath) -> bool {
        let Some(mut users) = self.users.get_mut(target) else {
            return false;
        };
        users.remove(user);
        drop(users);
        let gone = self.users.remove_if(target, |_, users| users.is_empty());
        gone.is_some()
    }

    /// How many files use a file.
    pub(super) fn user_count(&self, target: &FilePath) -> usize {
        self.users.get(target).map_or(0, |users| users.len())
    }

    /// Who uses a file.
    pub(super) fn users(&self, target: &FilePath) -> Vec<FilePath> {
        let users = self.users.get(target);
        users.map_or_else(Vec::new, |users| users.iter().cloned().collect())
    }
}
