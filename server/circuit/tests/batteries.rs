//! Battery sums: by hand, at the edges, and as properties. What is published is checked through
//! plans, in the tests of the whole project.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::battery::{
    self, BadRatings, CHARGE_FACTOR, END_OF_DISCHARGE, PEUKERT, TABLED_CELSIUS, discharge, needed,
    recharge_hours, standby_hours, temperature_factor,
};
use bellwire_circuit::{Demand, Rate, Ratings};
use proptest::prelude::*;
use support::agree;

fn ratings(rates: &[(f64, f64)]) -> Ratings {
    let rate = |&(ampere_hours, hours): &(f64, f64)| Rate {
        hours,
        ampere_hours,
    };
    Ratings::new(rates.iter().map(rate).collect()).unwrap()
}

/// A battery that gives all of its capacity at any current that matters here.
fn ideal() -> Ratings {
    ratings(&[(7.0, 20.0), (7.0, 0.01)])
}

fn demand(standby: (f64, f64), alarm: (f64, f64), ageing: f64) -> Demand {
    Demand {
        standby_amperes: standby.0,
        standby_hours: standby.1,
        alarm_amperes: alarm.0,
        alarm_hours: alarm.1,
        ageing,
        temperature_factor: 1.0,
    }
}

/// The textbook sum, by hand: 1.25 × (0.2 A × 12 h + 0.8 A × 0.25 h) = 3.25 Ah.
#[test]
fn textbook_sum() {
    let sum = needed(&ideal(), &demand((0.2, 12.0), (0.8, 0.25), 1.25));
    agree("Ah", sum, 3.25, 1e-12);
}

/// One line only: Peukert's law with the exponent that the crate documents.
#[test]
fn a_single_line_follows_peukert() {
    let seven = ratings(&[(7.0, 20.0)]);
    assert!(seven.single());
    assert_eq!(seven.nominal(), 7.0);
    assert_eq!(seven.fraction(0.35, 7.0), 1.0);
    agree(
        "tenfold",
        seven.fraction(3.5, 7.0),
        10_f64.powf(1.0 - PEUKERT),
        1e-12,
    );
    // I^k t is constant.
    let time = 7.0 * seven.fraction(2.0, 7.0) / 2.0;
    agree(
        "time",
        2_f64.powf(PEUKERT) * time,
        0.35_f64.powf(PEUKERT) * 20.0,
        1e-12,
    );

    // Rated over ten hours, the 20-hour capacity follows, and the line itself is met.
    let ten = ratings(&[(6.5, 10.0)]);
    agree(
        "own line",
        ten.nominal() * ten.fraction(0.65, ten.nominal()),
        6.5,
        1e-12,
    );
    assert!(ten.nominal() > 6.5);
}

#[test]
fn capacity_between_and_beyond_the_lines() {
    let sheet = ratings(&[(4.3, 1.0), (7.0, 20.0), (5.5, 5.0)]);
    assert_eq!(sheet.rates()[0].hours, 20.0);
    for (ampere_hours, hours) in [(7.0, 20.0), (5.5, 5.0), (4.3, 1.0)] {
        let share = sheet.fraction(ampere_hours / hours, 7.0);
        agree("line", share, ampere_hours / 7.0, 1e-12);
    }
    // Halfway on logarithmic scales.
    let middle = sheet.fraction((1.1_f64 * 4.3).sqrt(), 7.0);
    agree("middle", middle, (5.5_f64 * 4.3).sqrt() / 7.0, 1e-12);
    // Beyond the last line with its slope.
    let slope = (4.3_f64 / 5.5).ln() / (4.3_f64 / 1.1).ln();
    agree(
        "beyond",
        sheet.fraction(8.6, 7.0),
        4.3 / 7.0 * 2_f64.powf(slope),
        1e-12,
    );
    // Twice the battery bears twice the current.
    agree(
        "scaled",
        sheet.fraction(2.0, 14.0),
        sheet.fraction(1.0, 7.0),
        1e-12,
    );
    assert_eq!(sheet.fraction(0.0, 7.0), 1.0);
    assert_eq!(sheet.fraction(0.01, 7.0), 1.0);

    // A line longer than 20 hours helps to find the 20-hour capacity and adds nothing to it.
    let slow = ratings(&[(8.0, 100.0), (6.0, 10.0)]);
    let at_20 = 6.0 * 2_f64.powf((8.0_f64 / 6.0).ln() / 10_f64.ln());
    agree("nominal", slow.nominal(), at_20, 1e-12);
    assert_eq!(slow.fraction(0.08, slow.nominal()), 1.0);
}

/// With all lines longer than 20 hours, the two shortest carry on: on logarithmic scales.
#[test]
fn lines_that_are_all_slower_lead_to_twenty_hours_from_the_nearest_two() {
    let slow = ratings(&[(9.0, 100.0), (8.0, 50.0), (6.0, 25.0)]);
    let slope = (6.0_f64 / 8.0).ln() / 0.5_f64.ln();
    agree("nominal", slow.nominal(), 6.0 * 0.8_f64.powf(slope), 1e-12);
}

