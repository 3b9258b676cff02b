//! PD 6662, the scheme for EN 50131 in the United Kingdom: 24 h of standby at grades 3 and 4, 12 h
//! where a mains fault is reported. From memory.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCE: Source = Source {
    name: "PD 6662",
    known: "from memory",
    checks: &[
        ("standby of grades 1 to 4", standby),
        ("all else as EN 50131-1", all_else),
    ],
};

/// Hours of standby; hours of recharge, which are EN 50131-1's.
const GRADES: [(&str, f64, f64); 6] = [
    ("pd6662-grade-1", 12.0, 72.0),
    ("pd6662-grade-2", 12.0, 72.0),
    ("pd6662-grade-3", 24.0, 24.0),
    ("pd6662-grade-4", 24.0, 24.0),
    ("pd6662-grade-3-reported", 12.0, 24.0),
    ("pd6662-grade-4-reported", 12.0, 24.0),
];

fn standby(checks: &mut Checks) {
    for (rules, hours, _) in GRADES {
        rule_sets::standby(checks, rules, hours);
    }
}

fn all_else(checks: &mut Checks) {
    for (rules, _, hours) in GRADES {
        rule_sets::alarm(checks, rules, 15.0);
        rule_sets::recharge(checks, rules, hours, 0.8);
        rule_sets::ageing(checks, rules, 1.25);
    }
}
