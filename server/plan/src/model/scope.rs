//! Where names of other items are looked up.

use std::sync::Arc;

use crate::finding::Lack;
use crate::source::Item;
use crate::vocabulary::Space;

impl Space {
    /// The namespace that an item's name is in.
    pub fn of(item: &Item) -> Option<Space> {
        match item.word() {
            "model" => Some(Space::Model),
            "rules" => Some(Space::Rules),
            "monitoring" => Some(Space::Monitoring),
            "site" => Some(Space::Site),
            _ => None,
        }
    }
}

/// The top-level names that a file can use: its own, those of the files that
/// it uses, and the built-in library's, in this order.
pub trait Scope {
    /// The item that `name` stands for.
    fn find(&self, space: Space, name: &str) -> Option<Arc<Item>>;

    /// Everything of a namespace, for suggestions.
    fn all(&self, space: Space) -> Vec<Arc<Item>>;

    /// Whether what is not found may be there all the same: without a name, or in a line that
    /// cannot be read.
    fn may_have(&self, lack: &Lack) -> bool;

    /// Whether all files that the file uses could be read. If not, nobody knows
    /// which names they would bring, and a name that is not found is not wrong.
    fn is_whole(&self) -> bool;
}
