//! What is read, with its place.

use crate::source::Span;

/// Something with its place in the item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At<T> {
    /// The thing.
    pub value: T,
    /// Where it is written.
    pub span: Span,
}

impl<T> At<T> {
    /// What `change` makes of the thing, in the same place.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> At<U> {
        At {
            value: change(self.value),
            span: self.span,
        }
    }
}

impl At<f64> {
    /// The number as a whole one, if it is one.
    pub fn whole(self) -> Option<At<u32>> {
        let value = whole(self.value)?;
        Some(self.map(|_| value))
    }
}

/// A number as a whole number, if it is one.
pub(super) fn whole(value: f64) -> Option<u32> {
    (value >= 0.0 && value <= f64::from(u32::MAX) && value.fract() == 0.0).then_some(value as u32)
}
