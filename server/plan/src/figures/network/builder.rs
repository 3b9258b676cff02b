//! Laying the network: path by path, pair by pair.

use bellwire_circuit::DisjointSets;
use rustc_hash::{FxHashMap, FxHashSet};
use smallvec::SmallVec;

use super::{Closing, Component, Consumer, Edge, Graph, Leg};
use crate::figures::PathFigures;
use crate::figures::cable::{ohms_per_metre_of, pair_ohms};
use crate::figures::circuits::{may_be_fed, output_of};
use crate::model::{At, OutputId, Path, Site, Terminal};

/// Lays the graph. Every number of a node comes from [`Builder::node`]: an output's,
/// a device's and a trigger's are there from the start, those that power goes past and an open
/// point's from [`Builder::new_node`], so all lists of nodes have it.
pub(super) struct Builder<'a> {
    site: &'a Site,
    outputs: Vec<OutputId>,
    legs: Vec<Leg>,
    edges: Vec<Edge>,
    /// Where the power of an output goes past a joint, or a device that needs none.
    passing: FxHashMap<(Terminal, OutputId), usize>,
    /// The nodes that hang together. It has as many as there are nodes, and so has `source`.
    parts: DisjointSets,
    /// An output of the part that a node stands for, if it has one.
    source: Vec<Option<usize>>,
    /// The outputs whose pairs end at each node, by their nodes.
    pairs: Vec<SmallVec<[usize; 1]>>,
}

/// One pair of the cable of a path.
struct Pair<'a> {
    /// Whose power it carries.
    output: OutputId,
    is_first: bool,
    /// The outputs of all pairs of the path.
    power: &'a [OutputId],
}

