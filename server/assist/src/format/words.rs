//! Values and paths as they are written in the canonical layout.

use bellwire_plan::source::{Item, Path, Quantity, Span, Statement, Value, ValueKind};

/// Writes a value in the canonical layout.
pub(super) fn value(item: &Item, value: &Value, text: &mut String) {
    match &value.kind {
        ValueKind::Quantity(amount) => quantity(item, amount, text),
        ValueKind::Range(from, to) => {
            if let Some(from) = from {
                quantity(item, from, text);
                *text += " ";
            }
            *text += "..";
            if let Some(to) = to {
                *text += " ";
                quantity(item, to, text);
            }
        }
        _ => *text += item.text(value.span),
    }
}

fn quantity(item: &Item, quantity: &Quantity, text: &mut String) {
    *text += item.text(quantity.number.span);
    if let Some(unit) = quantity.unit {
        *text += " ";
        *text += item.text(unit);
    }
}

/// Writes a cable's path in the canonical layout.
pub(super) fn path(item: &Item, path: &Path, text: &mut String) {
    for (index, point) in path.points.iter().enumerate() {
        for (number, reference) in point.references.iter().enumerate() {
            if number > 0 {
                *text += " + ";
            }
            value(item, reference, text);
        }
        let Some(leg) = path.legs.get(index) else {
            continue;
        };
        *text += " ";
        match &leg.length {
            Some(length) => {
                *text += "--";
                quantity(item, length, text);
                // What is not closed stays so: that is told.
                let ends = item.text(leg.span).ends_with("--");
                *text += if ends { "-- " } else { " " };
            }
            None if leg.span.is_empty() => {}
            None => {
                *text += item.text(leg.span);
                *text += " ";
            }
        }
    }
}

/// Writes a clause without its comma in the canonical layout.
pub(super) fn clause(item: &Item, keyword: Span, clause: &Statement, text: &mut String) {
    *text += item.text(keyword);
    for argument in &clause.arguments {
        *text += " ";
        value(item, argument, text);
    }
}

/// All that a statement says, token by token.
pub(super) fn all(item: &Item, statement: &Statement) -> Vec<String> {
    let written = |write: &dyn Fn(&mut String)| {
        let mut text = String::new();
        write(&mut text);
        text.trim().to_string()
    };
    let mut words = vec![format!("{:?} {}", statement.form, item.keyword(statement))];
    let mut values = |values: &[Value]| {
        let values = values.iter();
        words.extend(values.map(|one| written(&|text| value(item, one, text))));
    };
    values(&statement.arguments);
    if let Some((_, model)) = &statement.model {
        values(model);
        words.push(":".to_string());
    }
    if let Some(route) = &statement.path {
        words.push(written(&|text| path(item, route, text)));
    }
    let note = statement.note.map_or("", |note| item.text(note));
    words.extend(note.lines().map(|line| line.trim().to_string()));
    words.push(format!("{}", statement.block.is_some()));
    words.push("(".to_string());
    for inner in &statement.body {
        words.extend(all(item, inner));
    }
    words.push(")".to_string());
    words
}
