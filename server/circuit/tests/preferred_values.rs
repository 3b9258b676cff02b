//! Finding preferred values. That the library's series are IEC 60063's is checked in the tests of
//! the whole project.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

use bellwire_circuit::Series;

fn e12() -> Series {
    let values = [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];
    Series::new(0.1, values.map(f64::from)).unwrap()
}

#[test]
fn the_nearest_value() {
    for (ohms, value) in [
        (4_600.0, 4_700.0),
        (5_000.0, 4_700.0),
        (9_500.0, 10_000.0),
        (2_200.0, 2_200.0),
        (1.05, 1.0),
        (0.46, 0.47),
        (1e6, 1e6),
        (0.98, 1.0),
    ] {
        assert_eq!(e12().nearest(ohms), Some(value), "{ohms}");
    }
}

/// 18.3 is 3.3 from 15 and 3.7 from 22; but 1.22 times 15, and 22 is 1.202 times it.
#[test]
fn the_nearest_value_is_the_nearest_by_ratio() {
    let e6 = Series::new(0.2, [10.0, 15.0, 22.0, 33.0, 47.0, 68.0]).unwrap();
    assert_eq!(e6.nearest(18.3), Some(22.0));
    assert_eq!(e6.nearest(18.1), Some(15.0));
}

#[test]
fn every_value_finds_itself_and_no_other() {
    for value in e12().values(1.0, 1e7) {
        assert_eq!(e12().nearest(value), Some(value));
        assert!(e12().has(value), "{value}");
        assert!(!e12().has(value * 1.01), "{value}");
        assert!(!e12().has(value * (1.0 + 1e-8)), "{value}");
    }
}

/// 1 is 2.2 times less than 2.2, and 2.13 times more than 0.47.
#[test]
fn the_nearest_value_may_lie_in_the_decade_below() {
    let two = Series::new(0.2, [22.0, 47.0]).unwrap();
    assert_eq!(two.nearest(1.0), Some(0.47));
}

#[test]
fn the_values_of_a_range() {
    let values: Vec<f64> = e12().values(680.0, 2_200.0).collect();
    assert_eq!(
        values,
        [680.0, 820.0, 1000.0, 1200.0, 1500.0, 1800.0, 2200.0]
    );
    assert_eq!(e12().values(1.0, 999_999.0).count(), 72);
    assert_eq!(e12().values(f64::NAN, 10.0).count(), 0);
    assert_eq!(e12().values(100.0, 10.0).count(), 0);
}

#[test]
fn how_the_values_are_listed_does_not_matter() {
    let listed = [1.0, 22.0, 470.0];
    let series = Series::new(0.2, listed).unwrap();
    let values: Vec<f64> = series.values(1.0, 99.0).collect();
    assert_eq!(values, [1.0, 2.2, 4.7, 10.0, 22.0, 47.0]);
    assert_eq!(series.tolerance(), 0.2);
    // One that is listed in two decades is one value.
    let twice = Series::new(0.2, [1.0, 22.0, 10.0, 470.0]);
    assert_eq!(twice.unwrap().values(1.0, 99.0).count(), 6);
}

#[test]
fn no_value_for_what_is_no_resistance() {
    for ohms in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
        assert_eq!(e12().nearest(ohms), None);
        assert!(!e12().has(ohms));
        assert_eq!(Series::new(0.1, [10.0, ohms]), None);
    }
    assert_eq!(Series::new(0.1, []), None);
}
