//! Holds the figures of a job's plan against a solution of its circuit.

use std::collections::BTreeMap;

use bellwire_plan::figures::{FaultKind, State};

use super::Job;
use super::conductors::{Circuit, Gives};
use super::dense::{self, Outcome, Solution};
use crate::support::net::Draw;
use crate::support::plan::Plan;
use crate::support::record::Checks;

/// Every voltage and current of a state: devices, outputs and legs.
pub fn solved(
    checks: &mut Checks,
    job: &Job,
    plan: &Plan,
    circuit: &Circuit,
    state: State,
    theirs: &Solution,
    tolerance: f64,
) {
    let sources = theirs.source_amperes.iter();
    let solved = Solved {
        job,
        plan,
        circuit,
        state,
        theirs,
        tolerance,
        // A network that carries nothing has no current to measure others by.
        greatest: sources.fold(1e-3, |most, amperes| amperes.abs().max(most)),
    };
    solved.devices(checks);
    solved.outputs(checks);
    solved.legs(checks);
}

/// A state that has a solution.
struct Solved<'a> {
    job: &'a Job,
    plan: &'a Plan,
    circuit: &'a Circuit,
    state: State,
    theirs: &'a Solution,
    tolerance: f64,
    /// The greatest current of a source, amperes.
    greatest: f64,
}

impl Solved<'_> {
    /// Between the two conductors of a place.
    fn volts(&self, (positive, negative): (usize, usize)) -> f64 {
        self.theirs.volts[positive] - self.theirs.volts[negative]
    }

    fn devices(&self, checks: &mut Checks) {
        let (state, tolerance) = (self.state, self.tolerance);
        for (index, place) in self.job.places.iter().enumerate() {
            let Some(draw) = place.draw(state.is_alarm()) else {
                continue;
            };
            let name = format!("p{index}");
            let ours = match self.plan.device(&name, state) {
                Ok(ours) => ours,
                Err(why) => {
                    let what = format!("{name}, {state:?}");
                    checks.same(what, why.to_string(), "solved".into());
                    continue;
                }
            };
            let there = self.volts(self.circuit.places[index]);
            let what = format!("{name}, {state:?}, volts");
            checks.agree(what, ours.volts, there, tolerance);
            let amperes = match draw {
                Draw::Amperes(amperes) => amperes,
                Draw::Watts(watts) => watts / there,
                Draw::Ohms(ohms) => there / ohms,
            };
            let what = format!("{name}, {state:?}, amperes");
            checks.agree_beside(what, ours.amperes, amperes, self.greatest, tolerance);
            // With one supply, whose negative is ground, the negative's share shows.
            if let [_] = self.job.supplies.as_slice() {
                let shift = self.theirs.volts[self.circuit.places[index].1];
                let what = format!("{name}, {state:?}, shift");
                checks.agree_beside(what, ours.shift, shift, self.circuit.highest(), tolerance);
            }
        }
    }

    fn outputs(&self, checks: &mut Checks) {
        for (supply, source) in self.circuit.source_of.iter().enumerate() {
            let name = format!("s{supply}.out");
            let theirs = source.map_or(0.0, |source| self.theirs.source_amperes[source]);
            match self.plan.output(&name, self.state) {
                Ok(ours) => {
                    let what = format!("{name}, {:?}, amperes", self.state);
                    checks.agree_beside(what, ours.amperes, theirs, self.greatest, self.tolerance);
                }
                Err(why) => {
                    let expected = match self.job.gives(supply, self.state) {
                        Gives::NoBattery => format!("s{supply} has no battery"),
                        _ => "solved".to_string(),
                    };
                    checks.same(name, why.to_string(), expected);
                }
            }
        }
    }

    fn legs(&self, checks: &mut Checks) {
        let tolerance = self.tolerance;
        let highest = self.circuit.highest();
        let mut leg_ohms = self.circuit.leg_ohms.iter();
        for (index, run) in self.job.runs.iter().enumerate() {
            let legs = self.plan.legs(&format!("r{index}"));
            let ends = run.paths.iter().flat_map(super::Path::with_ends);
            for (ours, (from, to, _)) in legs.iter().zip(ends) {
                let ohms = *leg_ohms.next().unwrap();
                let at = |end| match end {
                    super::End::Output(index) => self.volts(self.circuit.outputs[index]),
                    super::End::Place(index) => self.volts(self.circuit.places[index]),
                };
                let drop = at(from) - at(to);
                let what = format!("r{index}, {from:?} to {to:?}, {:?}", self.state);
                checks.agree(format!("{what}, ohms"), ours.ohms, ohms, tolerance);
                let ours = match &ours.states[self.state] {
                    Ok(ours) => ours,
                    Err(why) => {
                        checks.same(what, why.to_string(), "solved".into());
                        continue;
                    }
                };
                let lost = format!("{what}, drop");
                checks.agree_beside(lost, ours.drop, drop, highest, tolerance);
                // A difference of voltages is no better than they are.
                let room = self.greatest.max(highest / ohms * 1e-3);
                let amperes = format!("{what}, amperes");
                checks.agree_beside(amperes, ours.amperes, drop / ohms, room, tolerance);
            }
        }
    }
}

