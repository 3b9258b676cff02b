//! What the owner of a workspace and its readers share.

use std::sync::Arc;

use dashmap::DashMap;
use rustc_hash::FxBuildHasher;

use super::claims::Claims;
use super::entry::Entry;
use super::index::Index;
use super::scope::FileScope;
use crate::day::Day;
use crate::model::Declaration;
use crate::source::{File, FilePath};

/// All files, and what is known across them.
pub(super) struct Shared {
    pub entries: DashMap<FilePath, Arc<Entry>, FxBuildHasher>,
    pub claims: Claims,
    pub index: Index,
    pub today: Day,
}

impl Shared {
    pub fn new(today: Day) -> Shared {
        Shared {
            entries: DashMap::default(),
            claims: Claims::default(),
            index: Index::default(),
            today,
        }
    }

    /// The scope of a file's items.
    pub fn scope(&self, entry: &Entry) -> FileScope {
        let used = entry.imports.iter().filter_map(|import| {
            let used = self.entries.get(&import.target)?;
            Some(used.file.clone())
        });
        let used: Vec<Arc<File>> = used.collect();
        let read = used
            .iter()
            .filter(|file| file.unreadable_because().is_none());
        let uses = entry.file.items();
        let uses = uses.filter(|(_, item)| matches!(item.declared().what, Declaration::Use(_)));
        let whole = read.count() == uses.count();
        FileScope::new(entry.file.clone(), used, whole)
    }
}
