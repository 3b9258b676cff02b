//! The power network of a site: nodes, the cable between them, and which parts
//! hang together.
//!
//! Nodes are the outputs, the devices, their triggers, the joints (one node for
//! each output whose power goes through), and points of a path that name nothing
//! known, through which power still passes. Every pair of a leg is an edge.
//!
//! A joint's resistance is met once by a current that goes through it: half of
//! it counts with each cable end in the joint.

use std::sync::Arc;

use bellwire_circuit::DisjointSets;
use rustc_hash::{FxHashMap, FxHashSet};
use smallvec::SmallVec;

use super::PathFigures;
use super::cable::{ohms_per_metre_of, pair_ohms};
use super::circuits::{is_trigger, output_of};
use super::sorted::with_key;
use crate::model::{At, DeviceId, JointId, OutputId, RunId, Site, Terminal};

/// A leg of a run, as far as it is known.
#[derive(Debug, Clone)]
pub(super) struct Leg {
    pub run: RunId,
    pub path: usize,
    pub leg: usize,
    pub from: Terminal,
    pub to: Terminal,
    pub metres: Option<f64>,
    /// The pair that carries power, or that would; the one core between negatives.
    pub cable_ohms: Option<f64>,
    /// The shares of the joints at its ends, of those cores.
    pub joint_ohms: Option<f64>,
    /// Whether a second pair lies beside the one that carries power.
    pub doubled: bool,
}

impl Leg {
    pub fn ohms(&self) -> Option<f64> {
        Some(self.cable_ohms? + self.joints(self.doubled)?)
    }

    /// The shares of the joints: every core goes through on its own, so that
    /// two in parallel have half.
    pub fn joints(&self, doubled: bool) -> Option<f64> {
        Some(self.joint_ohms? * if doubled { 0.5 } else { 1.0 })
    }

    /// Its ends as one circuit has them: `terminal` where a point names it,
    /// whatever else it names.
    pub fn ends(&self, site: &Site, terminal: Terminal) -> [Terminal; 2] {
        let path = site.path(self.run, self.path);
        let end = |point: usize, otherwise: Terminal| {
            let point = path.and_then(|path| path.points.get(point));
            let named = |at: &At<Terminal>| at.value == terminal;
            if point.is_some_and(|point| point.value.iter().any(named)) {
                terminal
            } else {
                otherwise
            }
        };
        [end(self.leg, self.from), end(self.leg + 1, self.to)]
    }

    /// Why it has no ohms.
    pub fn unknown(&self, site: &Site) -> Arc<str> {
        let run = site.runs.get(self.run);
        let name = run.map_or("", |run| &run.name.value);
        let ends = [self.from, self.to].map(|end| match site.terminal_name(end) {
            name if name.is_empty() => "the open end".to_string(),
            name => name,
        });
        let [from, to] = ends;
        let why = match (self.metres, run.and_then(|run| run.cable_name.as_ref())) {
            (None, _) => format!("the length from {from} to {to} in {name} is not written yet"),
            (_, None) => format!("the cable of {name} is not written yet"),
            _ if site.warmest().is_none() => format!("how warm {name} gets cannot be read"),
            _ if self.joint_ohms.is_none() => {
                format!("what a joint between {from} and {to} in {name} resists cannot be read")
            }
            (_, Some(cable)) => format!("the resistance of {} is not known", cable.value),
        };
        why.into()
    }
}

#[derive(Debug)]
pub(super) struct Edge {
    pub a: usize,
    pub b: usize,
    /// Index into the legs; `None` for what is at one point.
    pub leg: Option<usize>,
    /// Whether it brings power where power is already.
    pub closes: Option<Closing>,
}

/// How an edge brings power where power is already.
#[derive(Debug, Clone, Copy)]
pub(super) enum Closing {
    /// It joins what was joined already.
    Ring,
    /// It joins two parts that each have an output: one of each, by its node.
    Outputs(usize, usize),
}

/// What draws from a network: a device, or its trigger from another. Both are
/// nodes and loads like any other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Consumer {
    /// The device, by what feeds it.
    Device(DeviceId),
    /// Its trigger.
    Trigger(DeviceId),
}

impl Consumer {
    /// Where an output comes in at a device.
    fn of(site: &Site, device: DeviceId, output: OutputId) -> Consumer {
        match is_trigger(site, device, output) {
            true => Consumer::Trigger(device),
            false => Consumer::Device(device),
        }
    }

    /// Its node, counted from that of the first device: all devices, then all triggers.
    fn node(self, devices: usize) -> usize {
        match self {
            Consumer::Device(device) => device,
            Consumer::Trigger(device) => devices + device,
        }
    }

