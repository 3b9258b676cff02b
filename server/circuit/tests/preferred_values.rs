//! Finding preferred values. That the series are IEC 60063's is checked in the tests of the whole
//! project.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::Series;

#[test]
fn the_nearest_value() {
    for (series, ohms, value) in [
        (Series::E12, 4_600.0, 4_700.0),
        (Series::E12, 5_000.0, 4_700.0),
        (Series::E12, 9_500.0, 10_000.0),
        (Series::E24, 5_000.0, 5_100.0),
        (Series::E96, 5_000.0, 4_990.0),
        (Series::E96, 2_200.0, 2_210.0),
        (Series::E24, 2_200.0, 2_200.0),
        (Series::E12, 1.05, 1.0),
        (Series::E12, 0.46, 0.47),
        (Series::E24, 1e6, 1e6),
    ] {
        assert_eq!(series.nearest(ohms), Some(value), "{series:?} {ohms}");
    }
}

#[test]
fn the_next_value_up() {
    for (series, ohms, value) in [
        (Series::E12, 4_700.0, 4_700.0),
        (Series::E12, 4_700.1, 5_600.0),
        (Series::E12, 8_300.0, 10_000.0),
        (Series::E24, 4_701.0, 5_100.0),
        (Series::E96, 980.0, 1_000.0),
        (Series::E12, 0.3 + 0.03, 0.33),
    ] {
        assert_eq!(series.at_least(ohms), Some(value), "{series:?} {ohms}");
    }
}

#[test]
fn every_value_finds_itself() {
    for series in [Series::E12, Series::E24, Series::E96] {
        for digits in series.decade() {
            for scale in [1.0, 10.0, 1000.0] {
                let ohms = f64::from(digits) * scale;
                assert_eq!(series.nearest(ohms), Some(ohms));
                assert_eq!(series.at_least(ohms), Some(ohms));
            }
        }
    }
}

#[test]
fn no_value_for_what_is_no_resistance() {
    for ohms in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Series::E24.nearest(ohms), None);
        assert_eq!(Series::E24.at_least(ohms), None);
    }
}
