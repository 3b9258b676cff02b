//! UL 985, household fire warning: 24 h of standby, then 4 min of alarm. From memory.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCE: Source = Source {
    name: "UL 985",
    known: "from memory",
    checks: &[("times", times)],
};

fn times(checks: &mut Checks) {
    rule_sets::standby(checks, "ul985-household-fire", 24.0);
    rule_sets::alarm(checks, "ul985-household-fire", 4.0);
    rule_sets::no_recharge(checks, "ul985-household-fire");
}
