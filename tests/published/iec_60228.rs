//! IEC 60228: the highest resistance of plain copper conductors at 20 °C, ohm/km. Read in makers'
//! tables.

use crate::support::conductor::ohms_per_kilometre;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "IEC 60228",
    known: "read in makers' tables",
    checks: &[("metric sizes, classes 1, 2 and 5", sizes)],
};

fn sizes(checks: &mut Checks) {
    for (mm2, stiff, flexible) in [
        (0.5, 36.0, 39.0),
        (0.75, 24.5, 26.0),
        (1.0, 18.1, 19.5),
        (1.5, 12.1, 13.3),
        (2.5, 7.41, 7.98),
    ] {
        for (strands, theirs) in [(1, stiff), (7, stiff), (16, flexible)] {
            let conductor = format!("conductor {mm2} mm2, strands {strands}");
            let ours = ohms_per_kilometre(&conductor, 20.0);
            checks.agree(conductor, ours, theirs, 1e-12);
        }
    }
}
