//! IEEE 946: a lead-acid battery takes 1.1 times the charge that it gave. From memory.

use crate::support::battery::Sum;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "IEEE 946",
    known: "from memory",
    checks: &[("charge factor", charge_factor)],
};

/// By hand: 7 Ah to 80 % at 0.5 A, and in full at 0.7 A.
fn charge_factor(checks: &mut Checks) {
    for (charger, per_cent, theirs) in [
        ("500 mA", 80, 1.1 * 5.6 / 0.5),
        ("700 mA", 100, 1.1 * 7.0 / 0.7),
    ] {
        let rules = format!("rules r {{\nstandby 1 h\nrecharge 24 h, to {per_cent} %\n}}");
        let sum = Sum {
            rules: &rules,
            charger,
            ..Sum::default()
        };
        let ours = sum.plan().battery().recharge_hours.expect("a time");
        checks.agree(format!("to {per_cent} %"), ours, theirs, 1e-9);
    }
}
