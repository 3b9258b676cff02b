//! Solves the nodal equations of a resistor network by taking out one point after the other.
//!
//! A point with spokes of conductance `g_i` to its neighbours, and a leak `s` to the common
//! return, can be replaced by conductances `g_i g_j / total` between its neighbours and leaks
//! `s g_i / total` at them, where `total = s + sum g` (the star-mesh transform). That is Gaussian
//! elimination without a single subtraction, so as long as leaks are not negative each result is
//! right to a few units of the last digit, however far the conductances lie apart.
//!
//! The order is found once and used for every solve of the network: leaves first, which makes no
//! new conductances and takes linear time over a tree; then the point with the fewest neighbours.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use rustc_hash::FxHashMap;

/// An order of elimination for one network. What one list says of another is a range of it or an
/// index into it; points are those that [`Elimination::new`] was made for, and whoever solves gives
/// as many values.
pub(super) struct Elimination {
    steps: Vec<Step>,
    /// How many of the steps take out a leaf.
    leaves: usize,
    spokes: Vec<Spoke>,
    fills: Vec<Fill>,
    /// Siemens of each edge, before the first step; new edges have none.
    siemens: Vec<f64>,
}

/// Takes out one point.
struct Step {
    point: usize,
    spokes: Range<usize>,
    fills: Range<usize>,
}

#[derive(Clone, Copy)]
struct Spoke {
    neighbour: usize,
    edge: usize,
}

/// Two spokes of a step and the edge between their far ends.
struct Fill {
    spokes: (usize, usize),
    edge: usize,
}

/// A leaf with its only neighbour when its turn comes.
pub(super) struct Leaf {
    pub point: usize,
    pub neighbour: usize,
    pub edge: usize,
}

/// The edges between points; parallel branches are one edge. Edges are numbered as they come.
#[derive(Default)]
pub(super) struct Edges {
    ends: Vec<(usize, usize)>,
    siemens: Vec<f64>,
    index: FxHashMap<(usize, usize), usize>,
}

impl Edges {
    /// Adds a branch and gives its edge.
    pub(super) fn add(&mut self, a: usize, b: usize, siemens: f64) -> usize {
        let ends = (a.min(b), a.max(b));
        let edge = *self.index.entry(ends).or_insert(self.ends.len());
        if edge == self.ends.len() {
            self.ends.push(ends);
            self.siemens.push(0.0);
        }
        self.siemens[edge] += siemens;
        edge
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.ends.len()
    }

    /// Siemens of an edge.
    pub(super) fn siemens(&self, edge: usize) -> f64 {
        self.siemens[edge]
    }

    /// Each point's neighbours.
    pub(super) fn neighbours(&self, points: usize) -> Neighbours {
        // How many each point has, then where the next of each goes.
        let mut next = vec![0; points + 1];
        for &(a, b) in &self.ends {
            next[a] += 1;
            next[b] += 1;
        }
        let mut before = 0;
        for next in &mut next {
            before += std::mem::replace(next, before);
        }
        let first = next.clone();
        let nobody = Spoke {
            neighbour: 0,
            edge: 0,
        };
        let mut spokes = vec![nobody; before];
        for (edge, &(a, b)) in self.ends.iter().enumerate() {
            for (point, neighbour) in [(a, b), (b, a)] {
                spokes[next[point]] = Spoke { neighbour, edge };
                next[point] += 1;
            }
        }
        Neighbours { spokes, first }
    }
}

/// Each point's neighbours.
pub(super) struct Neighbours {
    /// Point by point.
    spokes: Vec<Spoke>,
    /// Where each point's spokes begin, and behind the last point their end.
    first: Vec<usize>,
}

impl Neighbours {
    fn of(&self, point: usize) -> &[Spoke] {
        &self.spokes[self.first[point]..self.first[point + 1]]
    }

    /// Which points can be reached from those that are held.
    pub(super) fn reached(&self, held: &[bool]) -> Vec<bool> {
        let mut reached = held.to_vec();
        let mut waiting: Vec<usize> = (0..held.len()).filter(|&point| held[point]).collect();
        while let Some(point) = waiting.pop() {
            for spoke in self.of(point) {
                if !reached[spoke.neighbour] {
                    reached[spoke.neighbour] = true;
                    waiting.push(spoke.neighbour);
                }
            }
        }
        reached
    }
}

impl Elimination {
    /// Finds the order over all points that are reached but not held at a voltage.
    pub(super) fn new(
        edges: &Edges,
        neighbours: &Neighbours,
        held: &[bool],
        reached: &[bool],
    ) -> Elimination {
        // A tree has a step and a spoke for each of its edges.
        let mut order = Elimination {
            steps: Vec::with_capacity(edges.count()),
            leaves: 0,
            spokes: Vec::with_capacity(edges.count()),
            fills: Vec::new(),
            siemens: edges.siemens.clone(),
        };
        let mut open: Vec<bool> = (0..held.len())
            .map(|point| reached[point] && !held[point])
            .collect();
        order.take_leaves(neighbours, held, &mut open);
        order.take_core(neighbours, held, &open);
        order
    }

    /// `open`: the points that are still to be taken out.
    fn take_leaves(&mut self, neighbours: &Neighbours, held: &[bool], open: &mut [bool]) {
        let degrees = (0..held.len()).map(|point| neighbours.of(point).len());
        let mut degree: Vec<usize> = degrees.collect();
        let mut waiting: Vec<usize> = (0..open.len())
            .filter(|&point| open[point] && degree[point] == 1)
            .collect();
        while let Some(point) = waiting.pop() {
            // Held points stay, so what hangs together always keeps one and a leaf its neighbour.
            let Some(&spoke) = neighbours
                .of(point)
                .iter()
                .find(|spoke| open[spoke.neighbour] || held[spoke.neighbour])
            else {
                continue;
            };
            open[point] = false;
            self.push(point, [spoke]);
            let neighbour = spoke.neighbour;
            degree[neighbour] -= 1;
            if open[neighbour] && degree[neighbour] == 1 {
                waiting.push(neighbour);
            }
        }
        self.leaves = self.steps.len();
    }

