//! Published examples of Peukert's exponent: 225 Ah over 20 h, and 500 or 447 minutes at 25 A. Read,
//! recomputed.

use crate::support::battery::Sum;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "worked examples of Peukert's law",
    known: "read, recomputed",
    checks: &[("exponents 1.0964 and 1.2367", exponents)],
};

/// How long the battery carries a current, by its two lines.
fn hours(battery: &str, amperes: f64) -> f64 {
    let sum = Sum {
        standby: amperes,
        battery,
        ..Sum::default()
    };
    sum.plan().battery().standby_hours.expect("a time")
}

/// `I^k t` is the same all along the two lines and beyond them.
fn exponents(checks: &mut Checks) {
    for (minutes, theirs) in [(500.0, "1.0964"), (447.0, "1.2367")] {
        let battery = format!(
            "capacity 225 Ah, over 20 h\ncapacity {} Ah, over {} h",
            25.0 * minutes / 60.0,
            minutes / 60.0
        );
        checks.agree("at 25 A", hours(&battery, 25.0), minutes / 60.0, 1e-9);
        for amperes in [13.0, 20.0, 25.0, 40.0, 100.0] {
            let exponent = (20.0 / hours(&battery, amperes)).ln() / (amperes / 11.25_f64).ln();
            checks.printed(format!("exponent to {amperes} A"), exponent, theirs);
        }
    }
}
