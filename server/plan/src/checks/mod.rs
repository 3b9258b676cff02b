//! Checks: one file a family of findings. Each takes a site and its figures.
//!
//! | file | what is checked there |
//! | --- | --- |
//! | `shape` | statements, before anything has a meaning: words, arguments, units, bounds, counts |
//! | `models`, `resistors`, `values` | what a model, or a site, says that cannot be or that nothing real has |
//! | `doubts` | what a model says that can hardly be meant |
//! | `rule_sets` | rule sets that ask for what hardly can be meant, or for less than the one that they are built on |
//! | `places`, `bus_load` | addresses on a bus; how much a bus carries |
//! | `wiring`, `bus_membership` | what cable brings to a device, and whether it is declared in that bus |
//! | `joins`, `negatives` | power over two routes; units whose negatives nothing joins |
//! | `power`, `needs` | volts at devices, and what these need |
//! | `switched` | sounders and beacons that nothing switches |
//! | `load`, `overload`, `mains` | what outputs and units carry, and whether it is too much; what a unit asks of its mains side |
//! | `battery`, `battery_age` | whether a battery lasts, may be charged, charges in time; how old it is |
//! | `cable` | cores, lengths, capacitance, the shape of a bus's cable |
//! | `zones`, `inputs`, `wrong_inputs` | an input for each zone, and the cable from it; inputs that are not there, or are another zone's |
//! | `loops` | what an input reads |
//! | `detectors`, `partitions` | detectors in no zone or on two loops; partitions that are not there, or empty |
//! | `unused`, `unchecked` | joints, supplies and runs that serve nothing; what models do not say, so that it is not checked |
//!
//! Those that look at figures are given a `case`. `mend` works out what would mend a finding, and
//! imports from no file that asks for it; `trouble` counts what is wrong, so that no mend brings
//! more. `topology` says how the cable of a bus is laid, `unequal`
//! which outputs of different voltage are joined; `numbers` writes values as messages have them.
//!
//! What a finding costs beyond its figures, such as solving again to say what
//! would mend it, is spent only once there is one.

pub(crate) mod shape;

mod battery;
mod battery_age;
mod bus_load;
mod bus_membership;
mod cable;
mod case;
mod detectors;
mod doubts;
mod given;
mod inputs;
mod joins;
mod load;
mod loops;
mod mains;
mod mend;
mod models;
mod needs;
mod negatives;
mod numbers;
mod overload;
mod partitions;
mod places;
mod power;
mod resistors;
mod rule_sets;
mod switched;
#[cfg(test)]
mod tests;
mod topology;
mod trouble;
mod unchecked;
mod unequal;
mod unused;
mod values;
mod wiring;
mod wrong_inputs;
mod zones;

use std::sync::Arc;

use crate::figures::Figures;
use crate::finding::Finding;
use crate::model::{Model, Scope, Site, Words};
use crate::source::Item;
use case::Case;
pub(crate) use given::Given;
use mend::moves::Mover;

/// Everything that is wrong with a site by its figures.
pub(crate) fn check(site: &Site, figures: &Figures, given: &Given, findings: &mut Vec<Finding>) {
    let mover = &mut Mover::new(site, figures, trouble::trouble);
    for bus in places::buses(site, figures) {
        places::check(&bus, findings);
        bus_load::check(&bus, findings);
    }
    let case = &Case::new(site, figures, given);
    wiring::check(case, mover, findings);
    joins::check(site, figures, mover, findings);
    load::check(case, mover, findings);
    power::check(case, mover, findings);
    mains::check(case, findings);
    battery::check(case, findings);
    cable::check(site, figures, given, findings);
    detectors::check(site, findings);
    zones::check(case, mover, findings);
    partitions::check(site, findings);
    unused::check(site, figures, findings);
    rule_sets::check_site(&site.item, given.scope, findings);
    unchecked::check(site, figures, findings);
    values::check(site, findings);
}

/// Everything that is wrong with a rule set by its own numbers.
pub fn check_rules(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    rule_sets::check(Words::root(item), scope, findings);
}

/// Everything that is wrong with a model by its own numbers.
pub(crate) fn check_model(
    item: &Arc<Item>,
    model: &Model,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
) {
    models::check(item, model, findings);
    doubts::check(item, model, findings);
    resistors::check(model, scope, findings);
}