    /// Who has that node.
    fn at(node: usize, devices: usize) -> Option<Consumer> {
        match node.checked_sub(devices) {
            None => Some(Consumer::Device(node)),
            Some(trigger) => (trigger < devices).then_some(Consumer::Trigger(trigger)),
        }
    }

    /// Whose it is.
    pub fn device(self) -> DeviceId {
        match self {
            Consumer::Device(device) | Consumer::Trigger(device) => device,
        }
    }
}

/// What hangs together.
#[derive(Debug, Default)]
pub(super) struct Component {
    /// How many nodes; they have numbers of their own in [`Graph::local`].
    pub nodes: usize,
    /// Indices into [`Graph::edges`].
    pub edges: Vec<usize>,
    /// In their own order.
    pub consumers: Vec<Consumer>,
    /// In the order of [`Graph::outputs`].
    pub outputs: Vec<OutputId>,
}

#[derive(Debug)]
pub(super) struct Graph {
    /// How many devices there are. Each has a node, and one for a trigger whether
    /// it has one or not.
    devices: usize,
    /// All outputs of all units; each has the node of its index.
    pub outputs: Vec<OutputId>,
    /// In the order of the plan.
    pub legs: Vec<Leg>,
    pub edges: Vec<Edge>,
    pub components: Vec<Component>,
    /// The component of each node; `None` where no cable is.
    pub component: Vec<Option<usize>>,
    /// The number of each node in its component.
    pub local: Vec<usize>,
}

impl Graph {
    pub fn new(site: &Site, paths: &[PathFigures]) -> Graph {
        let mut builder = Builder::new(site);
        for path in paths {
            builder.path(path);
        }
        builder.finish()
    }

    /// Those of a leg, by its index.
    pub fn ohms(&self, leg: usize) -> Option<f64> {
        self.legs.get(leg)?.ohms()
    }

    pub fn device_node(&self, device: DeviceId) -> usize {
        self.node(Consumer::Device(device))
    }

    pub fn node(&self, consumer: Consumer) -> usize {
        self.outputs.len() + consumer.node(self.devices)
    }

    /// What draws at a node, if something may.
    pub fn consumer(&self, node: usize) -> Option<Consumer> {
        Consumer::at(node.checked_sub(self.outputs.len())?, self.devices)
    }

    pub fn output_node(&self, output: OutputId) -> Option<usize> {
        self.outputs.binary_search(&output).ok()
    }

    pub fn component_of(&self, node: usize) -> Option<(usize, &Component)> {
        let index = (*self.component.get(node)?)?;
        Some((index, self.components.get(index)?))
    }

    /// The legs of a path.
    pub fn legs_of(&self, path: &PathFigures) -> &[Leg] {
        with_key(&self.legs, (path.run, path.path), |leg| (leg.run, leg.path))
    }

    /// The legs that bring power where it is already; once, with however many pairs they do so.
    pub fn joins(&self) -> Vec<JoinFigures> {
        let join = |edge: &Edge| {
            let leg = self.legs.get(edge.leg?)?;
            let outputs = match edge.closes? {
                Closing::Ring => None,
                Closing::Outputs(a, b) => self.outputs.get(a).zip(self.outputs.get(b)),
            };
            Some(JoinFigures {
                run: leg.run,
                path: leg.path,
                leg: leg.leg,
                outputs: outputs.map(|(a, b)| [*a, *b]),
            })
        };
        let mut known = FxHashSet::default();
        let joins = self.edges.iter().filter_map(join);
        joins.filter(|join| known.insert(*join)).collect()
    }

    /// A node's number in its component.
    pub fn local(&self, node: usize) -> usize {
        self.local.get(node).copied().unwrap_or(0)
    }
}

/// A leg that brings power where power is already, or joins two outputs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct JoinFigures {
    /// Its run.
    pub run: RunId,
    /// Index into the run's paths.
    pub path: usize,
    /// Index into the path's legs.
    pub leg: usize,
    /// The outputs that it joins; `None` if it brings more of the same power.
    pub outputs: Option<[OutputId; 2]>,
}

/// Lays the graph. Every number of a node comes from [`Builder::node`]: an output's,
/// a device's and a trigger's are there from the start, a joint's and an open point's from
/// [`Builder::new_node`], so all lists of nodes have it.
struct Builder<'a> {
    site: &'a Site,
    outputs: Vec<OutputId>,
    legs: Vec<Leg>,
    edges: Vec<Edge>,
    joints: FxHashMap<(JointId, OutputId), usize>,
    /// The nodes that hang together. It has as many as there are nodes, and so has `source`.
    parts: DisjointSets,
    /// An output of the part that a node stands for, if it has one.
    source: Vec<Option<usize>>,
    /// The outputs whose pairs end at each node, by their nodes.
    pairs: Vec<SmallVec<[usize; 1]>>,
}

