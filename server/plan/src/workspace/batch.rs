//! Files that are worked out together.

use rustc_hash::FxHashMap;

use super::circles::Circles;
use super::files::ImportState;
use super::shared::Shared;
use crate::source::FilePath;

/// What it takes to work them out, and what is found out on the way.
pub(super) struct Batch<'a> {
    pub shared: &'a Shared,
    /// Files that somebody uses and that cannot be had, with why.
    pub absent: &'a FxHashMap<FilePath, ImportState>,
    pub circles: Circles,
}

impl<'a> Batch<'a> {
    pub fn new(shared: &'a Shared, absent: &'a FxHashMap<FilePath, ImportState>) -> Batch<'a> {
        Batch {
            shared,
            absent,
            circles: Circles::default(),
        }
    }
}
