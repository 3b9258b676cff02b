//! EN 50131-1 and EN 50131-6, intruder alarms, supply of type A. Standby read second-hand, halved at
//! grades 3 and 4 where a mains fault is reported to a receiving centre; recharge to 80 % from
//! memory. A quarter of an hour of alarm is common practice.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCES: [Source; 3] = [
    Source {
        name: "EN 50131-1 and EN 50131-6, type A",
        known: "read second-hand",
        checks: &[("standby of grades 1 to 4", standby)],
    },
    Source {
        name: "EN 50131-1",
        known: "from memory",
        checks: &[("recharge of grades 1 to 4", recharge)],
    },
    Source {
        name: "common practice",
        known: "no source",
        checks: &[("15 min of intruder alarm", alarm)],
    },
];

const GRADES: [(&str, f64, f64); 6] = [
    ("intruder-grade-1", 12.0, 72.0),
    ("intruder-grade-2", 12.0, 72.0),
    ("intruder-grade-3", 60.0, 24.0),
    ("intruder-grade-4", 60.0, 24.0),
    ("intruder-grade-3-reported", 30.0, 24.0),
    ("intruder-grade-4-reported", 30.0, 24.0),
];

fn standby(checks: &mut Checks) {
    for (rules, hours, _) in GRADES {
        rule_sets::standby(checks, rules, hours);
    }
}

fn recharge(checks: &mut Checks) {
    for (rules, _, hours) in GRADES {
        rule_sets::recharge(checks, rules, hours, 0.8);
    }
}

fn alarm(checks: &mut Checks) {
    for (rules, ..) in GRADES {
        rule_sets::alarm(checks, rules, 15.0);
    }
}