impl<'a> Builder<'a> {
    fn new(site: &'a Site) -> Builder<'a> {
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
            joints: FxHashMap::default(),
        }
    }

    fn path(&mut self, figures: &PathFigures) {
        let site = self.site;
        let Some(run) = site.runs.get(figures.run) else {
            return;
        };
        let Some(path) = run.paths.get(figures.path) else {
            return;
        };
        let per_metre = ohms_per_metre_of(site, run);
        let power = &figures.carries.power;
        // A negative is one core alone, half of what a pair resists.
        let (share, doubled) = match figures.is_negative {
            true => (0.5, false),
            false => (1.0, run.doubled.is_some()),
        };
        let first_leg = self.legs.len();
        let ends = path.points.iter().zip(path.points.iter().skip(1));
        for (index, (leg, (from, to))) in path.legs.iter().zip(ends).enumerate() {
            self.legs.push(Leg {
                run: figures.run,
                path: figures.path,
                leg: index,
                from: main_terminal(&from.value),
                to: main_terminal(&to.value),
                metres: leg.value,
                cable_ohms: per_metre
                    .zip(leg.value)
                    .map(|(ohms, metres)| share * pair_ohms(ohms, metres, doubled)),
                joint_ohms: self
                    .joint_share(&from.value)
                    .zip(self.joint_share(&to.value))
                    .map(|(from, to)| share * (from + to)),
                doubled,
            });
        }
        let mut laid = FxHashSet::default();
        for lane in 0..power.len() {
            let mut before = None;
            for (index, point) in path.points.iter().enumerate() {
                let is_end = index == 0 || index + 1 == path.points.len();
                let known = |at: &At<Terminal>| at.value != Terminal::Unknown;
                if is_end && !point.value.iter().any(known) {
                    // An end that is not typed yet feeds nothing.
                    before = None;
                    continue;
                }
                let node = self.node(&point.value, power, lane);
                if let (Some(before), Some(leg)) = (before, index.checked_sub(1)) {
                    let own = Some(first_leg + leg);
                    self.join(before, node, own);
                    let other = power
                        .get(lane)
                        .and_then(|output| self.pair_of(*output, [before, node]));
                    let is_beside = power.len() > 1 && !laid.insert((leg, before, node));
                    let edge = self.edges.last_mut().filter(|edge| edge.leg == own);
                    match edge {
                        // Two pairs of one cable, between the same two devices, are no ring.
                        Some(edge) if is_beside => edge.closes = None,
                        // Nor are two outputs that are joined once more.
                        Some(edge) if matches!(edge.closes, Some(Closing::Ring)) => {
                            edge.closes = other.or(edge.closes);
                        }
                        _ => {}
                    }
                }
                before = Some(node);
            }
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
    fn node(&mut self, terminals: &[At<Terminal>], power: &[OutputId], lane: usize) -> usize {
        let Some(&own) = power.get(lane) else {
            return self.new_node();
        };
        let mut first = None;
        let mut any_output = false;
        for at in terminals {
            if let Some(output) = output_of(self.site, at.value) {
                any_output = true;
                // An output that is no pair of its own is the other end of the first pair.
                if output == own || (lane == 0 && !power.contains(&output)) {
                    let node = self.outputs.binary_search(&output);
                    first = first.or(node.ok());
                }
                continue;
            }
            let node = match at.value {
                Terminal::Device(device) => {
                    let consumer = Consumer::of(self.site, device, own);
                    self.outputs.len() + consumer.node(self.site.devices.len())
                }
                Terminal::Joint(joint) => self.joint(joint, own),
                _ => continue,
            };
            match first {
                None => first = Some(node),
                Some(first) if !any_output => self.join(first, node, None),
                Some(_) => {}
            }
        }
        first.unwrap_or_else(|| self.new_node())
    }

    fn joint(&mut self, joint: JointId, output: OutputId) -> usize {
        if let Some(node) = self.joints.get(&(joint, output)) {
            return *node;
        }
        let node = self.new_node();
        self.joints.insert((joint, output), node);
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

    fn join(&mut self, a: usize, b: usize, leg: Option<usize>) {
        if a == b {
            return;
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
    }

    fn finish(mut self) -> Graph {
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

/// The terminal that a point is called after: the one that power goes with.
fn main_terminal(terminals: &[At<Terminal>]) -> Terminal {
    let weight = |terminal: Terminal| match terminal {
        Terminal::Output(..) | Terminal::Bus(..) => 0,
        Terminal::Device(_) | Terminal::Joint(_) => 1,
        Terminal::PanelInput(..) | Terminal::DeviceInput(..) => 2,
        Terminal::Unknown => 3,
    };
    let all = terminals.iter().map(|at| at.value);
    all.min_by_key(|terminal| weight(*terminal))
        .unwrap_or(Terminal::Unknown)
}
