//! UL 1023, household burglar alarms: 4 h of standby, then 4 min of alarm. From memory.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCE: Source = Source {
    name: "UL 1023",
    known: "from memory",
    checks: &[("times", times)],
};

fn times(checks: &mut Checks) {
    rule_sets::standby(checks, "ul1023-household-burglar", 4.0);
    rule_sets::alarm(checks, "ul1023-household-burglar", 4.0);
    rule_sets::no_recharge(checks, "ul1023-household-burglar");
}
