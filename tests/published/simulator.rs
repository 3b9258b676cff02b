//! Random plans against ngspice, run here and now. It is a test of its own because it needs the
//! simulator: `tests/run published` installs that. Without it the test fails.
#![allow(
    dead_code,
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking; what two tests share, each uses a part of"
)]

mod random;
mod support;

use bellwire_plan::figures::State;

use random::dense::{self, Outcome};
use random::{Loads, Shapes, compare, jobs, spice};
use support::cases;
use support::plan::Plan;
use support::record::{self, Checks, Source};

const SOURCES: &[Source] = &[Source {
    name: "ngspice, a circuit simulator, run in the test",
    known: "computed in the test",
    checks: &[
        ("300 random plans in four states", plans),
        ("what it says of a known circuit", known),
    ],
}];

fn main() -> std::process::ExitCode {
    record::run("simulator", SOURCES)
}

/// The simulator solves what the dense solve says has a solution; of what has none it says nothing
/// that could be compared, and the plan must say that it cannot be fed.
fn plans(checks: &mut Checks) {
    println!("{}", spice::version());
    let (mut solved, mut unfed) = (0, 0);
    for (number, job) in cases::some(300, &jobs(Shapes::Any, Loads::Any))
        .iter()
        .enumerate()
    {
        let plan = Plan::new(&job.text());
        let mut own = Checks::default();
        let mut circuits = Vec::new();
        for state in State::ALL {
            let circuit = job.circuit(state);
            if circuit.sources.is_empty() {
                continue;
            }
            match dense::solve(&circuit) {
                Outcome::Solved(_) => circuits.push((state, circuit)),
                Outcome::CannotBeFed => {
                    compare::cannot_be_fed(&mut own, job, &plan, &circuit, state, 1e-6);
                    unfed += 1;
                }
                Outcome::Close => {}
            }
        }
        if !circuits.is_empty() {
            let all: Vec<_> = circuits.iter().map(|(_, circuit)| circuit).collect();
            let theirs = spice::solve(&format!("plan-{number}"), &all);
            for ((state, circuit), theirs) in circuits.iter().zip(&theirs) {
                compare::solved(&mut own, job, &plan, circuit, *state, theirs, 1e-6);
                solved += 1;
            }
        }
        assert!(
            own.wrong().is_empty(),
            "{}\n{}",
            own.wrong().join("\n"),
            job.text()
        );
        checks.add(own);
    }
    println!("states solved {solved}, cannot be fed {unfed}");
    assert!(solved > 600 && unfed > 30 && checks.values() > 10_000);
}

/// That the simulator was asked rightly: 12 V through 4 ohm and 6 ohm of the two conductors into
/// 2.4 W leave (12 + sqrt(144 − 96)) / 2 V.
fn known(checks: &mut Checks) {
    let circuit = random::conductors::Circuit {
        nodes: 4,
        resistors: vec![(1, 2, 4.0), (0, 3, 6.0)],
        sources: vec![(1, 0, 12.0)],
        loads: vec![(2, 3, support::net::Draw::Watts(2.4))],
        ..Default::default()
    };
    let solution = &spice::solve("known", &[&circuit])[0];
    let volts = (12.0 + 48_f64.sqrt()) / 2.0;
    checks.agree("volts", solution.volts[2] - solution.volts[3], volts, 1e-9);
    checks.agree("amperes", solution.source_amperes[0], 2.4 / volts, 1e-9);
}
