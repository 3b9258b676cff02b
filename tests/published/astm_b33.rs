//! ASTM B33: what tinned copper wire must conduct at least, by its diameter. From memory.

use crate::support::conductor::ohms_per_kilometre;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "ASTM B33",
    known: "from memory",
    checks: &[("tinned wire against plain, by diameter", ratio)],
};

fn ratio(checks: &mut Checks) {
    for (conductor, per_cent) in [
        // 2.053 mm, so between 0.0201 and 0.103 inches.
        ("conductor 12 AWG, strands 1", 96.16),
        ("conductor 18 AWG, strands 1", 96.16),
        ("conductor 22 AWG, strands 1", 96.16),
        // 0.405 mm.
        ("conductor 26 AWG, strands 1", 94.16),
        // Seven wires of 0.387 mm.
        ("conductor 18 AWG, strands 7", 94.16),
        // Seven wires of 0.243 mm.
        ("conductor 22 AWG, strands 7", 93.15),
        ("conductor 0.22 mm2, strands 7", 93.15),
    ] {
        let tinned = ohms_per_kilometre(&format!("{conductor}, metal tinned"), 20.0);
        let plain = ohms_per_kilometre(&format!("{conductor}, metal copper"), 20.0);
        checks.agree(conductor, plain / tinned, per_cent / 100.0, 1e-9);
    }
}
