//! What another plan would give: the figures of a site with a change made to
//! it. For findings that say what mends them; never part of an edit's own work.

use super::{Figures, figures};
use crate::model::Site;

/// A site with a change made, and its figures.
pub fn tried(site: &Site, change: impl FnOnce(&mut Site)) -> (Site, Figures) {
    let mut changed = site.clone();
    change(&mut changed);
    let figures = figures(&changed);
    (changed, figures)
}
