//! What several test files share: building networks, comparing numbers, and a dense solve with
//! nalgebra that has nothing in common with the crate's own method but the physics.
#![allow(dead_code, reason = "each test file uses a part")]

use bellwire_circuit::{Branch, Draw, Load, Network, Source};
use nalgebra::{DMatrix, DVector};

/// Fails unless two numbers agree to a relative tolerance.
#[track_caller]
pub fn agree(what: &str, ours: f64, theirs: f64, tolerance: f64) {
    assert!(
        relative(ours, theirs) <= tolerance,
        "{what}: {ours} against {theirs}, relative difference {:e}",
        relative(ours, theirs)
    );
}

/// Difference of two numbers as a share of the second.
pub fn relative(ours: f64, theirs: f64) -> f64 {
    if ours == theirs {
        0.0
    } else {
        ((ours - theirs) / theirs).abs()
    }
}

/// A network from tuples.
pub fn network(
    sources: &[(usize, f64)],
    branches: &[(usize, usize, f64)],
    loads: &[(usize, Draw)],
) -> Network {
    let nodes = branches.iter().map(|b| b.0.max(b.1)).max().unwrap_or(0) + 1;
    Network {
        nodes,
        sources: sources
            .iter()
            .map(|&(node, volts)| Source { node, volts })
            .collect(),
        branches: branches
            .iter()
            .map(|&(from, to, ohms)| Branch { from, to, ohms })
            .collect(),
        loads: loads
            .iter()
            .map(|&(node, draw)| Load { node, draw })
            .collect(),
    }
}

/// The branches of a line of nodes, node 0 first, from the resistance of each section.
pub fn line(ohms: &[f64]) -> Vec<(usize, usize, f64)> {
    ohms.iter()
        .enumerate()
        .map(|(at, &ohms)| (at, at + 1, ohms))
        .collect()
}

/// What the dense solve finds.
#[derive(Debug, Clone)]
pub enum Dense {
    /// Volts of every node; none where no source reaches.
    Solved(Vec<Option<f64>>),
    /// The voltages fell to nothing.
    Fell,
    /// Still falling when the patience ended, or so near the limit that it cannot tell.
    Undecided,
}

/// Solves a network by filling in the full conductance matrix.
///
/// Power loads are approached by plain fixed-point iteration from the voltages without them, which
/// can only end at the high-voltage solution or fall to nothing; Newton's method then sharpens the
/// digits. `patience` bounds the iteration.
pub fn dense(network: &Network, patience: usize) -> Dense {
    let point = merged(network);
    let mut held = vec![None; network.nodes];
    for source in &network.sources {
        held[point[source.node]] = Some(source.volts);
    }
    let mut reached: Vec<bool> = held.iter().map(Option::is_some).collect();
    for _ in 0..network.nodes {
        for branch in &network.branches {
            let (a, b) = (point[branch.from], point[branch.to]);
            let either = reached[a] || reached[b];
            (reached[a], reached[b]) = (either, either);
        }
    }
    let unknown: Vec<usize> = (0..network.nodes)
        .filter(|&at| point[at] == at && reached[at] && held[at].is_none())
        .collect();
    let row = |at: usize| unknown.iter().position(|&other| other == at);

    let size = unknown.len();
    let mut g = DMatrix::<f64>::zeros(size, size);
    let mut b = DVector::<f64>::zeros(size);
    let mut watts = DVector::<f64>::zeros(size);
    for branch in &network.branches {
        let (from, to) = (point[branch.from], point[branch.to]);
        if from == to {
            continue;
        }
        for (here, there) in [(from, to), (to, from)] {
            let Some(i) = row(here) else { continue };
            g[(i, i)] += 1.0 / branch.ohms;
            match row(there) {
                Some(j) => g[(i, j)] -= 1.0 / branch.ohms,
                None => b[i] += held[there].unwrap() / branch.ohms,
            }
        }
    }
    for load in &network.loads {
        let Some(i) = row(point[load.node]) else {
            continue;
        };
        match load.draw {
            Draw::Amperes(amperes) => b[i] -= amperes,
            Draw::Watts(power) => watts[i] += power,
            Draw::Ohms(ohms) => g[(i, i)] += 1.0 / ohms,
        }
    }

    let volts = if size == 0 {
        b
    } else {
        match fall(&g, &b, &watts, patience) {
            Ok(volts) => volts,
            Err(end) => return end,
        }
    };
    let value = |at: usize| held[at].or_else(|| row(at).map(|i| volts[i]));
    Dense::Solved((0..network.nodes).map(|node| value(point[node])).collect())
}

fn fall(
    g: &DMatrix<f64>,
    b: &DVector<f64>,
    watts: &DVector<f64>,
    patience: usize,
) -> Result<DVector<f64>, Dense> {
    let lu = g.clone().lu();
    let mut volts = lu.solve(b).unwrap();
    let mut settled = false;
    for _ in 0..patience {
        if volts.iter().any(|volts| *volts <= 0.0) {
            return Err(Dense::Fell);
        }
        let next = lu.solve(&(b - watts.component_div(&volts))).unwrap();
        let step = (&next - &volts).component_div(&volts).amax();
        volts = next;
        if step < 1e-6 {
            settled = true;
            break;
        }
    }
    if volts.iter().any(|volts| *volts <= 0.0) {
        return Err(Dense::Fell);
    }
    if !settled {
        return Err(Dense::Undecided);
    }
    // Where a solution is only just missing the voltages all but stand still, yet Newton's method
    // has nothing to settle on: then it wanders.
    let mut step = f64::INFINITY;
    for _ in 0..60 {
        let residual = g * &volts - b + watts.component_div(&volts);
        let slope = watts.component_div(&volts.component_mul(&volts));
        let jacobian = g - DMatrix::from_diagonal(&slope);
        let Some(change) = jacobian.lu().solve(&residual) else {
            return Err(Dense::Undecided);
        };
        let next = &volts - change;
        if next.iter().any(|volts| volts.is_nan() || *volts <= 0.0) {
            return Err(Dense::Undecided);
        }
        step = (&next - &volts).component_div(&volts).amax();
        volts = next;
        if step < 1e-15 {
            break;
        }
    }
    if step > 1e-9 {
        return Err(Dense::Undecided);
    }
    Ok(volts)
}

/// The lowest node that each node is joined to by zero-ohm branches.
fn merged(network: &Network) -> Vec<usize> {
    let mut point: Vec<usize> = (0..network.nodes).collect();
    for _ in 0..network.nodes {
        for branch in network.branches.iter().filter(|branch| branch.ohms == 0.0) {
            let lower = point[branch.from].min(point[branch.to]);
            (point[branch.from], point[branch.to]) = (lower, lower);
        }
    }
    point
}
