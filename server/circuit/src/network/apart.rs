//! Solving piece by piece where a network has no solution as a whole.
//!
//! A source holds its voltage whatever is drawn, so what hangs on it over one route knows nothing
//! of what hangs on it over another. One such piece without a solution leaves the others theirs.

use super::operating_point::Cable;
use super::{Branch, Element, Network, Solution, Solver, Source, Unsolved, Whole, limit};
use crate::DisjointSets;

/// A network, solved as far as it has a solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// What is in a piece that is stuck has no volts, and 0 A; its sources give what the other
    /// pieces draw.
    pub solution: Solution,
    /// The pieces without a solution, in the order of their first nodes.
    pub stuck: Vec<Stuck>,
}

/// What hangs on some sources over one route, and has no solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuck {
    /// What stands against it; indices are those of the whole network.
    pub why: Unsolved,
    /// Its nodes, without those of the sources.
    pub nodes: Vec<usize>,
    /// Its branches.
    pub branches: Vec<usize>,
    /// Its loads.
    pub loads: Vec<usize>,
    /// The sources that it hangs on: what they give is not known.
    pub sources: Vec<usize>,
}

impl Solver {
    /// Solves a network, and where that fails each of its pieces alone. A branch of unknown
    /// resistance, or an unknown load, is written as NaN and keeps only its own piece from a
    /// solution.
    ///
    /// # Errors
    /// Sources are in conflict, or a value or node that no piece can be blamed for is wrong.
    pub fn solve_apart(&mut self, network: &Network) -> Result<Apart, Unsolved> {
        self.apart(network, limit::cannot_be_fed)
    }

    /// The same, for those who do not ask what stands against a piece: to say that takes a hundred
    /// times as long as to see that there is something. Where it is too much, no numbers are given
    /// and no load in particular is named.
    ///
    /// # Errors
    /// Those of [`Solver::solve_apart`].
    pub fn solve_what_can_be(&mut self, network: &Network) -> Result<Apart, Unsolved> {
        self.apart(network, |_, _| limit::untold())
    }

    fn apart(&mut self, network: &Network, why: WhyTooMuch) -> Result<Apart, Unsolved> {
        let mut stuck = Vec::new();
        match self.whole(network) {
            Whole::Solved(solution) => return Ok(Apart { solution, stuck }),
            Whole::NoSolution(_) | Whole::Unsolved(Unsolved::OutOfRange { .. }) => {}
            Whole::Unsolved(Unsolved::NotNumbers {
                element: Element::Branch(_) | Element::Load(_),
            }) => {}
            Whole::Unsolved(why) => return Err(why),
        }
        check_nodes(network)?;
        let mut solution = Solution {
            volts: vec![None; network.nodes],
            branch_amperes: vec![0.0; network.branches.len()],
            load_amperes: vec![0.0; network.loads.len()],
            source_amperes: vec![0.0; network.sources.len()],
        };
        for source in &network.sources {
            solution.volts[source.node] = Some(source.volts);
        }
        for piece in pieces(network) {
            stuck.extend(piece.solve_into(network, &mut solution, why)?);
        }
        Ok(Apart { solution, stuck })
    }
}

/// What hangs on some sources over one route, by its indices in the network.
#[derive(Default)]
struct Piece {
    nodes: Vec<usize>,
    branches: Vec<usize>,
    loads: Vec<usize>,
    sources: Vec<usize>,
}

/// Says what stands against a network whose loads are too much.
type WhyTooMuch = fn(&Network, &Cable) -> Unsolved;

/// Refuses nodes that are not there.
fn check_nodes(network: &Network) -> Result<(), Unsolved> {
    let outside = |node: usize| node >= network.nodes;
    let (sources, branches, loads) = (&network.sources, &network.branches, &network.loads);
    let source = sources.iter().position(|source| outside(source.node));
    let branch = branches
        .iter()
        .position(|branch| outside(branch.from) || outside(branch.to));
    let load = loads.iter().position(|load| outside(load.node));
    let element = branch
        .map(Element::Branch)
        .or(load.map(Element::Load))
        .or(source.map(Element::Source));
    match element {
        Some(element) => Err(Unsolved::NotNumbers { element }),
        None => Ok(()),
    }
}

