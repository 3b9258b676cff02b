//! The voltages at which all loads get what they ask for.
//!
//! With constant-power loads the equations are `G v + p / v = b`. Each component is convex in `v`
//! and `G` is an M-matrix, so Newton's method from the voltages without those loads falls
//! monotonically and never passes below the largest solution, the physical one. On the way the
//! Jacobian `G - p / v²` stays an M-matrix for as long as that solution exists. So if a pivot or a
//! voltage is not above zero, there is no solution: not a failure of the iteration but a proof.

use super::elimination::{Edges, Elimination};
use super::joints::{Joints, is_joint};
use super::{Branch, Draw, Network, Unsolved};

/// How far, as a share of the voltage, the voltages may lie from those that their own currents
/// give.
const SETTLED: f64 = 1e-10;

/// What counts as no voltage, as a share of the highest source's: the digits below are rounding.
const NOTHING: f64 = 1e-12;

/// Newton's method doubles its digits a step, or gains one bit a step at the very limit of what
/// can be fed; this is far beyond both.
const STEPS: usize = 200;

/// The cable of a network, ready for any loads on it and any volts of its sources. The network's
/// values have been checked, so each of its nodes has a point, and each point a place in every list
/// of points here and in [`Demand`].
pub(super) struct Cable {
    given: Given,
    pub joints: Joints,
    /// The edge of each branch, unless it is a joint or lies across one.
    pub edge: Vec<Option<usize>>,
    pub edges: Edges,
    pub elimination: Elimination,
    /// Volts of the points that a source holds.
    pub held: Vec<Option<f64>>,
    pub reached: Vec<bool>,
    /// The highest source; levels are drops below it.
    pub highest: f64,
}

/// What a [`Cable`] was made of.
struct Given {
    nodes: usize,
    branches: Vec<Branch>,
    /// Where sources feed in, source by source.
    source_nodes: Vec<usize>,
}

/// What is drawn at each point, by kind.
#[derive(Clone)]
pub(super) struct Demand {
    pub amperes: Vec<f64>,
    pub watts: Vec<f64>,
    pub siemens: Vec<f64>,
}

/// A solution at the points.
pub(super) struct OperatingPoint {
    /// Below the highest source.
    pub drop: Vec<f64>,
    /// The voltages that the power loads' currents were computed with. They differ from the drops
    /// only in digits that are not certain, and with them the currents at each point sum to zero.
    pub power_volts: Vec<f64>,
}

/// Why there is no operating point.
pub(super) enum Trouble {
    NoSolution,
    /// Rounding kept it from settling at this point.
    Unsettled(usize),
}

impl Cable {
    /// The cable of a network. Its sources give nothing until they are [set](Cable::set_volts).
    pub(super) fn new(network: &Network) -> Cable {
        let joints = Joints::new(network);
        let source_nodes: Vec<usize> = network.sources.iter().map(|source| source.node).collect();
        let mut is_held = vec![false; joints.points];
        for &node in &source_nodes {
            is_held[joints.point[node]] = true;
        }
        let mut edges = Edges::default();
        let edge = network
            .branches
            .iter()
            .map(|branch| {
                let (a, b) = (joints.point[branch.from], joints.point[branch.to]);
                (a != b && !is_joint(branch.ohms)).then(|| edges.add(a, b, 1.0 / branch.ohms))
            })
            .collect();
        let neighbours = edges.neighbours(joints.points);
        let reached = neighbours.reached(&is_held);
        Cable {
            given: Given {
                nodes: network.nodes,
                branches: network.branches.clone(),
                source_nodes,
            },
            elimination: Elimination::new(&edges, &neighbours, &is_held, &reached),
            highest: 0.0,
            held: vec![None; joints.points],
            joints,
            edge,
            edges,
            reached,
        }
    }

    /// Whether a network has this cable, and sources at the same nodes.
    pub(super) fn is_of(&self, network: &Network) -> bool {
        let given = &self.given;
        let source_nodes = network.sources.iter().map(|source| &source.node);
        given.nodes == network.nodes
            && given.source_nodes.iter().eq(source_nodes)
            && given.branches == network.branches
    }

    /// Sets the volts of the sources to those of a network with this cable.
    pub(super) fn set_volts(&mut self, network: &Network) -> Result<(), Unsolved> {
        self.held.fill(None);
        for (second, source) in network.sources.iter().enumerate() {
            let at = self.joints.point[source.node];
            if self.held[at].is_some_and(|volts| volts != source.volts) {
                let mut nodes = network.sources.iter().map(|source| source.node);
                let first = nodes.position(|node| self.joints.point[node] == at);
                let first = first.unwrap_or(second);
                return Err(Unsolved::SourcesInConflict { first, second });
            }
            self.held[at] = Some(source.volts);
        }
        self.highest = self.held.iter().flatten().copied().fold(0.0, f64::max);
        Ok(())
    }

    /// Whether all sources have the same volts, so that no point that is held lies below another.
    pub(super) fn is_level(&self) -> bool {
        let mut held = self.held.iter().flatten();
        held.all(|volts| *volts == self.highest)
    }

    /// Volts of each node with these drops at the points; `None` where no source reaches.
    pub(super) fn volts(&self, drop: &[f64]) -> Vec<Option<f64>> {
        let volts = |&at: &usize| match self.held[at] {
            Some(volts) => Some(volts),
            None => self.reached[at].then(|| self.highest - drop[at]),
        };
        self.joints.point.iter().map(volts).collect()
    }

