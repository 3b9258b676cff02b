//! IEC 60063, preferred numbers for resistors: E6 to E192, as the library has them in the notation.
//! From memory: the lists of E6, E12 and E24, the rule of the finer series (three digits of
//! 10^(n/192), and 920 where that gives 919), and the tolerance of each.

use bellwire_circuit::Series;
use bellwire_plan::library;

use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "IEC 60063",
    known: "from memory",
    checks: &[
        ("E6, E12, E24, E48, E96 and E192, value by value", series),
        ("tolerances", tolerances),
        ("the nearest value", nearest),
    ],
};

const E6: [u16; 6] = [100, 150, 220, 330, 470, 680];
const E12: [u16; 12] = [100, 120, 150, 180, 220, 270, 330, 390, 470, 560, 680, 820];
const E24: [u16; 24] = [
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560,
    620, 680, 750, 820, 910,
];

fn of_library(name: &str) -> Series {
    library::series(name).expect("a series of the library")
}

/// `count` values a decade by the standard's rule.
fn by_rule(count: u16) -> Vec<u16> {
    let exact = |n: u16| 100.0 * 10_f64.powf(f64::from(n) / f64::from(count));
    let rounded = (0..count).map(|n| exact(n).round() as u16);
    rounded
        .map(|value| if value == 919 { 920 } else { value })
        .collect()
}

fn series(checks: &mut Checks) {
    for (name, theirs) in [
        ("E6", E6.to_vec()),
        ("E12", E12.to_vec()),
        ("E24", E24.to_vec()),
        ("E48", by_rule(48)),
        ("E96", by_rule(96)),
        ("E192", by_rule(192)),
    ] {
        let ours: Vec<f64> = of_library(name).values(100.0, 999.0).collect();
        checks.same(format!("how many {name} has"), ours.len(), theirs.len());
        for (ours, theirs) in ours.into_iter().zip(theirs) {
            checks.agree(format!("{name} {theirs}"), ours, f64::from(theirs), 1e-12);
        }
    }
}

fn tolerances(checks: &mut Checks) {
    for (name, theirs) in [
        ("E6", 0.20),
        ("E12", 0.10),
        ("E24", 0.05),
        ("E48", 0.02),
        ("E96", 0.01),
        ("E192", 0.005),
    ] {
        checks.agree(name, of_library(name).tolerance(), theirs, 1e-12);
    }
}

fn nearest(checks: &mut Checks) {
    for (name, ohms, theirs) in [
        ("E12", 4_600.0, 4_700.0),
        ("E12", 5_000.0, 4_700.0),
        ("E12", 9_500.0, 10_000.0),
        ("E24", 6_900.0, 6_800.0),
        ("E24", 5_000.0, 5_100.0),
        ("E96", 5_000.0, 4_990.0),
        ("E96", 2_200.0, 2_210.0),
    ] {
        let ours = of_library(name).nearest(ohms).expect("a value");
        checks.agree(format!("{name} {ohms}"), ours, theirs, 1e-12);
    }
}
