//! Solves a circuit with nalgebra: modified nodal analysis, the full matrix.
//!
//! The loads are taken out and their voltages written as what the sources alone would give less
//! what each load's current takes away. Power loads are then approached by plain fixed-point
//! iteration from above, which can only end at the high-voltage solution or fall to nothing, and
//! Newton's method sharpens the digits.

use ::nalgebra::{DMatrix, DVector};

use super::conductors::Circuit;
use crate::support::net::Draw;

/// A solved circuit.
pub struct Solution {
    /// Of every node.
    pub volts: Vec<f64>,
    /// Out of every source.
    pub source_amperes: Vec<f64>,
}

/// What comes of a circuit.
pub enum Outcome {
    Solved(Solution),
    /// No solution, even with loads that are 2 % less.
    CannotBeFed,
    /// So near the limit that 2 % more would not be fed.
    Close,
}

/// Solves a circuit that has a source.
pub fn solve(circuit: &Circuit) -> Outcome {
    let linear = Linear::new(circuit);
    if linear.settle(1.02).is_some() {
        let amperes = linear.settle(1.0).expect("less than what can be fed");
        return Outcome::Solved(linear.solution(&amperes));
    }
    match linear.settle(0.98) {
        Some(_) => Outcome::Close,
        None => Outcome::CannotBeFed,
    }
}

/// Sources and resistors, and how each load's current bears on everything.
struct Linear<'a> {
    circuit: &'a Circuit,
    /// The loads that are no resistors.
    loads: Vec<(usize, usize, Draw)>,
    /// All unknowns without those loads: volts of the nodes but ground, then amperes into sources.
    idle: DVector<f64>,
    /// What one ampere of each load adds to the unknowns.
    response: DMatrix<f64>,
}

impl<'a> Linear<'a> {
    fn new(circuit: &'a Circuit) -> Linear<'a> {
        let nodes = circuit.nodes - 1;
        let size = nodes + circuit.sources.len();
        let row = |node: usize| node.checked_sub(1);
        let mut matrix = DMatrix::<f64>::zeros(size, size);
        let mut given = DVector::<f64>::zeros(size);
        let mut resistor = |a: usize, b: usize, ohms: f64| {
            for (here, there) in [(row(a), row(b)), (row(b), row(a))] {
                let Some(here) = here else { continue };
                matrix[(here, here)] += 1.0 / ohms;
                if let Some(there) = there {
                    matrix[(here, there)] -= 1.0 / ohms;
                }
            }
        };
        for &(a, b, ohms) in &circuit.resistors {
            resistor(a, b, ohms);
        }
        let mut loads = Vec::new();
        for &(positive, negative, draw) in &circuit.loads {
            match draw {
                Draw::Ohms(ohms) => resistor(positive, negative, ohms),
                _ => loads.push((positive, negative, draw)),
            }
        }
        for (index, &(positive, negative, volts)) in circuit.sources.iter().enumerate() {
            for (node, sign) in [(positive, 1.0), (negative, -1.0)] {
                if let Some(node) = row(node) {
                    matrix[(node, nodes + index)] += sign;
                    matrix[(nodes + index, node)] += sign;
                }
            }
            given[nodes + index] = volts;
        }
        let mut drawn = DMatrix::<f64>::zeros(size, loads.len());
        for (index, &(positive, negative, _)) in loads.iter().enumerate() {
            for (node, sign) in [(positive, -1.0), (negative, 1.0)] {
                if let Some(node) = row(node) {
                    drawn[(node, index)] += sign;
                }
            }
        }
        let lu = matrix.lu();
        Linear {
            idle: lu.solve(&given).expect("every node hangs on a source"),
            response: lu.solve(&drawn).expect("every node hangs on a source"),
            circuit,
            loads,
        }
    }

    /// What the nodes `positive` and `negative` have between them.
    fn between(unknowns: &DVector<f64>, (positive, negative): (usize, usize)) -> f64 {
        let volts = |node: usize| node.checked_sub(1).map_or(0.0, |row| unknowns[row]);
        volts(positive) - volts(negative)
    }

    /// The loads' currents with all of them scaled; none if they cannot be fed.
    fn settle(&self, scale: f64) -> Option<DVector<f64>> {
        let count = self.loads.len();
        if count == 0 {
            return Some(DVector::zeros(0));
        }
        let at = |index: usize| (self.loads[index].0, self.loads[index].1);
        let idle = DVector::from_fn(count, |index, _| Self::between(&self.idle, at(index)));
        // Volts at each load that an ampere of each other takes away, as negative numbers.
        let mutual = DMatrix::from_fn(count, count, |here, there| {
            Self::between(&self.response.column(there).into_owned(), at(here))
        });
        let amperes = |volts: &DVector<f64>| {
            DVector::from_fn(count, |index, _| match self.loads[index].2 {
                Draw::Amperes(amperes) => scale * amperes,
                Draw::Watts(watts) => scale * watts / volts[index],
                Draw::Ohms(_) => unreachable!("resistors are in the matrix"),
            })
        };
        let mut volts = idle.clone();
        let mut settled = false;
        for _ in 0..20_000 {
            if volts.iter().any(|volts| *volts <= 0.0) {
                return None;
            }
            let next = &idle + &mutual * amperes(&volts);
            let step = (&next - &volts).component_div(&volts).amax();
            volts = next;
            if step < 1e-9 {
                settled = true;
                break;
            }
        }
        if !settled || volts.iter().any(|volts| *volts <= 0.0) {
            return None;
        }
        for _ in 0..4 {
            let residual = &volts - &idle - &mutual * amperes(&volts);
            let slope = DVector::from_fn(count, |index, _| match self.loads[index].2 {
                Draw::Watts(watts) => scale * watts / volts[index].powi(2),
                _ => 0.0,
            });
            let jacobian =
                DMatrix::identity(count, count) + &mutual * DMatrix::from_diagonal(&slope);
            volts -= jacobian.lu().solve(&residual)?;
        }
        Some(amperes(&volts))
    }

    fn solution(&self, amperes: &DVector<f64>) -> Solution {
        let unknowns = &self.idle + &self.response * amperes;
        let nodes = self.circuit.nodes - 1;
        let volts = std::iter::once(0.0).chain(unknowns.iter().take(nodes).copied());
        Solution {
            volts: volts.collect(),
            source_amperes: unknowns.iter().skip(nodes).map(|into| -into).collect(),
        }
    }
}
