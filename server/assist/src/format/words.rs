//! Values and ways as they are written in the canonical layout.

use bellwire_plan::source::{Item, Path, Quantity, Value, ValueKind};

/// A value in the canonical layout.
pub(super) fn value(item: &Item, value: &Value) -> String {
    match &value.kind {
        ValueKind::Quantity(amount) => quantity(item, amount),
        ValueKind::Range(from, to) => {
            let ends = [from, to].map(|end| end.as_ref().map(|end| quantity(item, end)));
            match ends {
                [Some(from), Some(to)] => format!("{from} .. {to}"),
                [Some(from), None] => format!("{from} .."),
                [None, Some(to)] => format!(".. {to}"),
                [None, None] => "..".to_string(),
            }
        }
        _ => item.text(value.span).to_string(),
    }
}

fn quantity(item: &Item, quantity: &Quantity) -> String {
    let number = item.text(quantity.number.span);
    match quantity.unit {
        Some(unit) => format!("{number} {}", item.text(unit)),
        None => number.to_string(),
    }
}

/// A cable's way in the canonical layout.
pub(super) fn path(item: &Item, path: &Path) -> String {
    let mut text = String::new();
    for (index, point) in path.points.iter().enumerate() {
        let references: Vec<String> = point
            .references
            .iter()
            .map(|reference| value(item, reference))
            .collect();
        text += &references.join(" + ");
        let Some(leg) = path.legs.get(index) else {
            continue;
        };
        let length = leg.length.as_ref().map(|length| quantity(item, length));
        text += &match length {
            Some(length) => format!(" --{length}-- "),
            None if leg.span.is_empty() => " ".to_string(),
            None => format!(" {} ", item.text(leg.span)),
        };
    }
    text.trim().to_string()
}