impl<'a> Builder<'a> {
    pub(super) fn new(site: &'a Site) -> Builder<'a> {
        let mut outputs = Vec::new();
        for unit in 0..site.units.len() {
            outputs.extend(site.outputs_of(unit));
        }
        let nodes = outputs.len() + 2 * site.devices.len();
        let paths = site.runs.iter().flat_map(|run| &run.paths);
        let legs = paths.map(|path| path.legs.len()).sum();
        Builder {
            site,
            source: (0..nodes)
                .map(|node| (node < outputs.len()).then_some(node))
                .collect(),
            pairs: (0..nodes)
                .map(|node| (node < outputs.len()).then_some(node))
                .map(SmallVec::from_iter)
                .collect(),
            parts: DisjointSets::new(nodes),
            outputs,
            legs: Vec::with_capacity(legs),
            edges: Vec::with_capacity(legs),
            passing: FxHashMap::default(),
        }
    }

    pub(super) fn path(&mut self, figures: &PathFigures) {
        let Some(path) = self.site.path(figures.run, figures.path) else {
            return;
        };
        let first_leg = self.legs.len();
        self.legs(figures, path);
        let power = &figures.carries.power;
        // The legs of pairs that were laid, by their ends.
        let mut laid = FxHashSet::default();
        for (number, &output) in power.iter().enumerate() {
            let pair = Pair {
                output,
                is_first: number == 0,
                power,
            };
            let mut before = None;
            for (index, point) in path.points.iter().enumerate() {
                let is_end = index == 0 || index + 1 == path.points.len();
                let known = |at: &At<Terminal>| at.value != Terminal::Unknown;
                if is_end && !point.value.iter().any(known) {
                    // An end that is not typed yet feeds nothing.
                    before = None;
                    continue;
                }
                let node = self.node(&point.value, &pair);
                if let (Some(before), Some(leg)) = (before, index.checked_sub(1)) {
                    let is_beside = power.len() > 1 && !laid.insert((leg, before, node));
                    self.pair(output, first_leg + leg, [before, node], is_beside);
                }
                before = Some(node);
            }
        }
    }

    /// The legs of a path, in its order.
    fn legs(&mut self, figures: &PathFigures, path: &Path) {
        let run = self.site.runs.get(figures.run);
        let per_metre = run.and_then(|run| ohms_per_metre_of(self.site, run));
        // A negative is one core alone, half of what a pair resists.
        let (share, doubled) = match figures.is_negative {
            true => (0.5, false),
            false => (1.0, run.is_some_and(|run| run.doubled.is_some())),
        };
        let data_only = run.is_some_and(|run| run.data_only);
        let ends = path.points.iter().zip(path.points.iter().skip(1));
        for (index, (leg, (from, to))) in path.legs.iter().zip(ends).enumerate() {
            let joints = [from, to].map(|end| self.joint_share(&end.value));
            self.legs.push(Leg {
                run: figures.run,
                path: figures.path,
                leg: index,
                from: main_terminal(&from.value, data_only),
                to: main_terminal(&to.value, data_only),
                metres: leg.value,
                cable_ohms: per_metre
                    .zip(leg.value)
                    .map(|(ohms, metres)| share * pair_ohms(ohms, metres, doubled)),
                joint_ohms: joints[0]
                    .zip(joints[1])
                    .map(|(from, to)| share * (from + to)),
                doubled,
            });
        }
    }

    /// Lays a pair of a leg, with the power of an output. `is_beside` says that another pair of
    /// the same cable lies between the same two nodes.
    fn pair(&mut self, output: OutputId, leg: usize, ends: [usize; 2], is_beside: bool) {
        let other = self.pair_of(output, ends);
        let Some(edge) = self.join(ends, Some(leg)) else {
            return;
        };
        if is_beside {
            // Two pairs of one cable, between the same two devices, are no ring.
            edge.closes = None;
        } else if matches!(edge.closes, Some(Closing::Ring)) {
            // Nor are two outputs that are joined once more.
            edge.closes = other.or(edge.closes);
        }
    }

    /// Half of a joint's resistance, on both conductors.
    fn joint_share(&self, terminals: &[At<Terminal>]) -> Option<f64> {
        let joint = terminals.iter().find_map(|at| match at.value {
            Terminal::Joint(joint) => self.site.joints.get(joint),
            _ => None,
        });
        joint.map_or(Some(0.0), |joint| joint.ohms)
    }

    /// Where a pair of the cable is connected at a point.
    fn node(&mut self, terminals: &[At<Terminal>], pair: &Pair) -> usize {
        let own = pair.output;
        let mut first = None;
        let mut any_output = false;
        // What stands beside its output gives the other pairs of the cable their power.
        let mut outputs = terminals.iter();
        let is_own = outputs.any(|at| output_of(self.site, at.value) == Some(own));
        for at in terminals {
            if let Some(output) = output_of(self.site, at.value) {
                any_output = true;
                // An output that is no pair of its own is the other end of the first pair.
                if output == own || (pair.is_first && !pair.power.contains(&output)) {
                    let node = self.outputs.binary_search(&output);
                    first = first.or(node.ok());
                }
                continue;
            }
            let node = match at.value {
                _ if is_own => continue,
                Terminal::Device(device) if may_be_fed(self.site, device) => {
                    let consumer = Consumer::of(self.site, device, own);
                    self.outputs.len() + consumer.node(self.site.devices.len())
                }
                Terminal::Device(_) | Terminal::Joint(_) => self.passing(at.value, own),
                _ => continue,
            };
            match first {
                None => first = Some(node),
                Some(first) if !any_output => _ = self.join([first, node], None),
                Some(_) => {}
            }
        }
        first.unwrap_or_else(|| self.new_node())
    }

    fn passing(&mut self, by: Terminal, output: OutputId) -> usize {
        if let Some(node) = self.passing.get(&(by, output)) {
            return *node;
        }
        let node = self.new_node();
        self.passing.insert((by, output), node);
        node
    }

    fn new_node(&mut self) -> usize {
        self.source.push(None);
        self.pairs.push(SmallVec::new());
        self.parts.add()
    }

    /// Notes that a pair of an output lies between two nodes. Where one of them had only pairs
    /// of others so far, it joins the output with one of those.
    fn pair_of(&mut self, output: OutputId, ends: [usize; 2]) -> Option<Closing> {
        let own = self.outputs.binary_search(&output).ok()?;
        let mut joined = None;
        for end in ends {
            let pairs = self.pairs.get_mut(end)?;
            if pairs.contains(&own) {
                continue;
            }
            pairs.push(own);
            let first = pairs.first().filter(|first| **first != own);
            joined = joined.or(first.map(|first| Closing::Outputs(*first, own)));
        }
        joined
    }

    /// Joins two nodes, unless they are one. Gives the edge.
    fn join(&mut self, [a, b]: [usize; 2], leg: Option<usize>) -> Option<&mut Edge> {
        if a == b {
            return None;
        }
        let (ra, rb) = (self.parts.root(a), self.parts.root(b));
        let closes = match (self.source[ra], self.source[rb]) {
            _ if ra == rb => Some(Closing::Ring),
            (Some(a), Some(b)) => Some(Closing::Outputs(a, b)),
            _ => None,
        };
        self.source[ra] = self.source[ra].or(self.source[rb]);
        self.parts.join(ra, rb);
        self.edges.push(Edge { a, b, leg, closes });
        self.edges.last_mut()
    }

    pub(super) fn finish(mut self) -> Graph {
        let nodes = self.parts.count();
        let mut graph_component = vec![None; nodes];
        let mut local = vec![0; nodes];
        let mut wired = vec![false; nodes];
        for edge in &self.edges {
            wired[edge.a] = true;
            wired[edge.b] = true;
        }
        let mut components: Vec<Component> = Vec::new();
        let mut of_root = vec![None; nodes];
        let devices = self.site.devices.len();
        let consumer = |node: usize| Consumer::at(node.checked_sub(self.outputs.len())?, devices);
        for node in (0..nodes).filter(|&node| wired[node]) {
            let root = self.parts.root(node);
            let index = *of_root[root].get_or_insert_with(|| {
                components.push(Component::default());
                components.len() - 1
            });
            let component = &mut components[index];
            graph_component[node] = Some(index);
            local[node] = component.nodes;
            component.nodes += 1;
            if let Some(output) = self.outputs.get(node) {
                component.outputs.push(*output);
            }
            component.consumers.extend(consumer(node));
        }
        for (index, edge) in self.edges.iter().enumerate() {
            let Some(component) = graph_component[edge.a].and_then(|at| components.get_mut(at))
            else {
                continue;
            };
            component.edges.push(index);
        }
        Graph {
            devices,
            outputs: self.outputs,
            legs: self.legs,
            edges: self.edges,
            components,
            component: graph_component,
            local,
        }
    }
}

/// The terminal that a point is called after: the one that power goes with, or the data of a
/// run without power, where an output beside it is only a negative.
fn main_terminal(terminals: &[At<Terminal>], data_only: bool) -> Terminal {
    let weight = |terminal: Terminal| match terminal {
        Terminal::Output(..) if data_only => 2,
        Terminal::Output(..) | Terminal::Bus(..) => 0,
        Terminal::Device(_) | Terminal::Joint(_) => 1,
        Terminal::PanelInput(..) | Terminal::DeviceInput(..) => 2,
        Terminal::Unknown => 3,
    };
    let all = terminals.iter().map(|at| at.value);
    all.min_by_key(|terminal| weight(*terminal))
        .unwrap_or(Terminal::Unknown)
}
