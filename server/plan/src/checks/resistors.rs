//! The resistors of loops, where the model says which series they are from: a
//! value that nobody makes is found at the desk and not in the shop.

use std::sync::Arc;

use crate::finding::{Code, Finding, Mend};
use crate::model::read::Words;
use crate::model::{Model, Scope};
use crate::source::Item;
use crate::vocabulary::{Dimension, Space, in_usual_unit};

/// Checks the resistors of a model's loops.
pub(super) fn check(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    let inputs = Words::root(item).all("inputs");
    for wiring in inputs.flat_map(|inputs| inputs.all("loop")) {
        for word in ["end", "contact"] {
            findings.extend(odd(wiring, word, scope));
        }
    }
}

/// A value that its series does not have.
fn odd(wiring: Words, word: &'static str, scope: &dyn Scope) -> Option<Finding> {
    let ohms = wiring.get(word)?.amount(Dimension::Resistance)?;
    let name = wiring.get("resistors")?.name()?;
    let found = scope.find(Space::Model, name.value)?;
    let series = found.model().and_then(Model::series)?;
    let nearest = series.nearest(ohms.value)?;
    if series.has(ohms.value) {
        return None;
    }
    let shown = |ohms: f64| in_usual_unit(ohms, Dimension::Resistance);
    let message = format!(
        "{} has no {}, which loop `{}` asks for: {} is the nearest.",
        name.value,
        shown(ohms.value),
        wiring.name().map_or("", |name| name.value),
        shown(nearest),
    );
    let mend = Mend {
        title: format!("Make it {}", shown(nearest)),
        edits: vec![(ohms.span, shown(nearest))],
    };
    Some(Finding::new(Code::NotInSeries, ohms.span, message).mended_by(Some(mend)))
}
