//! The trade's arithmetic of supervised loops, computed: a cable of 0 to 100 ohm (common practice
//! has 100 ohm as the most), resistors of 1 and 5 % (IEC 60063's E96 and E24).

use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "supervised loops by Ohm's law",
    known: "computed",
    checks: &[
        ("doubled end of line, both extremes", doubled),
        ("single end of line", single),
        ("contacts that close", closing),
    ],
};

/// A loop with one detector at the end of a cable.
fn zone(loop_lines: &str, contacts: &str, cable_ohms: f64) -> Plan {
    Plan::new(&format!(
        "model cable pair {{ resistance 0.5 ohm/m }}
         model panel P {{
           inputs 1 .. 4 {{
             loop l {{
               {loop_lines}
               reads normal 0 ohm .. 1 Mohm
             }}
           }}
         }}
         model detector D {{ {contacts} }}
         site one {{
           panel p : P {{ zone 1, input 1, from d, loop l }}
           detector d : D
           run r : pair {{ p.1 --{cable_ohms} m-- d }}
         }}"
    ))
}

/// 1 kohm at 1 %: 990 to 1110 ohm in normal, 1980 to 2120 ohm in alarm. 4.7 kohm at 5 %: 4465 to
/// 5035, 8930 to 9970.
fn doubled(checks: &mut Checks) {
    for (kohm, per_cent, normal, alarm) in [
        (1.0, 1, (990.0, 1110.0), (1980.0, 2120.0)),
        (4.7, 5, (4465.0, 5035.0), (8930.0, 9970.0)),
    ] {
        let lines = format!("end {kohm} kohm\ncontact {kohm} kohm\ntolerance {per_cent} %");
        let at = |cable| zone(&lines, "contact alarm, closed", cable);
        let (short, long) = (at(0.0), at(100.0));
        for (condition, (least, most)) in [("normal", normal), ("open-alarm", alarm)] {
            let what = format!("{kohm} kohm, {condition}");
            checks.agree(&what, short.condition(condition).least, least, 1e-12);
            checks.agree(&what, long.condition(condition).most, most, 1e-12);
        }
    }
}

/// 2.2 kohm at 1 % behind 20 ohm of cable.
fn single(checks: &mut Checks) {
    let plan = zone("end 2.2 kohm", "contact alarm, closed", 20.0);
    for (condition, least, most) in [
        ("normal", 2198.0, 2242.0),
        ("open-alarm", f64::INFINITY, f64::INFINITY),
        ("cut", f64::INFINITY, f64::INFINITY),
        ("short", 0.0, 20.0),
    ] {
        let ours = plan.condition(condition);
        checks.agree(condition, ours.least, least, 1e-12);
        checks.agree(condition, ours.most, most, 1e-12);
    }
}

/// A contact that closes in alarm lies across the end: alone it shorts it, with a resistor of its
/// own of the same value it halves it.
fn closing(checks: &mut Checks) {
    let bare = zone("end 1 kohm", "contact alarm, open", 0.0);
    checks.agree("normal", bare.condition("normal").most, 1010.0, 1e-12);
    checks.agree("alarm", bare.condition("open-alarm").most, 0.0, 1e-12);
    let both = zone("end 1 kohm\ncontact 1 kohm", "contact alarm, open", 0.0);
    checks.agree("alarm", both.condition("open-alarm").least, 495.0, 1e-12);
    checks.agree("alarm", both.condition("open-alarm").most, 505.0, 1e-12);
}
