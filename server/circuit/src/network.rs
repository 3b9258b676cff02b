//! Direct-current networks: ideal sources, cable segments, loads, in any shape.
//!
//! What [`solve`] does, in the order in which it does it:
//!
//! 1. `joints`: nodes joined by nothing (zero ohms) become one point.
//! 2. `elimination`: the points that hang on a source are put into an order of elimination, leaves
//!    first, so a tree costs linear time, and the core of rings and meshes least degree first.
//! 3. `operating_point`: the voltages. Loads that draw constant power are approached by Newton's
//!    method from the voltages without them.
//! 4. `limit`: where there is no solution, which load is too much and what could be had there.
//! 5. `currents`: back to the branches, loads and sources as they were given.
//!
//! [`Solver::solve_apart`] does it piece by piece (`apart`) where one of them has no solution.
//!
//! Voltages are computed as drops below the highest source. Every term of the linear sums is then
//! positive, nothing cancels, and the drop along a millimetre of cable is as exact as the drop
//! along a kilometre.

use std::fmt;

mod apart;
mod currents;
mod elimination;
mod joints;
mod limit;
mod operating_point;

pub use apart::{Apart, Stuck};
use operating_point::{Cable, Trouble};

/// A network: all that hangs on some sources. Nodes are numbered from 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// How many nodes there are.
    pub nodes: usize,
    /// What feeds it. None is allowed: nothing is then fed.
    pub sources: Vec<Source>,
    /// The cable segments.
    pub branches: Vec<Branch>,
    /// The loads.
    pub loads: Vec<Load>,
}

/// An ideal source between a node and the common return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Where it feeds in.
    pub node: usize,
    /// Its voltage, above zero.
    pub volts: f64,
}

/// Cable between two nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// One end.
    pub from: usize,
    /// The other end.
    pub to: usize,
    /// Resistance of both conductors together, ohms. May be 0 (a joint); less than a picohm counts
    /// as 0.
    pub ohms: f64,
}

/// Something that draws current at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Where it is.
    pub node: usize,
    /// What it draws.
    pub draw: Draw,
}

/// How a load's current depends on its voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draw {
    /// The same current at any voltage: the trade's usual figure. Not negative.
    Amperes(f64),
    /// The same power at any voltage, as a switching regulator draws. Not negative.
    Watts(f64),
    /// A resistance, above zero.
    Ohms(f64),
}

/// A solved network. All lists are as long as, and in the order of, the network's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Voltage of each node; `None` where no source reaches.
    pub volts: Vec<Option<f64>>,
    /// Current of each branch in the direction from `from` to `to`.
    ///
    /// Zero-ohm branches carry what their ends need. Where they form a ring among themselves the
    /// sharing is not determined by anything: the branch that closes the ring, in the order given,
    /// is taken to carry nothing. A branch with resistance across a joint carries nothing.
    ///
    /// Where a branch is the only route to what it feeds, its current is exact. In a ring it follows
    /// from two voltages, and is uncertain by some 1e-15 V over its ohms.
    pub branch_amperes: Vec<f64>,
    /// Current of each load; 0 where no source reaches.
    pub load_amperes: Vec<f64>,
    /// Current out of each source; negative where a higher source feeds back into it. Sources on
    /// one joint share alike.
    pub source_amperes: Vec<f64>,
}

/// Why a network has no solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unsolved {
    /// The cable cannot carry what the loads ask for.
    CannotBeFed {
        /// Index of the load that weighs most on the node that falls lowest.
        load: usize,
        /// Its node.
        node: usize,
        /// The most that this load could have, all others drawing what they ask for: watts or
        /// amperes, as the load is given. Nothing if the others alone are too much.
        most: f64,
        /// What it asks for, in the same unit.
        wanted: f64,
        /// The share of what they ask for that all amperes and watts alike could have.
        share: f64,
        /// What all sources together would then give; resistances draw what they do.
        amperes: f64,
    },
    /// Two sources of different voltage on one node or joint.
    SourcesInConflict {
        /// Index of one source.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// A value is not a number that can stand there, or names a node that is not there.
    NotNumbers {
        /// Where.
        element: Element,
    },
    /// The values are so far apart that the voltages did not come out to ten digits.
    OutOfRange {
        /// The node that is least certain.
        node: usize,
    },
}

/// An element of a network, by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Element {
    /// Index into [`Network::sources`].
    Source(usize),
    /// Index into [`Network::branches`].
    Branch(usize),
    /// Index into [`Network::loads`].
    Load(usize),
}

