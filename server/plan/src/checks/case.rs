//! A site as it is checked by its figures.

use rustc_hash::FxHashSet;

use super::Given;
use super::needs::cannot_be_fed;
use super::unequal::Unequal;
use crate::figures::Figures;
use crate::model::{DeviceId, Site};

/// A site with its figures, and what of them is told by itself: sums over that say nothing more.
pub(super) struct Case<'a> {
    pub site: &'a Site,
    pub figures: &'a Figures,
    pub given: &'a Given<'a>,
    /// Outputs of different voltage that are joined.
    pub unequal: Unequal,
    /// Devices that the cable cannot feed in some state.
    pub stuck: FxHashSet<DeviceId>,
}

impl<'a> Case<'a> {
    pub fn new(site: &'a Site, figures: &'a Figures, given: &'a Given) -> Case<'a> {
        Case {
            site,
            figures,
            given,
            unequal: Unequal::new(site, figures),
            stuck: cannot_be_fed(figures),
        }
    }
}