#[test]
fn ratings_that_make_no_sense_are_refused() {
    let new = |rates: &[(f64, f64)]| {
        let rate = |&(ampere_hours, hours): &(f64, f64)| Rate {
            hours,
            ampere_hours,
        };
        Ratings::new(rates.iter().map(rate).collect()).unwrap_err()
    };
    assert_eq!(new(&[]), BadRatings::Empty);
    for bad in [
        (0.0, 20.0),
        (7.0, -1.0),
        (f64::NAN, 20.0),
        (7.0, f64::INFINITY),
    ] {
        assert!(matches!(new(&[bad]), BadRatings::NotPositive(_)));
    }
    assert!(matches!(
        new(&[(7.0, 20.0), (6.0, 20.0)]),
        BadRatings::Twice(..)
    ));
    assert!(matches!(
        new(&[(7.0, 20.0), (7.5, 1.0)]),
        BadRatings::OutOfOrder { .. }
    ));
    // The shorter time needs less current, or (3.5 Ah / 10 h = 7 Ah / 20 h) as much.
    for shorter in [(0.3, 1.0), (3.5, 10.0)] {
        let bad = new(&[(7.0, 20.0), shorter]);
        assert!(matches!(bad, BadRatings::OutOfOrder { .. }), "{shorter:?}");
    }
}

/// From IEEE 485's table, which is checked elsewhere.
#[test]
fn temperature_factors_between_and_beyond_the_table() {
    agree("25 °C", temperature_factor(25.0), 1.0, 1e-12);
    // 5 °C is 41 °F, a fifth of the way from 1.30 to 1.25.
    agree("5 °C", temperature_factor(5.0), 1.29, 1e-12);
    // Beyond the table: the coldest slope carries on, the hottest value stays.
    agree(
        "-20 °C",
        temperature_factor(-20.0),
        1.52 + 29.0 * 0.018,
        1e-12,
    );
    assert_eq!(temperature_factor(70.0), 0.86);
    agree(
        "coldest",
        temperature_factor(*TABLED_CELSIUS.start()),
        1.52,
        1e-12,
    );
    agree(
        "hottest",
        temperature_factor(*TABLED_CELSIUS.end()),
        0.86,
        1e-12,
    );
}

/// By hand, with the charge factor of 1.1 (IEEE 946, from memory): 7 Ah to 80 % at 0.5 A.
#[test]
fn recharge() {
    agree(
        "hours",
        recharge_hours(7.0, 0.8, 0.5),
        1.1 * 5.6 / 0.5,
        1e-12,
    );
    agree(
        "hours",
        recharge_hours(7.0, 1.0, 0.7),
        CHARGE_FACTOR * 10.0,
        1e-12,
    );
    assert_eq!(recharge_hours(7.0, 0.8, 0.0), f64::INFINITY);
    assert_eq!(recharge_hours(7.0, 0.8, -0.2), f64::INFINITY);
}

#[test]
fn demands_of_nothing_and_of_too_much() {
    let seven = ratings(&[(7.0, 20.0)]);
    assert_eq!(needed(&seven, &demand((0.0, 12.0), (0.0, 0.25), 1.25)), 0.0);
    let endless = demand((0.1, f64::INFINITY), (0.5, 0.25), 1.25);
    assert_eq!(needed(&seven, &endless), f64::INFINITY);
    let nan = demand((f64::NAN, 12.0), (0.5, 0.25), 1.25);
    assert_eq!(needed(&seven, &nan), f64::INFINITY);

    let idle = demand((0.0, 12.0), (0.5, 0.25), 1.25);
    assert_eq!(standby_hours(&seven, 7.0, &idle), f64::INFINITY);
    let heavy = demand((0.1, 12.0), (50.0, 1.0), 1.25);
    assert_eq!(standby_hours(&seven, 7.0, &heavy), 0.0);
    // What does not carry the alarm lasts for nothing, also where standby draws nothing.
    let idle_and_heavy = demand((0.0, 12.0), (50.0, 1.0), 1.25);
    assert_eq!(standby_hours(&seven, 7.0, &idle_and_heavy), 0.0);
    // 0.35 A for 20 h are all of 7 Ah.
    let all_in_alarm = demand((0.0, 12.0), (0.35, 20.0), 1.0);
    assert_eq!(standby_hours(&seven, 7.0, &all_in_alarm), f64::INFINITY);
}

