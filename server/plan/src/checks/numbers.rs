//! Numbers as messages have them.

use crate::figures::{above, below};
use crate::vocabulary::{Dimension, beside, in_usual_unit};

/// Volts as the trade writes them: to a tenth.
pub(super) fn volts(value: f64) -> String {
    format!("{value:.1} V")
}

/// A range of resistances: `2.18 kohm to 2.22 kohm`, `open`.
pub(super) fn resistances(least: f64, most: f64) -> String {
    let [from, to] = [least, most].map(|ohms| in_usual_unit(ohms, Dimension::Resistance));
    range((least, from), (most, to))
}

/// The same, where it is not wholly between two others: an end that lies beyond
/// has the digits to show it.
pub(super) fn resistances_beyond((least, most): (f64, f64), (from, to): (f64, f64)) -> String {
    let usual = |ohms| in_usual_unit(ohms, Dimension::Resistance);
    let lower = match below(least, from) {
        true => beside(least, from, Dimension::Resistance),
        false => usual(least),
    };
    let upper = match most.is_finite() && above(most, to) {
        true => beside(most, to, Dimension::Resistance),
        false => usual(most),
    };
    range((least, lower), (most, upper))
}

fn range((least, from): (f64, String), (most, to): (f64, String)) -> String {
    match (least.is_finite(), most.is_finite()) {
        (true, true) if from == to => from,
        (true, true) => format!("{from} to {to}"),
        (true, false) => format!("{from} and more"),
        _ => "open".to_string(),
    }
}

/// A range of addresses: `addresses 1 to 8`.
pub(super) fn addresses((first, last): (u32, u32)) -> String {
    if first == last {
        format!("address {first}")
    } else {
        format!("addresses {first} to {last}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_shows_where_it_goes_beyond_another() {
        let beyond = |range| resistances_beyond(range, (990.0, 1010.0));
        assert_eq!(beyond((990.0, 1010.0003)), "990 ohm to 1.0100003 kohm");
        assert_eq!(beyond((989.9999, 1000.0)), "989.9999 ohm to 1 kohm");
        assert_eq!(beyond((980.0, 1020.0)), "980 ohm to 1.02 kohm");
        assert_eq!(beyond((995.0, f64::INFINITY)), "995 ohm and more");
    }
}
