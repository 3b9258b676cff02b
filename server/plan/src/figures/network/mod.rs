//! The power network of a site: nodes, the cable between them, and which parts
//! hang together.
//!
//! Nodes are the outputs, the devices, their triggers, the joints and the devices
//! that need no power (one node for each output whose power goes through), and
//! points of a path that name nothing known, through which power still passes.
//! Every pair of a leg is an edge.
//!
//! A joint's resistance is met once by a current that goes through it: half of
//! it counts with each cable end in the joint.

mod builder;

use std::sync::Arc;

use rustc_hash::FxHashSet;

use super::PathFigures;
use super::circuits::is_trigger;
use super::sorted::with_key;
use crate::model::{At, DeviceId, OutputId, RunId, Site, Terminal};
use builder::Builder;

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
