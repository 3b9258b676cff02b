//! Random plans against a dense solve with nalgebra, a general linear-algebra library, of circuits
//! made from the same numbers with both conductors apart.

use std::cell::Cell;

use bellwire_plan::figures::State;

use crate::random::dense::{self, Outcome};
use crate::random::{Job, Loads, Shapes, compare, jobs};
use crate::support::cases;
use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "nalgebra, a dense solve with both conductors",
    known: "computed in the test",
    checks: &[("2000 random plans in four states", plans)],
};

fn plans(checks: &mut Checks) {
    let [solved, unfed, idle, close] = [const { Cell::new(0_usize) }; 4];
    let count = |cell: &Cell<usize>| cell.set(cell.get() + 1);
    let check = |job: &Job, checks: &mut Checks| {
        let plan = Plan::new(&job.text());
        for state in State::ALL {
            let circuit = job.circuit(state);
            if circuit.sources.is_empty() {
                compare::idle(checks, job, &plan, state);
                count(&idle);
                continue;
            }
            match dense::solve(&circuit) {
                Outcome::Solved(theirs) => {
                    compare::solved(checks, job, &plan, &circuit, state, &theirs, 1e-8);
                    count(&solved);
                }
                Outcome::CannotBeFed => {
                    compare::cannot_be_fed(checks, job, &plan, &circuit, state, 1e-8);
                    count(&unfed);
                }
                Outcome::Close => count(&close),
            }
        }
    };
    let strategy = jobs(Shapes::Any, Loads::Any);
    cases::check(checks, 2000, &strategy, Job::text, check);
    // So that none of the branches goes untried.
    let [solved, unfed, idle, close] = [solved, unfed, idle, close].map(Cell::into_inner);
    println!(
        "states solved {solved}, cannot be fed {unfed}, idle {idle}, too close to tell {close}"
    );
    assert!(solved > 4000 && unfed > 400 && idle > 400 && close < 200);
}
