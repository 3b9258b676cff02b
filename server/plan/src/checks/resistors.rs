//! The resistors of loops, where the model says which series they are from: a
//! value that nobody makes is found at the desk and not in the shop.

use crate::finding::{Code, Finding, Mend};
use crate::model::{At, LoopModel, Model, Scope};
use crate::vocabulary::{Dimension, Space, in_usual_unit};

/// Checks the resistors of a model's loops.
pub(super) fn check(model: &Model, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    for wiring in model.loops() {
        for ohms in [wiring.end, wiring.contact].into_iter().flatten() {
            findings.extend(odd(wiring, ohms, scope));
        }
    }
}

/// A value that its series does not have.
fn odd(wiring: &LoopModel, ohms: At<f64>, scope: &dyn Scope) -> Option<Finding> {
    let name = wiring.resistors.as_ref()?;
    let found = scope.find(Space::Model, &name.value)?;
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
        wiring.name.value,
        shown(nearest),
    );
    let mend = Mend {
        title: format!("Make it {}", shown(nearest)),
        edits: vec![(ohms.span, shown(nearest))],
    };
    Some(Finding::new(Code::NotInSeries, ohms.span, message).mended_by(Some(mend)))
}
