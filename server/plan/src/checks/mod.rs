//! Checks: one file a family of findings. Each takes a site and its figures.

pub mod shape;

use crate::figures::Figures;
use crate::finding::Finding;
use crate::model::Site;

/// A day, for the age of batteries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year.
    pub year: i32,
    /// Month, from 1.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

/// Everything that is wrong with a site by its figures.
pub fn check(_site: &Site, _figures: &Figures, _today: Day, _findings: &mut Vec<Finding>) {}
