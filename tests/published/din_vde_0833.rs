//! DIN VDE 0833: 80 % again within 24 h; part 2: 72, 30 and 4 h of standby. Read second-hand. Half
//! an hour of alarm from memory.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCES: [Source; 2] = [
    Source {
        name: "DIN VDE 0833 and 0833-2",
        known: "read second-hand",
        checks: &[("standby", standby), ("recharge", recharge)],
    },
    Source {
        name: "DIN VDE 0833-2",
        known: "from memory",
        checks: &[("alarm", alarm)],
    },
];

const SETS: [(&str, f64); 3] = [
    ("din-vde-0833-2-fire-72h", 72.0),
    ("din-vde-0833-2-fire-30h", 30.0),
    ("din-vde-0833-2-fire-4h", 4.0),
];

fn standby(checks: &mut Checks) {
    for (rules, hours) in SETS {
        rule_sets::standby(checks, rules, hours);
    }
}

fn recharge(checks: &mut Checks) {
    for (rules, _) in SETS {
        rule_sets::recharge(checks, rules, 24.0, 0.8);
    }
}

fn alarm(checks: &mut Checks) {
    for (rules, _) in SETS {
        rule_sets::alarm(checks, rules, 30.0);
    }
}
