//! EN 54-4: 80 % again within 24 h (the rest within another 48 h). From memory.

use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCE: Source = Source {
    name: "EN 54-4",
    known: "from memory",
    checks: &[("recharge of fire alarms", recharge)],
};

fn recharge(checks: &mut Checks) {
    rule_sets::recharge(checks, "bs5839-1-fire-24h", 24.0, 0.8);
    rule_sets::recharge(checks, "bs5839-1-fire-72h", 24.0, 0.8);
}
