//! Which slots of a word are still to be filled.

use bellwire_plan::source::{Item, Value, ValueKind};
use bellwire_plan::vocabulary::{Presence, Slot, What, Word, unit};

/// The slots that the next argument behind `before` may fill, and whether none
/// need be filled.
pub(super) fn open_slots(
    item: &Item,
    word: &'static Word,
    before: &[Value],
) -> (Vec<&'static Slot>, bool) {
    let mut next = 0;
    let mut taken = 0;
    for value in before {
        while let Some(slot) = word.slots.get(next) {
            let fits = may_fill(item, slot, value);
            if fits && slot.presence == Presence::Several {
                taken += 1;
                break;
            }
            next += 1;
            if fits || slot.presence == Presence::Required {
                break;
            }
            taken = 0;
        }
    }
    let mut open = Vec::new();
    for slot in word.slots.get(next..).unwrap_or(&[]) {
        open.push(slot);
        let is_first = open.len() == 1;
        let may_be_left_out = slot.presence == Presence::Optional
            || slot.presence == Presence::Several && is_first && taken > 0;
        if !may_be_left_out {
            return (open, false);
        }
    }
    (open, true)
}

/// Whether a value is of the form that a slot takes.
fn may_fill(item: &Item, slot: &Slot, value: &Value) -> bool {
    match (slot.what, &value.kind) {
        (What::Label | What::PathText, kind) => matches!(kind, ValueKind::Text(_)),
        (_, ValueKind::Text(_)) => false,
        (What::Amount(dimensions), ValueKind::Quantity(quantity)) => {
            let named = quantity.unit.and_then(|span| unit(item.text(span)));
            named.is_none_or(|unit| dimensions.contains(&unit.dimension))
        }
        (
            What::NewNumber
            | What::HowMany
            | What::Number
            | What::Numbers
            | What::Factor
            | What::Address
            | What::Version,
            kind,
        ) => !matches!(kind, ValueKind::Name(_)),
        (What::NewName | What::Word | What::Choice(_) | What::Kind, kind) => {
            matches!(kind, ValueKind::Name(_))
        }
        _ => true,
    }
}
