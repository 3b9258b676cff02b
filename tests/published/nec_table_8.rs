//! NFPA 70 (National Electrical Code), chapter 9 table 8: uncoated copper at 75 °C, ohm/kft. Read
//! second-hand. Its seven strands add 2 to 2.6 %, ours 2 % (ASTM B8 / B496).

use bellwire_plan::figures::State;

use crate::support::conductor::ohms_per_kilofoot;
use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "NEC (NFPA 70), chapter 9 table 8",
    known: "read second-hand",
    checks: &[
        ("solid gauges at 75 °C", solid),
        ("seven strands at 75 °C", stranded),
        ("a worked drop", drop_on_16_awg),
    ],
};

/// Gauge, solid, seven strands.
#[allow(clippy::approx_constant, reason = "3.14 ohm is not pi")]
const TABLE: [(u32, f64, f64); 4] = [
    (18, 7.77, 7.95),
    (16, 4.89, 4.99),
    (14, 3.07, 3.14),
    (12, 1.93, 1.98),
];

fn solid(checks: &mut Checks) {
    for (gauge, theirs, _) in TABLE {
        let ours = ohms_per_kilofoot(&format!("conductor {gauge} AWG, strands 1"), 75.0);
        checks.agree(format!("{gauge} AWG"), ours, theirs, 0.002);
    }
}

fn stranded(checks: &mut Checks) {
    for (gauge, _, theirs) in TABLE {
        let ours = ohms_per_kilofoot(&format!("conductor {gauge} AWG, strands 7"), 75.0);
        checks.agree(format!("{gauge} AWG"), ours, theirs, 0.006);
    }
}

/// electrician2.com (read), which takes the table's 4.99 ohm/kft: 100 ft of two 16 AWG stranded
/// conductors lose 3.992 V at 4 A.
fn drop_on_16_awg(checks: &mut Checks) {
    let plan = Plan::new(
        "model cable two, conductor 16 AWG, strands 7
         model supply S { output out 24 V }
         model sounder L { standby 4 A }
         site one {
           ambient 20 °C .. 75 °C
           supply s : S
           sounder l : L
           run r : two { s.out --100 ft-- l }
         }",
    );
    let state = plan.device("l", State::MainsStandby).unwrap();
    checks.agree("drop", state.drop, 3.992, 0.003);
    checks.agree("voltage", state.volts, 24.0 - 3.992, 0.001);
}
