//! What later layers make of a value, kept with the value.

use std::any::Any;
use std::sync::{Arc, OnceLock};

/// Where the layers above keep what they make of an item or a file, one value
/// of each type. It is worked out when first asked for and lives as long as
/// what it was made of; this layer need not know what it is.
#[derive(Default, Clone)]
pub struct Derived(OnceLock<Arc<Kept>>);

struct Kept<T: ?Sized = dyn Any + Send + Sync> {
    next: Derived,
    value: T,
}

impl Derived {
    /// What is kept of this type, made first if there is nothing yet.
    pub fn get_or_make<T: Any + Send + Sync>(&self, make: impl Fn() -> T) -> &T {
        let mut slot = self;
        loop {
            let kept: &Kept = slot.0.get_or_init(|| {
                Arc::new(Kept {
                    next: Derived::default(),
                    value: make(),
                })
            });
            match kept.value.downcast_ref() {
                Some(value) => return value,
                None => slot = &kept.next,
            }
        }
    }
}

impl std::fmt::Debug for Derived {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Derived")
    }
}

#[cfg(test)]
mod tests {
    use super::Derived;

    #[test]
    fn one_value_of_each_type_is_kept() {
        let derived = Derived::default();
        assert_eq!(*derived.get_or_make(|| 1u8), 1);
        assert_eq!(*derived.get_or_make(|| "two"), "two");
        assert_eq!(*derived.get_or_make(|| 9u8), 1);
        assert_eq!(*derived.get_or_make(|| "nine"), "two");
    }
}
