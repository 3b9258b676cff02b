//! TIA-485-A: 32 unit loads on a bus, 120 ohm at both ends of the cable, 1200 m (at 100 kbit/s). Read
//! second-hand. The panel itself is one of the 32.

use std::fmt::Write;

use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "TIA-485-A",
    known: "read second-hand",
    checks: &[
        ("32 unit loads with the panel", unit_loads),
        ("two ends", ends),
        ("1200 m", length),
    ],
};

/// A chain of devices on a bus of the standard, each `metres` behind the one before.
fn chain(devices: usize, unit_load: &str, metres: f64) -> Plan {
    let mut bus = String::new();
    let mut path = String::from("p.data");
    for device in 0..devices {
        writeln!(bus, "keypad k{device} : K, address {device}").unwrap();
        write!(path, " --{metres} m-- k{device}").unwrap();
    }
    Plan::new(&format!(
        "model keypad K, standby 1 mA, unit-load {unit_load}
         model panel P {{
           output aux 24 V
           bus data {{
             power aux
             addresses 0 .. 400
             length 1200 m
             terminated 120 ohm
             unit-loads 31
           }}
         }}
         site one {{
           panel p : P {{
             bus data {{
               {bus}
             }}
           }}
           run r : copper-4x18AWG {{
             {path}
           }}
         }}"
    ))
}

/// 31 beside the panel, or 248 that are an eighth each.
fn unit_loads(checks: &mut Checks) {
    for (unit_load, most) in [("1", 31), ("0.5", 62), ("0.125", 248)] {
        for (devices, full) in [(most, false), (most + 1, true)] {
            let plan = chain(devices, unit_load, 1.0);
            let found = plan.has_finding("bus-full");
            checks.same(format!("{devices} of {unit_load}"), found, full);
        }
        let own = chain(most, unit_load, 1.0).bus().unit_loads;
        let ours = 1.0 + own.expect("unit loads");
        checks.agree("with the panel", ours, 32.0, 1e-9);
    }
}

/// A chain has its resistors at the panel and at the last device.
fn ends(checks: &mut Checks) {
    for devices in [1, 2, 31] {
        let plan = chain(devices, "1", 1.0);
        let last = format!("k{}", devices - 1);
        checks.same(devices, plan.bus_ends(), vec!["p.data".to_string(), last]);
    }
}

fn length(checks: &mut Checks) {
    for (metres, too_long) in [(40.0, false), (40.1, true)] {
        let plan = chain(30, "1", metres);
        checks.agree("metres", plan.bus().metres, 30.0 * metres, 1e-9);
        let found = plan.has_finding("bus-too-long");
        checks.same(format!("{metres} m"), found, too_long);
    }
}
