//! What numbers must keep within, beyond being written in the right unit.

use std::ops::{Bound, RangeBounds};

use super::Dimension;

/// What the numbers of a slot must keep within.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Those of this dimension; plain numbers if it is `None`.
    pub of: Option<Dimension>,
    /// From where to where, in the dimension's own unit.
    pub range: (Bound<f64>, Bound<f64>),
    /// What is told of one outside; `{}` stands for it.
    pub outside: &'static str,
}

impl Bounds {
    /// Whether a number is within, or of another dimension.
    pub fn lets(&self, of: Option<Dimension>, value: f64) -> bool {
        of != self.of || self.range.contains(&value)
    }

    /// What is told of a number, written as `text`, if it is outside.
    pub fn told(&self, of: Option<Dimension>, value: f64, text: &str) -> Option<String> {
        (!self.lets(of, value)).then(|| self.outside.replace("{}", text))
    }
}
