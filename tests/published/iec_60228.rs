//! IEC 60228: the highest resistance of copper conductors at 20 °C, ohm/km. Read in makers' tables;
//! tinned conductors of class 1 and 2 from memory.

use crate::support::conductor::ohms_per_kilometre;
use crate::support::record::{Checks, Source};

pub const SOURCES: [Source; 2] = [
    Source {
        name: "IEC 60228",
        known: "read in makers' tables",
        checks: &[
            ("metric sizes, classes 1, 2 and 5", sizes),
            ("tinned, class 5", tinned_flexible),
        ],
    },
    Source {
        name: "IEC 60228",
        known: "from memory",
        checks: &[("tinned, classes 1 and 2", tinned_stiff)],
    },
];

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

fn tinned_flexible(checks: &mut Checks) {
    tinned(checks, 16, [40.1, 26.7, 20.0, 13.7, 8.21]);
}

fn tinned_stiff(checks: &mut Checks) {
    for strands in [1, 7] {
        tinned(checks, strands, [36.7, 24.8, 18.2, 12.2, 7.56]);
    }
}

fn tinned(checks: &mut Checks, strands: u32, theirs: [f64; 5]) {
    for (mm2, theirs) in [0.5, 0.75, 1.0, 1.5, 2.5].into_iter().zip(theirs) {
        let conductor = format!("conductor {mm2} mm2, strands {strands}, metal tinned");
        let ours = ohms_per_kilometre(&conductor, 20.0);
        checks.agree(conductor, ours, theirs, 1e-12);
    }
}
