//! NBS Handbook 100, *Copper Wire Tables*, table 5: solid copper at 20 °C. Read. Its diameters are
//! rounded, so 0.5 % is allowed.

use crate::support::conductor::ohms_per_kilofoot;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "NBS Handbook 100, table 5",
    known: "read",
    checks: &[("thin solid gauges at 20 °C", gauges)],
};

fn gauges(checks: &mut Checks) {
    for (gauge, theirs) in [(22, 16.2), (24, 25.7), (26, 41.0)] {
        let ours = ohms_per_kilofoot(&format!("conductor {gauge} AWG, strands 1"), 20.0);
        checks.agree(format!("{gauge} AWG, ohm/kft"), ours, theirs, 0.005);
    }
}
