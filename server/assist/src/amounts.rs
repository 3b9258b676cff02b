//! Numbers as people would write them.

use bellwire_circuit::Draw;
use bellwire_plan::decimal::rows;
pub(crate) use bellwire_plan::vocabulary::hours;
use bellwire_plan::vocabulary::{Dimension, Measures, in_usual_unit};

/// Volts as they would be written.
pub(crate) fn volts(value: f64) -> String {
    in_usual_unit(value, Dimension::Voltage)
}

/// Volts as a meter shows them.
pub(crate) fn measured(value: f64) -> String {
    format!("{value:.2} V")
}

/// Amperes as they would be written.
pub(crate) fn amperes(value: f64) -> String {
    in_usual_unit(value, Dimension::Current)
}

/// A battery's ampere-hours as they would be written.
pub(crate) fn ampere_hours(value: f64) -> String {
    in_usual_unit(value, Dimension::Charge)
}

/// Ohms as they would be written; `endless` where no current can flow.
pub(crate) fn ohms(value: f64, endless: &str) -> String {
    match value.is_finite() {
        true => in_usual_unit(value, Dimension::Resistance),
        false => endless.to_string(),
    }
}

/// A length as it would be written in a plan that is measured so.
pub(crate) fn length(metres: f64, measures: Measures) -> String {
    measures.in_usual_unit(metres, Dimension::Length)
}

/// A share as it would be written: `12.5 %`.
pub(crate) fn share(value: f64) -> String {
    in_usual_unit(value, Dimension::Share)
}

/// A draw as it would be written: `45 mA`.
pub(crate) fn draw(draw: Draw) -> String {
    match draw {
        Draw::Amperes(value) => amperes(value),
        Draw::Watts(value) => in_usual_unit(value, Dimension::Power),
        Draw::Ohms(value) => in_usual_unit(value, Dimension::Resistance),
    }
}

/// From the least to the most, or the one number that both are.
pub(crate) fn between(least: String, most: String) -> String {
    match least == most {
        true => least,
        false => format!("{least} .. {most}"),
    }
}

/// From one voltage to another, either end open.
pub(crate) fn within(least: f64, most: f64) -> String {
    match (least.is_finite(), most.is_finite()) {
        (true, true) => format!("{} .. {}", volts(least), volts(most)),
        (true, false) => format!("from {}", volts(least)),
        (false, true) => format!("up to {}", volts(most)),
        (false, false) => "at any voltage".to_string(),
    }
}

/// Whole numbers with rows of them shortened: `1, 3 .. 8`.
pub(crate) fn numbers(values: &[u32]) -> String {
    let row = |(first, last): (u32, u32)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} .. {last}"),
    };
    let rows: Vec<String> = rows(values).into_iter().map(row).collect();
    rows.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_of_numbers_are_shortened() {
        assert_eq!(numbers(&[1, 3, 4, 6, 7, 8]), "1, 3, 4, 6 .. 8");
        assert_eq!(numbers(&[]), "");
    }
}
