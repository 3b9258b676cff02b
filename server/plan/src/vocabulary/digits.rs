//! How many digits tell a value from the limit that it misses.

use super::{Dimension, Unit, in_usual_unit, unit};
use crate::decimal::short;

/// A value and the limit that it misses, in one unit and with as many digits
/// as it takes to tell them apart.
pub fn value_and_limit(value: f64, limit: f64, dimension: Dimension) -> (String, String) {
    let usual = in_usual_unit(limit, dimension);
    let name = match usual.rsplit_once(' ') {
        // A limit of less than a volt is written in millivolts.
        Some((_, "V")) if limit.abs() < 1.0 => "mV",
        Some((_, name)) => name,
        None => "",
    };
    told_apart(value, limit, unit(name).unwrap_or(dimension.usual()))
}

/// The same in one unit.
pub(super) fn told_apart(value: f64, limit: f64, unit: &Unit) -> (String, String) {
    let [value, limit] = [value, limit].map(|value| unit.from_own_unit(value));
    let name = unit.name();
    let least = if name == "V" { 1 } else { 0 };
    let write = |value: f64, decimals: usize| format!("{} {name}", short(value, decimals));
    // Within a tenth of a percent where that is possible, and never alike.
    let telling = |decimals: &usize| {
        let step = 10_f64.powi(-(*decimals as i32));
        let fine = (value - limit).abs() >= 2.0 * step || step <= 0.001 * limit.abs();
        // Nor rounded so that it would be taken for another: 9.2 Ah is not 9.
        let fine = fine && step <= 0.04 * value.abs().max(limit.abs());
        fine && write(value, *decimals) != write(limit, *decimals)
    };
    let decimals = (least..=MOST_DECIMALS)
        .find(telling)
        .unwrap_or(MOST_DECIMALS);
    (write(value, decimals), write(limit, decimals))
}

/// As many as tell apart what misses its limit at all.
const MOST_DECIMALS: usize = 9;

/// A value as it is usually written, or with as many digits as it takes to tell
/// it from the limit that it misses.
pub fn beside(value: f64, limit: f64, dimension: Dimension) -> String {
    let usual = in_usual_unit(value, dimension);
    match usual == in_usual_unit(limit, dimension) {
        true => value_and_limit(value, limit, dimension).0,
        false => usual,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_never_looks_like_the_limit_that_it_misses() {
        let volts = |value, limit| value_and_limit(value, limit, Dimension::Voltage);
        let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
        assert_eq!(volts(0.25, 0.01), pair("250 mV", "10 mV"));
        assert_eq!(volts(9.7134, 10.2), pair("9.7 V", "10.2 V"));
        assert_eq!(volts(10.1996, 10.2), pair("10.1996 V", "10.2 V"));
        let amperes = |value, limit| value_and_limit(value, limit, Dimension::Current);
        assert_eq!(amperes(0.652, 0.6), pair("652 mA", "600 mA"));
        assert_eq!(amperes(1.2004, 1.2), pair("1.2004 A", "1.2 A"));
        let hours = |value, limit| value_and_limit(value, limit, Dimension::Charge);
        assert_eq!(hours(7.0, 9.198), pair("7 Ah", "9.2 Ah"));
        assert_eq!(hours(7.0, 38.4), pair("7 Ah", "38 Ah"));
        let ohms = |value, limit| value_and_limit(value, limit, Dimension::Resistance);
        let just = ohms(1_010.000_002, 1_010.0);
        assert_eq!(just, pair("1.010000002 kohm", "1.01 kohm"));
    }
}