/// At its rated current a battery is empty after its rated time, at the end-of-discharge voltage.
#[test]
fn a_discharge_ends_at_the_rated_time() {
    let sheet = ratings(&[(7.0, 20.0), (4.3, 1.0)]);
    for (amperes, hours) in [(0.35, 20.0), (4.3, 1.0)] {
        let course = discharge(&sheet, 7.0, 1.0, 50, |_| Some(amperes));
        assert_eq!(course.len(), 51);
        let (first, last) = (course[0], course[50]);
        assert_eq!(
            (first.hours, first.volts, first.share),
            (0.0, battery::FULL, 1.0)
        );
        agree("hours", last.hours, hours, 1e-12);
        assert_eq!((last.volts, last.share), (END_OF_DISCHARGE, 0.0));
        for pair in course.windows(2) {
            assert!(pair[1].hours > pair[0].hours && pair[1].volts < pair[0].volts);
        }
    }
    // A regulator draws more as the volts fall, so it empties the battery sooner than its first
    // current would.
    let power = discharge(&sheet, 7.0, 1.0, 50, |volts| Some(12.7 * 1.0 / volts));
    let steady = discharge(&sheet, 7.0, 1.0, 50, |_| Some(1.0));
    assert!(power[50].hours < steady[50].hours);
    // It ends where the load cannot be fed, and does not begin without a load.
    let early = discharge(&sheet, 7.0, 1.0, 50, |volts| (volts > 12.0).then_some(1.0));
    assert!(early.len() > 1 && early.len() < 51);
    assert_eq!(discharge(&sheet, 7.0, 1.0, 50, |_| Some(0.0)).len(), 1);
}

/// Of two halves, the middles are at three quarters and one quarter: above the knee, at a fifth and
/// 11.8 V, lie 0.55/0.8 and 0.05/0.8 of the 0.9 V up to 12.7 V.
#[test]
fn a_load_is_asked_for_at_the_middle_of_each_step() {
    let mut asked = Vec::new();
    discharge(&ideal(), 7.0, 1.0, 2, |volts| {
        asked.push(volts);
        Some(1.0)
    });
    let [first, second] = asked[..] else {
        panic!("{asked:?}");
    };
    agree("first", first, 11.8 + 0.9 * 0.55 / 0.8, 1e-12);
    agree("second", second, 11.8 + 0.9 * 0.05 / 0.8, 1e-12);
}

/// Below the knee 0.3 of 1.3 V of a fifth, above it half of the 0.9 V of four fifths.
#[test]
fn what_is_left_follows_from_the_volts() {
    agree("low", battery::typical_share(10.8), 0.2 * 0.3 / 1.3, 1e-12);
    agree(
        "high",
        battery::typical_share(12.25),
        0.2 + 0.8 / 2.0,
        1e-12,
    );
    for share in [0.05, 0.1, 0.19, 0.2, 0.21, 0.6, 0.95] {
        let volts = battery::typical_volts(share);
        agree("share", battery::typical_share(volts), share, 1e-12);
    }
    // No battery is fuller than full, or emptier than empty.
    for (volts, share) in [(13.8, 1.0), (9.0, 0.0)] {
        assert_eq!(battery::typical_share(volts), share);
    }
    for (share, volts) in [(1.2, battery::FULL), (-0.2, END_OF_DISCHARGE)] {
        assert_eq!(battery::typical_volts(share), volts);
    }
}

fn any_ratings() -> impl Strategy<Value = Ratings> {
    prop_oneof![
        (1.0..100.0_f64).prop_map(|c| ratings(&[(c, 20.0)])),
        (1.0..100.0_f64, 0.3..1.0_f64, 0.3..1.0_f64).prop_map(|(c, a, b)| ratings(&[
            (c, 20.0),
            (c * a, 5.0),
            (c * a * b, 1.0)
        ])),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// The capacity needed satisfies its own equation, and a fitted battery of just that capacity
    /// stands by for just the time asked for.
    #[test]
    fn needed_and_standby_are_inverse(
        ratings in any_ratings(),
        standby in (1e-3..3.0_f64, 0.1..100.0_f64),
        alarm in (0.0..20.0_f64, 0.0..2.0_f64),
        ageing in 1.0..1.5_f64,
        celsius in -10.0..40.0_f64,
    ) {
        let demand = Demand {
            temperature_factor: temperature_factor(celsius),
            ..demand(standby, alarm, ageing)
        };
        let capacity = needed(&ratings, &demand);
        let part = |(amperes, hours): (f64, f64)| amperes * hours / ratings.fraction(amperes, capacity);
        let sum = ageing * demand.temperature_factor * (part(standby) + part(alarm));
        prop_assert!(support::relative(sum, capacity) < 1e-9);
        let hours = standby_hours(&ratings, capacity, &demand);
        prop_assert!((hours - standby.1).abs() < 1e-9 * capacity / standby.0, "{} h", hours);
        // Longer standby never needs less.
        let longer = Demand { standby_hours: standby.1 * 1.1, ..demand };
        prop_assert!(needed(&ratings, &longer) >= capacity);
    }

    #[test]
    fn needed_always_ends(
        ratings in any_ratings(),
        values in prop::collection::vec(prop::num::f64::ANY, 6),
    ) {
        let demand = Demand {
            standby_amperes: values[0],
            standby_hours: values[1],
            alarm_amperes: values[2],
            alarm_hours: values[3],
            ageing: values[4],
            temperature_factor: values[5],
        };
        prop_assert!(!needed(&ratings, &demand).is_nan());
        prop_assert!(standby_hours(&ratings, values[0], &demand) >= 0.0);
    }
}