    fn take_core(&mut self, neighbours: &Neighbours, held: &[bool], open: &[bool]) {
        // Neighbour and edge of each open point; held points keep no list of their own.
        let mut around: FxHashMap<usize, BTreeMap<usize, usize>> = FxHashMap::default();
        for point in (0..open.len()).filter(|&point| open[point]) {
            let spokes = neighbours.of(point).iter();
            let still_there = spokes.filter(|spoke| open[spoke.neighbour] || held[spoke.neighbour]);
            around.insert(
                point,
                still_there
                    .map(|spoke| (spoke.neighbour, spoke.edge))
                    .collect(),
            );
        }
        let mut by_degree: BTreeSet<(usize, usize)> = around
            .iter()
            .map(|(&point, spokes)| (spokes.len(), point))
            .collect();

        while let Some((_, point)) = by_degree.pop_first() {
            let Some(spokes) = around.remove(&point) else {
                continue;
            };
            let spokes: Vec<Spoke> = spokes
                .into_iter()
                .map(|(neighbour, edge)| Spoke { neighbour, edge })
                .collect();
            for spoke in &spokes {
                if let Some(others) = around.get_mut(&spoke.neighbour) {
                    by_degree.remove(&(others.len(), spoke.neighbour));
                    others.remove(&point);
                }
            }
            let first = self.spokes.len();
            let first_fill = self.fills.len();
            for (i, a) in spokes.iter().enumerate() {
                for (j, b) in spokes.iter().enumerate().skip(i + 1) {
                    if let Some(edge) = self.edge_between(&mut around, a.neighbour, b.neighbour) {
                        self.fills.push(Fill {
                            spokes: (first + i, first + j),
                            edge,
                        });
                    }
                }
            }
            for spoke in &spokes {
                if let Some(others) = around.get(&spoke.neighbour) {
                    by_degree.insert((others.len(), spoke.neighbour));
                }
            }
            self.push(point, spokes);
            if let Some(step) = self.steps.last_mut() {
                step.fills = first_fill..self.fills.len();
            }
        }
    }

    /// The edge between two points, new if need be; `None` between two that are held, where it
    /// would change nothing.
    fn edge_between(
        &mut self,
        around: &mut FxHashMap<usize, BTreeMap<usize, usize>>,
        a: usize,
        b: usize,
    ) -> Option<usize> {
        let new = self.siemens.len();
        let edge = match (around.contains_key(&a), around.contains_key(&b)) {
            (true, _) => *around.get_mut(&a)?.entry(b).or_insert(new),
            (_, true) => *around.get_mut(&b)?.entry(a).or_insert(new),
            _ => return None,
        };
        if edge == new {
            self.siemens.push(0.0);
            if let Some(others) = around.get_mut(&b) {
                others.insert(a, edge);
            }
        }
        Some(edge)
    }

    fn push(&mut self, point: usize, spokes: impl IntoIterator<Item = Spoke>) {
        let first = self.spokes.len();
        self.spokes.extend(spokes);
        self.steps.push(Step {
            point,
            spokes: first..self.spokes.len(),
            fills: 0..0,
        });
    }

    /// The leaves in the order in which they are taken out: each before what it hangs on.
    pub(super) fn leaves(&self) -> impl Iterator<Item = Leaf> {
        self.steps.iter().take(self.leaves).map(|step| {
            let spoke = self.spokes[step.spokes.start];
            Leaf {
                point: step.point,
                neighbour: spoke.neighbour,
                edge: spoke.edge,
            }
        })
    }

    /// Fills in `level` at each point that is taken out, from `level` at the held ones, such that
    /// at each point `sum g (level - neighbour's level) + leak * level = inflow`.
    ///
    /// `None` unless the matrix is an M-matrix (all pivots above zero), which it always is while
    /// no leak is negative.
    #[must_use]
    pub(super) fn solve(&self, leak: &[f64], inflow: &[f64], level: &mut [f64]) -> Option<()> {
        let mut siemens = self.siemens.clone();
        let mut leak = leak.to_vec();
        let mut inflow = inflow.to_vec();
        let mut totals = Vec::with_capacity(self.steps.len());
        for step in &self.steps {
            let spokes = &self.spokes[step.spokes.clone()];
            let total =
                leak[step.point] + spokes.iter().map(|spoke| siemens[spoke.edge]).sum::<f64>();
            if !(total > 0.0 && total.is_finite()) {
                return None;
            }
            totals.push(total);
            for spoke in spokes {
                let share = siemens[spoke.edge] / total;
                leak[spoke.neighbour] += share * leak[step.point];
                inflow[spoke.neighbour] += share * inflow[step.point];
            }
            for fill in &self.fills[step.fills.clone()] {
                let [a, b] = [fill.spokes.0, fill.spokes.1].map(|spoke| self.spokes[spoke].edge);
                siemens[fill.edge] += siemens[a] * siemens[b] / total;
            }
        }
        for (step, total) in self.steps.iter().zip(&totals).rev() {
            let spokes = &self.spokes[step.spokes.clone()];
            let from_neighbours: f64 = spokes
                .iter()
                .map(|spoke| siemens[spoke.edge] * level[spoke.neighbour])
                .sum();
            level[step.point] = (inflow[step.point] + from_neighbours) / total;
        }
        Some(())
    }
}
