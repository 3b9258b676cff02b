//! ASTM B566: copper-clad aluminium with 10 % copper conducts 62.9 % of what copper does. Read in a
//! maker's sheet.

use crate::support::conductor::ohms_per_kilometre;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "ASTM B566",
    known: "read in a maker's sheet",
    checks: &[("copper-clad aluminium against copper", ratio)],
};

fn ratio(checks: &mut Checks) {
    for conductor in [
        "conductor 22 AWG, strands 7",
        "conductor 18 AWG, strands 1",
        "conductor 0.5 mm2, strands 1",
        "conductor 1.5 mm2, strands 30",
    ] {
        let clad = ohms_per_kilometre(&format!("{conductor}, metal cca"), 20.0);
        let copper = ohms_per_kilometre(&format!("{conductor}, metal copper"), 20.0);
        checks.agree(conductor, clad / copper, 1.0 / 0.629, 5e-4);
    }
}
