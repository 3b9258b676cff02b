//! IEC 60063, preferred numbers for resistors: E12, E24, E96. From memory, but for the rule of E96.

use bellwire_circuit::Series;

use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "IEC 60063",
    known: "from memory",
    checks: &[
        ("E12, E24 and E96", series),
        ("tolerances", tolerances),
        ("the nearest value", nearest),
    ],
};

const E12: [u16; 12] = [100, 120, 150, 180, 220, 270, 330, 390, 470, 560, 680, 820];
const BETWEEN: [u16; 12] = [110, 130, 160, 200, 240, 300, 360, 430, 510, 620, 750, 910];

fn series(checks: &mut Checks) {
    checks.same("E12", Series::E12.decade(), E12.to_vec());
    let mut e24 = [E12, BETWEEN].concat();
    e24.sort_unstable();
    checks.same("E24", Series::E24.decade(), e24);
    // Three digits of 10^(n/96).
    let rule = |n: u16| (100.0 * 10_f64.powf(f64::from(n) / 96.0)).round() as u16;
    checks.same("E96", Series::E96.decade(), (0..96).map(rule).collect());
}

fn tolerances(checks: &mut Checks) {
    for (series, theirs) in [
        (Series::E12, 0.10),
        (Series::E24, 0.05),
        (Series::E96, 0.01),
    ] {
        checks.agree(format!("{series:?}"), series.tolerance(), theirs, 1e-12);
    }
}

fn nearest(checks: &mut Checks) {
    for (series, ohms, theirs) in [
        (Series::E12, 4_600.0, 4_700.0),
        (Series::E12, 5_000.0, 4_700.0),
        (Series::E12, 9_500.0, 10_000.0),
        (Series::E24, 5_000.0, 5_100.0),
        (Series::E96, 5_000.0, 4_990.0),
        (Series::E96, 2_200.0, 2_210.0),
    ] {
        let ours = series.nearest(ohms).expect("a value");
        checks.agree(format!("{series:?} {ohms}"), ours, theirs, 1e-12);
    }
}
