//! What a later layer makes of a value, kept with the value.

use std::any::Any;
use std::sync::OnceLock;

/// A slot in which one layer above keeps what it makes of an item or a file.
/// It is worked out when first asked for, lives as long as the value, and this
/// layer need not know what it is.
#[derive(Default)]
pub(crate) struct Derived(OnceLock<Box<dyn Any + Send + Sync>>);

impl Derived {
    /// What is kept, made first if nothing is yet. One slot holds one type.
    pub(crate) fn get_or_make<T: Any + Send + Sync>(&self, make: impl FnOnce() -> T) -> &T {
        let kept = self.0.get_or_init(|| Box::new(make()));
        match kept.downcast_ref() {
            Some(kept) => kept,
            None => unreachable!("one slot holds one type"),
        }
    }
}

impl std::fmt::Debug for Derived {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Derived")
    }
}
