//! ASTM B258, the diameters of the American wire gauge, 0.127 mm × 92^((36 − n)/39), with the
//! copper of IEC 60028: 58 m/(ohm mm²) at 20 °C, 0.00393 /K. Both read second-hand; the table is
//! computed from them to six digits.

use crate::support::conductor::{ohms_per_kilofoot, ohms_per_kilometre};
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "ASTM B258 and IEC 60028",
    known: "computed from formulas read second-hand",
    checks: &[
        ("solid gauges at 20 and 75 °C", gauges),
        ("temperature", temperature),
        ("a size from its area", area),
    ],
};

/// Gauge, ohm/km at 20 °C, ohm/kft at 75 °C.
const GAUGES: [(u32, f64, f64); 8] = [
    (12, 5.21081, 1.93156),
    (14, 8.28551, 3.07129),
    (16, 13.1745, 4.88355),
    (18, 20.9482, 7.76514),
    (20, 33.3090, 12.3471),
    (22, 52.9634, 19.6326),
    (24, 84.2151, 31.2171),
    (26, 133.907, 49.6371),
];

fn gauges(checks: &mut Checks) {
    for (gauge, cold, warm) in GAUGES {
        let conductor = format!("conductor {gauge} AWG, strands 1");
        let ours = ohms_per_kilometre(&conductor, 20.0);
        checks.agree(format!("{gauge} AWG, 20 °C"), ours, cold, 5e-6);
        let ours = ohms_per_kilofoot(&conductor, 75.0);
        checks.agree(format!("{gauge} AWG, 75 °C"), ours, warm, 5e-6);
    }
}

/// By hand: 1 + 0.00393 × 15 at 35 °C, × (−15) at 5 °C.
fn temperature(checks: &mut Checks) {
    let at = |celsius| ohms_per_kilometre("conductor 22 AWG, strands 1", celsius);
    checks.agree("35 °C", at(35.0) / at(20.0), 1.058_95, 1e-12);
    checks.agree("5 °C", at(5.0) / at(20.0), 0.941_05, 1e-12);
}

/// 0.22 mm² is not in IEC 60228: 1000 / 58 / 0.22 = 78.3699 ohm/km.
fn area(checks: &mut Checks) {
    let ours = ohms_per_kilometre("conductor 0.22 mm2, strands 1", 20.0);
    checks.printed("0.22 mm²", ours, "78.3699");
}