impl fmt::Display for Unsolved {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsolved::CannotBeFed {
                load,
                node,
                most,
                wanted,
                share,
                ..
            } => write!(
                f,
                "load {load} on node {node} cannot be fed: it asks for {wanted} and can have {most} at most; all loads alike could have a share of {share}"
            ),
            Unsolved::SourcesInConflict { first, second } => write!(
                f,
                "sources {first} and {second} are joined but differ in voltage"
            ),
            Unsolved::NotNumbers { element } => {
                let (what, index) = match element {
                    Element::Source(index) => ("source", index),
                    Element::Branch(index) => ("branch", index),
                    Element::Load(index) => ("load", index),
                };
                write!(
                    f,
                    "{what} {index} has a value that is out of range, or a node that is not there"
                )
            }
            Unsolved::OutOfRange { node } => write!(
                f,
                "the values are too far apart to compute the voltage of node {node}"
            ),
        }
    }
}

impl std::error::Error for Unsolved {}

/// Solves a network.
///
/// Constant-power loads have two solutions or none; this gives the one with the high voltages,
/// which is what really happens, or says that there is none. Time grows in proportion to the size
/// of a tree, and with the rings beyond that.
///
/// # Errors
/// See [`Unsolved`]: the loads are too much for the cable, sources are in conflict, or a value
/// cannot stand where it does.
pub fn solve(network: &Network) -> Result<Solution, Unsolved> {
    Solver::default().solve(network)
}

/// Solves networks one after the other. What follows from the cable, and from where sources feed
/// in, is worked out anew only if the network before had others.
#[derive(Default)]
pub struct Solver {
    last: Option<Cable>,
    lost: Option<Lost>,
}

/// A network as it was last solved, its sources all of the same volts and its loads all currents.
/// What such loads lose on the cable does not depend on the volts.
struct Lost {
    loads: Vec<Load>,
    drop: Vec<f64>,
    solution: Solution,
}

/// A network as one.
enum Whole<'a> {
    Solved(Solution),
    /// The loads are too much; which and by how much takes longer to say.
    NoSolution(&'a Cable),
    Unsolved(Unsolved),
}

impl Solver {
    /// Solves a network, as [`solve`] does.
    ///
    /// # Errors
    /// Those of [`solve`].
    pub fn solve(&mut self, network: &Network) -> Result<Solution, Unsolved> {
        match self.whole(network) {
            Whole::Solved(solution) => Ok(solution),
            Whole::NoSolution(cable) => Err(limit::cannot_be_fed(network, cable)),
            Whole::Unsolved(why) => Err(why),
        }
    }

    fn whole(&mut self, network: &Network) -> Whole<'_> {
        if let Err(why) = check_values(network) {
            return Whole::Unsolved(why);
        }
        let last = self.last.take().filter(|cable| cable.is_of(network));
        let lost = self.lost.take().filter(|_| last.is_some());
        let cable = self
            .last
            .insert(last.unwrap_or_else(|| Cable::new(network)));
        if let Err(why) = cable.set_volts(network) {
            return Whole::Unsolved(why);
        }
        let only_currents = cable.is_level() && {
            let mut loads = network.loads.iter();
            loads.all(|load| matches!(load.draw, Draw::Amperes(_)))
        };
        if let Some(lost) = lost
            && only_currents
            && lost.loads == network.loads
            && cable.has_volts_left(&lost.drop)
        {
            let volts = cable.volts(&lost.drop);
            let lost = self.lost.insert(lost);
            return Whole::Solved(Solution {
                volts,
                ..lost.solution.clone()
            });
        }
        match cable.operating_point(&cable.demand(network, |_| 1.0)) {
            Ok(point) => {
                let solution = currents::solution(network, cable, &point);
                self.lost = only_currents.then(|| Lost {
                    loads: network.loads.clone(),
                    drop: point.drop,
                    solution: solution.clone(),
                });
                Whole::Solved(solution)
            }
            Err(Trouble::NoSolution) => Whole::NoSolution(cable),
            Err(Trouble::Unsettled(point)) => Whole::Unsolved(Unsolved::OutOfRange {
                node: cable.any_node_of(point),
            }),
        }
    }
}

fn check_values(network: &Network) -> Result<(), Unsolved> {
    let bad = |element| Err(Unsolved::NotNumbers { element });
    let node = |node: usize| node < network.nodes;
    let positive = |value: f64| value.is_finite() && value > 0.0;
    let not_negative = |value: f64| value.is_finite() && value >= 0.0;
    for (index, source) in network.sources.iter().enumerate() {
        if !node(source.node) || !positive(source.volts) {
            return bad(Element::Source(index));
        }
    }
    for (index, branch) in network.branches.iter().enumerate() {
        if !node(branch.from) || !node(branch.to) || !not_negative(branch.ohms) {
            return bad(Element::Branch(index));
        }
    }
    for (index, load) in network.loads.iter().enumerate() {
        let sound = match load.draw {
            Draw::Amperes(value) | Draw::Watts(value) => not_negative(value),
            Draw::Ohms(value) => positive(value),
        };
        if !node(load.node) || !sound {
            return bad(Element::Load(index));
        }
    }
    Ok(())
}
