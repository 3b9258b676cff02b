//! BS 5839-1: annex D, C = 1.25 (T1 I1 + D I2 T2) with T2 half an hour, and D = 1.75, or 1 where
//! I2 is at most C/20. The formula read second-hand, D's condition from memory; the examples are
//! computed from the formula. Clause 25's 24 and 72 h from memory.

use crate::support::battery::Sum;
use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCES: [Source; 2] = [
    Source {
        name: "BS 5839-1, annex D",
        known: "formula read second-hand, examples computed",
        checks: &[
            ("D = 1", gentle),
            ("D = 1.75", hard),
            ("alarm and ageing", alarm),
        ],
    },
    Source {
        name: "BS 5839-1, clause 25",
        known: "from memory",
        checks: &[("standby", standby)],
    },
];

const RULES: &str = "rules r : bs5839-1-fire-24h { note \"as it is\" }";

fn sum(battery: &str) -> Sum<'_> {
    Sum {
        standby: 0.05,
        alarm: 0.3,
        rules: RULES,
        battery,
        ..Sum::default()
    }
}

fn gentle(checks: &mut Checks) {
    checks.printed("Ah", sum(crate::support::battery::IDEAL).needed(), "1.6875");
}

/// D stands for the part of the capacity that is there in alarm: this battery gives 1/1.75 of its
/// capacity at the current that 0.3 A is to the answer.
fn hard(checks: &mut Checks) {
    let answer = 1.828_125;
    let capacity = 7.0;
    let left = capacity / 1.75;
    let amperes = 0.3 * capacity / answer;
    let battery = format!(
        "capacity {capacity} Ah, over 20 h\ncapacity {left} Ah, over {} h",
        left / amperes
    );
    checks.agree("Ah", sum(&battery).needed(), answer, 1e-9);
}

fn alarm(checks: &mut Checks) {
    for rules in ["bs5839-1-fire-24h", "bs5839-1-fire-72h"] {
        rule_sets::alarm(checks, rules, 30.0);
        rule_sets::ageing(checks, rules, 1.25);
    }
}

fn standby(checks: &mut Checks) {
    rule_sets::standby(checks, "bs5839-1-fire-24h", 24.0);
    rule_sets::standby(checks, "bs5839-1-fire-72h", 72.0);
}
