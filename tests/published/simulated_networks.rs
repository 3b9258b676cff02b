//! Networks with a known solution, in `networks.json`: a nodal solve with Newton's method that
//! agrees with ngspice 39.3, a general-purpose circuit simulator, to 5e-12 V, and with a root solve
//! of scipy to 2e-15 V. Branch currents are given to nine digits.
//!
//! One entry: `sources` are point and volts; `branches` from, to and the ohms of both conductors;
//! `loads` point, unit and value; `volts`, `source_amperes` and `branch_amperes` the solution, in
//! the order of the points, sources and branches.
//!
//! (The test `simulator` runs the simulator itself.)

use serde_json::Value;

use crate::support::net::{Draw, Net};
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "ngspice 39.3, scipy and closed forms, solved beforehand",
    known: "computed",
    checks: &[
        ("eleven networks", networks),
        ("the high voltage of a power load", high_voltage),
        ("the limit of a power load", limit),
        ("copper at 75 °C", warm),
    ],
};

fn numbers(value: &Value) -> Vec<f64> {
    let list = value.as_array().unwrap().iter();
    list.map(|number| number.as_f64().unwrap()).collect()
}

fn read(entry: &Value) -> Net {
    let rows = |key: &str| entry[key].as_array().unwrap().clone();
    let point = |value: &Value| usize::try_from(value.as_u64().unwrap()).unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    let load = |row: &Value| {
        let draw = match row[1].as_str().unwrap() {
            "amperes" => Draw::Amperes,
            "watts" => Draw::Watts,
            "ohms" => Draw::Ohms,
            other => panic!("no such unit: {other}"),
        };
        (point(&row[0]), draw(number(&row[2])))
    };
    Net {
        sources: rows("sources")
            .iter()
            .map(|row| (point(&row[0]), number(&row[1])))
            .collect(),
        branches: rows("branches")
            .iter()
            .map(|row| (point(&row[0]), point(&row[1]), number(&row[2])))
            .collect(),
        loads: rows("loads").iter().map(load).collect(),
    }
}

fn networks(checks: &mut Checks) {
    let entries: Vec<Value> = serde_json::from_str(include_str!("networks.json")).unwrap();
    checks.same("entries", entries.len(), 11);
    for entry in &entries {
        let name = entry["name"].as_str().unwrap();
        let net = read(entry);
        let solution = net.solve();
        for (point, theirs) in numbers(&entry["volts"]).into_iter().enumerate() {
            checks.agree(name, solution.volts(point), theirs, 1e-9);
        }
        let theirs = numbers(&entry["source_amperes"]);
        for (source, theirs) in net.sources.iter().zip(theirs) {
            checks.agree(name, solution.source_amperes(source.0), theirs, 1e-9);
        }
        for (branch, theirs) in numbers(&entry["branch_amperes"]).into_iter().enumerate() {
            checks.agree(name, solution.branch_amperes(branch), theirs, 5e-9);
        }
    }
}

/// 12 V behind 10 ohm.
fn power_load(watts: f64) -> Net {
    Net {
        sources: vec![(0, 12.0)],
        branches: vec![(0, 1, 10.0)],
        loads: vec![(1, Draw::Watts(watts))],
    }
}

/// Closed form: (12 + sqrt(144 − 96)) / 2 = 9.46410 V. The simulator agrees, and finds the
/// unphysical 2.53590 V if it is started there.
fn high_voltage(checks: &mut Checks) {
    let net = power_load(2.4);
    let exact = (12.0 + 48_f64.sqrt()) / 2.0;
    checks.agree("2.4 W", net.solve().volts(1), exact, 1e-12);
}

/// Maximum power transfer, V²/4R = 3.6 W. (The simulator does not converge beyond it, and reports
/// success all the same.)
fn limit(checks: &mut Checks) {
    let net = power_load(3.7);
    let solution = net.solve();
    checks.same(
        "3.7 W",
        solution.unsolved(1),
        Some("the cable cannot feed p1: it asks for 3.7 W and can have 3.6 W at most".to_string()),
    );
    match solution.plan().faults()[0].kind {
        bellwire_plan::figures::FaultKind::TooMuch { most, wanted, .. } => {
            checks.agree("asked for", wanted, 3.7, 1e-12);
            checks.agree("the most", most, 3.6, 1e-9);
        }
        other => panic!("{other:?}"),
    }
}

/// The simulator's temperature coefficient of a resistor, by hand: 100 m of two conductors of
/// 0.22 mm², 1/58 ohm mm²/m, which carry 0.25 A at 75 °C.
fn warm(checks: &mut Checks) {
    let plan = crate::support::plan::Plan::new(
        "model cable thin, conductor 0.22 mm2, strands 1
         model supply S { output out 12 V }
         model detector D { standby 250 mA }
         site warm {
           ambient 5 °C .. 75 °C
           supply s : S
           detector d : D
           run r : thin { s.out --100 m-- d }
         }",
    );
    let ohms = 2.0 * 100.0 / 58.0 / 0.22 * (1.0 + 0.00393 * 55.0);
    let state = bellwire_plan::figures::State::MainsStandby;
    let volts = plan.device("d", state).map(|state| state.volts);
    checks.agree(
        "volts",
        volts.unwrap_or(f64::NAN),
        12.0 - 0.25 * ohms,
        1e-12,
    );
}
