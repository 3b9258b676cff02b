//! When a value misses its limit.
//!
//! A sum of floating-point numbers misses what it equals by a little: three legs
//! of 0.1, 0.2 and 0.3 m are more than 0.6 m in the sixteenth digit. A limit
//! that is just met is met.

/// Far above what sums lose, far below what any limit is known to.
const MET: f64 = 1e-9;

/// Whether a value is above a limit that is not below zero.
pub fn above(value: f64, limit: f64) -> bool {
    value > limit * (1.0 + MET)
}

/// Whether a value is below a limit that is not below zero.
pub fn below(value: f64, limit: f64) -> bool {
    value < limit * (1.0 - MET)
}
