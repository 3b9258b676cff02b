//! Checks: one file a family of findings. Each takes a site and its figures.
//!
//! What a finding costs beyond its figures, such as solving again to say what
//! would mend it, is spent only once there is one.

pub(crate) mod shape;

mod age;
mod battery;
mod cable;
mod detectors;
mod exchange;
mod joins;
mod load;
mod loop_mend;
mod loops;
mod mains;
mod mend;
mod models;
mod moves;
mod negatives;
mod numbers;
mod one_way;
mod partitions;
mod places;
mod power;
mod reach;
mod resistors;
mod room;
mod standing;
#[cfg(test)]
mod tests;
mod unchecked;
mod unused;
mod values;
mod wanted;
mod weaker;
mod weight;
mod zones;

use std::sync::Arc;

use crate::day::Day;
use crate::figures::Figures;
use crate::finding::Finding;
use crate::model::{Model, ModelData, Scope, Site, Space, Words};
use crate::source::Item;
use moves::Mover;

/// What is given to checks beside the site.
#[derive(Clone, Copy)]
pub(crate) struct Given<'a> {
    /// The day.
    pub today: Day,
    /// Where models that would mend something are looked for; asked only when
    /// there is something to mend.
    pub scope: &'a dyn Scope,
}

impl Given<'_> {
    /// The cables that the site's file can use.
    fn cables(&self) -> Vec<Arc<Item>> {
        self.models(|data| matches!(data, ModelData::Cable(_)))
    }

    /// The batteries that the site's file can use.
    fn batteries(&self) -> Vec<Arc<Item>> {
        self.models(|data| matches!(data, ModelData::Battery(_)))
    }

    fn models(&self, wanted: fn(&ModelData) -> bool) -> Vec<Arc<Item>> {
        let mut models = self.scope.all(Space::Model);
        models.retain(|item| item.model().is_some_and(|model| wanted(&model.data)));
        models
    }
}

/// Everything that is wrong with a site by its figures.
pub(crate) fn check(site: &Site, figures: &Figures, given: &Given, findings: &mut Vec<Finding>) {
    let mover = &mut Mover::new(site, figures);
    places::check(site, figures, findings);
    reach::check(site, figures, given, mover, findings);
    power::check(site, figures, given, mover, findings);
    mains::check(site, figures, findings);
    battery::check(site, figures, given, findings);
    cable::check(site, figures, given, findings);
    detectors::check(site, findings);
    zones::check(site, figures, given, mover, findings);
    partitions::check(site, findings);
    unused::check(site, findings);
    weaker::check_site(&site.item, given.scope, findings);
    unchecked::check(site, findings);
    values::check_site(site, findings);
}

/// Everything that is wrong with a rule set by its own numbers.
pub fn check_rules(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    weaker::check(Words::root(item), scope, findings);
    values::check_rules(Words::root(item), findings);
}

/// Everything that is wrong with a model by its own numbers.
pub(crate) fn check_model(
    item: &Arc<Item>,
    model: &Model,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
) {
    models::check(item, model, findings);
    resistors::check(item, scope, findings);
    values::check(item, findings);
}