/// Takes a network apart at its sources. Every index in the pieces is one into a list of the
/// network, whose nodes are all there.
fn pieces(network: &Network) -> Vec<Piece> {
    let mut sources_at: Vec<Vec<usize>> = vec![Vec::new(); network.nodes];
    for (index, source) in network.sources.iter().enumerate() {
        sources_at[source.node].push(index);
    }
    let is_source = |node: usize| !sources_at[node].is_empty();
    let mut sets = DisjointSets::new(network.nodes);
    for branch in &network.branches {
        if !is_source(branch.from) && !is_source(branch.to) {
            sets.join(branch.from, branch.to);
        }
    }
    let mut pieces: Vec<Piece> = Vec::new();
    let mut of_root: Vec<Option<usize>> = vec![None; network.nodes];
    for node in 0..network.nodes {
        let root = sets.root(node);
        let index = *of_root[root].get_or_insert_with(|| {
            pieces.push(Piece::default());
            pieces.len() - 1
        });
        of_root[node] = Some(index);
        if is_source(node) {
            pieces[index].sources.clone_from(&sources_at[node]);
        } else {
            pieces[index].nodes.push(node);
        }
    }
    let piece_of = |node: usize| of_root[node].unwrap_or(0);
    for (index, branch) in network.branches.iter().enumerate() {
        let Branch { from, to, .. } = *branch;
        // Between two sources it belongs to the first.
        let (own, other) = if is_source(from) && !is_source(to) {
            (to, from)
        } else {
            (from, to)
        };
        let piece = &mut pieces[piece_of(own)];
        piece.branches.push(index);
        for source in &sources_at[other] {
            if !piece.sources.contains(source) {
                piece.sources.push(*source);
            }
        }
    }
    for (index, load) in network.loads.iter().enumerate() {
        pieces[piece_of(load.node)].loads.push(index);
    }
    pieces
}

impl Piece {
    fn stuck(self, why: Unsolved) -> Stuck {
        Stuck {
            why,
            nodes: self.nodes,
            branches: self.branches,
            loads: self.loads,
            sources: self.sources,
        }
    }

    /// Solves the piece as a network of its own, whose lists are in the order of the piece's.
    /// Gives one without a solution back.
    fn solve_into(
        self,
        network: &Network,
        whole: &mut Solution,
        why: WhyTooMuch,
    ) -> Result<Option<Stuck>, Unsolved> {
        let held = self.sources.iter().map(|&source| network.sources[source]);
        let mut nodes = self.nodes.clone();
        nodes.extend(held.map(|source| source.node));
        nodes.sort_unstable();
        nodes.dedup();
        let local = |node: usize| nodes.binary_search(&node).unwrap_or(0);
        let own = self.by_itself(network, nodes.len(), local);
        let mut solver = Solver::default();
        let solution = match solver.whole(&own) {
            Whole::Solved(solution) => solution,
            Whole::NoSolution(cable) => {
                let why = self.told_of_the_whole(why(&own, cable), &nodes);
                return Ok(Some(self.stuck(why)));
            }
            Whole::Unsolved(why) => {
                let why = self.told_of_the_whole(why, &nodes);
                if matches!(why, Unsolved::SourcesInConflict { .. }) {
                    return Err(why);
                }
                return Ok(Some(self.stuck(why)));
            }
        };
        for &node in &self.nodes {
            whole.volts[node] = solution.volts[local(node)];
        }
        for (&branch, amperes) in self.branches.iter().zip(solution.branch_amperes) {
            whole.branch_amperes[branch] = amperes;
        }
        for (&load, amperes) in self.loads.iter().zip(solution.load_amperes) {
            whole.load_amperes[load] = amperes;
        }
        for (&source, amperes) in self.sources.iter().zip(solution.source_amperes) {
            whole.source_amperes[source] += amperes;
        }
        Ok(None)
    }

    /// The piece as a network of its own: so many nodes, of which `local` gives the numbers.
    fn by_itself(
        &self,
        network: &Network,
        nodes: usize,
        local: impl Fn(usize) -> usize,
    ) -> Network {
        let sources = self.sources.iter().map(|&source| network.sources[source]);
        let branches = self.branches.iter();
        let branches = branches.map(|&branch| network.branches[branch]);
        let loads = self.loads.iter().map(|&load| network.loads[load]);
        Network {
            nodes,
            sources: sources
                .map(|source| Source {
                    node: local(source.node),
                    ..source
                })
                .collect(),
            branches: branches
                .map(|branch| Branch {
                    from: local(branch.from),
                    to: local(branch.to),
                    ..branch
                })
                .collect(),
            loads: loads
                .map(|mut load| {
                    load.node = local(load.node);
                    load
                })
                .collect(),
        }
    }

    /// The same with the indices of the whole network.
    fn told_of_the_whole(&self, mut why: Unsolved, nodes: &[usize]) -> Unsolved {
        let renumber = |index: &mut usize, list: &[usize]| {
            *index = list.get(*index).copied().unwrap_or(0);
        };
        match &mut why {
            Unsolved::CannotBeFed { load, node, .. } => {
                renumber(load, &self.loads);
                renumber(node, nodes);
            }
            Unsolved::SourcesInConflict { first, second } => {
                renumber(first, &self.sources);
                renumber(second, &self.sources);
            }
            Unsolved::NotNumbers { element } => match element {
                Element::Source(index) => renumber(index, &self.sources),
                Element::Branch(index) => renumber(index, &self.branches),
                Element::Load(index) => renumber(index, &self.loads),
            },
            Unsolved::OutOfRange { node } => renumber(node, nodes),
        }
        why
    }
}
