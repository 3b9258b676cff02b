//! IEEE 485: what cold costs a lead-acid battery, base 77 °F, read in a third-party chart, the three
//! coldest from memory; and 1.25 for age, from memory.

use crate::support::battery::Sum;
use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCES: [Source; 2] = [
    Source {
        name: "IEEE 485, temperature factors",
        known: "read in a third-party chart",
        checks: &[("40 to 120 °F", tabled), ("between two of them", between)],
    },
    Source {
        name: "IEEE 485",
        known: "from memory",
        checks: &[("25 to 35 °F", coldest), ("ageing", ageing)],
    },
];

/// What a need grows by.
fn factor(ambient: &str) -> f64 {
    let sum = Sum {
        standby: 0.2,
        ambient,
        ..Sum::default()
    };
    let plain = Sum {
        ambient: "77 °F",
        ..sum
    };
    sum.needed() / plain.needed()
}

fn tabled(checks: &mut Checks) {
    for (fahrenheit, theirs) in [
        (40, 1.30),
        (45, 1.25),
        (50, 1.19),
        (55, 1.15),
        (60, 1.11),
        (65, 1.08),
        (68, 1.056),
        (70, 1.04),
        (77, 1.00),
        (80, 0.98),
        (85, 0.96),
        (90, 0.94),
        (95, 0.93),
        (100, 0.91),
        (110, 0.88),
        (120, 0.86),
    ] {
        let ambient = format!("{fahrenheit} °F");
        checks.agree(&ambient, factor(&ambient), theirs, 1e-9);
    }
}

/// 5 °C is 41 °F, a fifth of the way from 1.30 to 1.25.
fn between(checks: &mut Checks) {
    checks.agree("5 °C", factor("5 °C"), 1.29, 1e-9);
}

fn coldest(checks: &mut Checks) {
    for (fahrenheit, theirs) in [(25, 1.52), (30, 1.43), (35, 1.35)] {
        let ambient = format!("{fahrenheit} °F");
        checks.agree(&ambient, factor(&ambient), theirs, 1e-9);
    }
}

fn ageing(checks: &mut Checks) {
    for rules in [
        "intruder-grade-1",
        "intruder-grade-2",
        "intruder-grade-3",
        "intruder-grade-4",
        "intruder-grade-3-reported",
        "intruder-grade-4-reported",
        "ul1023-household-burglar",
        "ul985-household-fire",
        "din-vde-0833-2-fire-72h",
        "din-vde-0833-2-fire-30h",
        "din-vde-0833-2-fire-4h",
    ] {
        rule_sets::ageing(checks, rules, 1.25);
    }
}
