//! NFPA 72, clause 10.6.7 (the clause from memory): 24 h of standby, then 5 min of alarm, 15 min
//! with voice, and 20 % more. Times, margin and two worked sums read second-hand, the sums
//! recomputed; the recharge time (chapter 10) from memory.

use crate::support::battery::Sum;
use crate::support::record::{Checks, Source};
use crate::support::rule_sets;

pub const SOURCES: [Source; 2] = [
    Source {
        name: "NFPA 72, clause 10.6.7",
        known: "read second-hand",
        checks: &[
            ("worked sums", sums),
            ("worked sum by the rule set", by_rule_set),
            ("times and margin of the rule sets", times),
        ],
    },
    Source {
        name: "NFPA 72, chapter 10",
        known: "from memory",
        checks: &[("recharge of the rule sets", recharge)],
    },
];

fn sums(checks: &mut Checks) {
    let quarter_hour = |rules| Sum {
        standby: 0.5264,
        alarm: 3.6082,
        rules,
        ..Sum::default()
    };
    let plain = quarter_hour("rules r, standby 24 h, alarm 15 min, ageing 1");
    checks.printed("plain", plain.needed(), "13.53565");
    let margin = quarter_hour("rules r, standby 24 h, alarm 15 min, ageing 1.2");
    checks.printed("with margin", margin.needed(), "16.2428");
    let five_minutes = Sum {
        standby: 0.25,
        alarm: 1.5,
        rules: "rules r, standby 24 h, alarm 5 min, ageing 1",
        ..Sum::default()
    };
    checks.printed("5 min", five_minutes.needed(), "6.125");
}

/// The voice set is what the first sum with margin goes by.
fn by_rule_set(checks: &mut Checks) {
    let sum = Sum {
        standby: 0.5264,
        alarm: 3.6082,
        rules: "rules r : nfpa72-fire-voice { note \"as it is\" }",
        ..Sum::default()
    };
    checks.printed("with margin", sum.needed(), "16.2428");
}

fn times(checks: &mut Checks) {
    rule_sets::standby(checks, "nfpa72-fire", 24.0);
    rule_sets::alarm(checks, "nfpa72-fire", 5.0);
    rule_sets::ageing(checks, "nfpa72-fire", 1.2);
    rule_sets::standby(checks, "nfpa72-fire-voice", 24.0);
    rule_sets::alarm(checks, "nfpa72-fire-voice", 15.0);
    rule_sets::ageing(checks, "nfpa72-fire-voice", 1.2);
}

fn recharge(checks: &mut Checks) {
    rule_sets::recharge(checks, "nfpa72-fire", 48.0, 1.0);
    rule_sets::recharge(checks, "nfpa72-fire-voice", 48.0, 1.0);
}