/// A state in which no supply gives anything.
pub fn idle(checks: &mut Checks, job: &Job, plan: &Plan, state: State) {
    let mut without = (0..job.supplies.len())
        .filter(|&supply| matches!(job.gives(supply, state), Gives::NoBattery));
    let is_off = without.next().is_none();
    for (index, place) in job.places.iter().enumerate() {
        if place.is_joint() {
            continue;
        }
        let name = format!("p{index}");
        let ours = plan.device(&name, state);
        let what = format!("{name}, {state:?}");
        match ours {
            Ok(ours) => checks.same(what, (is_off, ours.volts, ours.amperes), (true, 0.0, 0.0)),
            Err(why) => checks.same(
                what,
                (is_off, why.as_str().ends_with("has no battery")),
                (false, true),
            ),
        }
    }
}

/// A state in which the cable cannot feed the loads: every device on a branch that has no solution
/// is told so, every other gets what it gets with nothing else on its outputs, and the finding
/// names one that asks for more than it can have.
pub fn cannot_be_fed(
    checks: &mut Checks,
    job: &Job,
    plan: &Plan,
    circuit: &Circuit,
    state: State,
    tolerance: f64,
) {
    let branch_of = branches(circuit);
    let mut known: BTreeMap<usize, Outcome> = BTreeMap::new();
    for (index, place) in job.places.iter().enumerate() {
        if place.is_joint() {
            continue;
        }
        let (positive, negative) = circuit.places[index];
        let branch = branch_of[positive];
        let theirs = known.entry(branch).or_insert_with(|| {
            let mut alone = circuit.clone();
            alone.loads.retain(|load| branch_of[load.0] == branch);
            dense::solve(&alone)
        });
        let name = format!("p{index}");
        match (theirs, plan.device(&name, state)) {
            (Outcome::Close, _) => {}
            (Outcome::CannotBeFed, ours) => {
                let why = ours.err();
                let says =
                    why.is_some_and(|why| why.as_str().starts_with("the cable cannot feed "));
                checks.same(format!("{name}, {state:?}, cannot be fed"), says, true);
            }
            (Outcome::Solved(theirs), Ok(ours)) => {
                let there = theirs.volts[positive] - theirs.volts[negative];
                let what = format!("{name}, {state:?}, volts on a branch of its own");
                checks.agree(what, ours.volts, there, tolerance);
            }
            (Outcome::Solved(_), Err(why)) => {
                let what = format!("{name}, {state:?}, on a branch of its own");
                checks.same(what, why.to_string(), "solved".into());
            }
        }
    }
    let faults = plan.faults().iter();
    let named = faults.filter(|fault| fault.state == state).any(|fault| {
        matches!(fault.kind, FaultKind::TooMuch { most, wanted, .. } if (0.0..wanted).contains(&most))
    });
    checks.same(format!("{state:?}, the most"), named, true);
    checks.same("finding", plan.has_finding("cannot-be-fed"), true);
}

/// For each node the first of those that it hangs together with where no source is between.
fn branches(circuit: &Circuit) -> Vec<usize> {
    let mut first: Vec<usize> = (0..circuit.nodes).collect();
    let is_source = |node: usize| {
        circuit
            .sources
            .iter()
            .any(|source| node == source.0 || node == source.1)
    };
    let resistors = circuit.resistors.iter().map(|&(a, b, _)| (a, b));
    let pairs: Vec<_> = resistors.chain(circuit.places.iter().copied()).collect();
    // Slow and plain: the least spreads until nothing changes.
    loop {
        let before = first.clone();
        for &(a, b) in &pairs {
            if !is_source(a) && !is_source(b) {
                let least = first[a].min(first[b]);
                (first[a], first[b]) = (least, least);
            }
        }
        if first == before {
            return first;
        }
    }
}
