//! Panel models: places that do not overlap and lie on the bus.

use std::sync::Arc;

use super::places::addresses;
use crate::finding::{Code, Finding};
use crate::model::{At, BusModel, Model, ModelData};
use crate::source::{Item, Span, Spot};
use crate::vocabulary::Kind;

/// Checks that a panel model gives every kind addresses of its own, all of
/// which the bus has.
pub(super) fn check(item: &Arc<Item>, model: &Model, findings: &mut Vec<Finding>) {
    let ModelData::Unit(unit) = &model.data else {
        return;
    };
    for bus in &unit.buses {
        for (index, (kind, range)) in bus.places.iter().enumerate() {
            for (other, earlier) in bus.places.iter().take(index) {
                if other.value.name != kind.value.name {
                    findings.extend(overlap(item, (kind, range), (other, earlier)));
                }
            }
            findings.extend(outside(item, bus, kind, range));
        }
    }
}

type Range = At<(u32, u32)>;
type PlacesOf<'a> = (&'a At<&'static Kind>, &'a Range);

fn overlap(item: &Arc<Item>, later: PlacesOf, earlier: PlacesOf) -> Option<Finding> {
    let (a, b) = (later.1.value, earlier.1.value);
    let shared = (a.0.max(b.0), a.1.min(b.1));
    if shared.0 > shared.1 {
        return None;
    }
    let message = format!(
        "{} would be for {} and {} alike: give each kind addresses of its own.",
        addresses(shared),
        later.0.value.name,
        earlier.0.value.name
    );
    let spot = spot(item, earlier.1.span);
    let finding = Finding::new(Code::PlacesOverlap, later.1.span, message);
    Some(finding.with(spot, format!("places for {}", earlier.0.value.name)))
}

fn outside(
    item: &Arc<Item>,
    bus: &BusModel,
    kind: &At<&'static Kind>,
    range: &Range,
) -> Option<Finding> {
    let all = bus.addresses?;
    let inside = all.value.0 <= range.value.0 && range.value.1 <= all.value.1;
    if inside {
        return None;
    }
    let message = format!(
        "{} for {} lie outside those of the bus, {} to {}.",
        addresses(range.value),
        kind.value.name,
        all.value.0,
        all.value.1
    );
    let finding = Finding::new(Code::AddressOutOfRange, range.span, message);
    Some(finding.with(spot(item, all.span), "the bus's addresses"))
}

fn spot(item: &Arc<Item>, span: Span) -> Spot {
    Spot {
        item: item.clone(),
        span,
    }
}