    /// Some node at a point.
    pub(super) fn any_node_of(&self, point: usize) -> usize {
        let mut points = self.joints.point.iter();
        points.position(|at| *at == point).unwrap_or(0)
    }

    /// The loads at the points that are reached, constant currents and powers each times
    /// `factor(load)`.
    pub(super) fn demand(&self, network: &Network, factor: impl Fn(usize) -> f64) -> Demand {
        let none = vec![0.0; self.joints.points];
        let mut demand = Demand {
            amperes: none.clone(),
            watts: none.clone(),
            siemens: none,
        };
        for (index, load) in network.loads.iter().enumerate() {
            let point = self.joints.point[load.node];
            if !self.reached[point] {
                continue;
            }
            match load.draw {
                Draw::Amperes(amperes) => demand.amperes[point] += amperes * factor(index),
                Draw::Watts(watts) => demand.watts[point] += watts * factor(index),
                Draw::Ohms(ohms) => demand.siemens[point] += 1.0 / ohms,
            }
        }
        demand
    }

    /// Solves for a demand.
    pub(super) fn operating_point(&self, demand: &Demand) -> Result<OperatingPoint, Trouble> {
        let mut drop = self.drops(demand, &vec![0.0; self.joints.points])?;
        let powered: Vec<usize> = (0..demand.watts.len())
            .filter(|&point| demand.watts[point] > 0.0)
            .collect();
        if powered.is_empty() {
            let power_volts = drop.iter().map(|drop| self.highest - drop).collect();
            return Ok(OperatingPoint { drop, power_volts });
        }

        let mut last_step = f64::INFINITY;
        for _ in 0..STEPS {
            let next = self.newton_step(demand, &powered, &drop)?;
            let step = self.distance(&drop, &next).1;
            drop = next;
            // Steps shrink by half or better until only rounding is left of them.
            if step <= f64::EPSILON || (step < 1e-6 && step > 0.75 * last_step) {
                break;
            }
            last_step = step;
        }

        let power_volts: Vec<f64> = drop.iter().map(|drop| self.highest - drop).collect();
        let mut current = vec![0.0; power_volts.len()];
        for &point in &powered {
            current[point] = demand.watts[point] / power_volts[point];
        }
        let settled = self.drops(demand, &current)?;
        let (worst, distance) = self.distance(&drop, &settled);
        if distance <= SETTLED {
            Ok(OperatingPoint {
                drop: settled,
                power_volts,
            })
        } else {
            Err(Trouble::Unsettled(worst))
        }
    }

    /// The drops with `current` flowing at each point beside the constant currents and resistors.
    fn drops(&self, demand: &Demand, current: &[f64]) -> Result<Vec<f64>, Trouble> {
        let inflow: Vec<f64> = (0..current.len())
            .map(|point| {
                demand.amperes[point] + demand.siemens[point] * self.highest + current[point]
            })
            .collect();
        self.levels(&demand.siemens, &inflow)
    }

    /// One step of Newton's method: the power loads by their tangents,
    /// `i = 2 p / v₀ - v p / v₀²`.
    fn newton_step(
        &self,
        demand: &Demand,
        powered: &[usize],
        drop: &[f64],
    ) -> Result<Vec<f64>, Trouble> {
        let mut leak = demand.siemens.clone();
        let mut inflow: Vec<f64> = (0..drop.len())
            .map(|point| demand.amperes[point] + demand.siemens[point] * self.highest)
            .collect();
        for &point in powered {
            let volts = self.highest - drop[point];
            let amperes = demand.watts[point] / volts;
            leak[point] -= amperes / volts;
            inflow[point] += amperes * (2.0 - self.highest / volts);
        }
        self.levels(&leak, &inflow)
    }

    /// Solves the linear equations. No voltage that is not above zero comes out of here.
    fn levels(&self, leak: &[f64], inflow: &[f64]) -> Result<Vec<f64>, Trouble> {
        let mut drop: Vec<f64> = self
            .held
            .iter()
            .map(|volts| volts.map_or(0.0, |volts| self.highest - volts))
            .collect();
        self.elimination
            .solve(leak, inflow, &mut drop)
            .ok_or(Trouble::NoSolution)?;
        match self.has_volts_left(&drop) {
            true => Ok(drop),
            false => Err(Trouble::NoSolution),
        }
    }

    /// Whether the voltage is above zero at every point that is reached.
    pub(super) fn has_volts_left(&self, drop: &[f64]) -> bool {
        // NaN, from sums beyond the range of numbers, is not below either.
        let floor = self.highest * (1.0 - NOTHING);
        let above_floor = |point: usize| self.held[point].is_some() || drop[point] < floor;
        (0..drop.len()).all(|point| !self.reached[point] || above_floor(point))
    }

    /// Where two sets of drops differ most as a share of the voltage, and by how much.
    fn distance(&self, a: &[f64], b: &[f64]) -> (usize, f64) {
        let share = |(a, b): (&f64, &f64)| (a - b).abs() / (self.highest - b);
        a.iter()
            .zip(b)
            .map(share)
            .enumerate()
            .fold(
                (0, 0.0),
                |most, this| {
                    if this.1 > most.1 { this } else { most }
                },
            )
    }
}
