//! The route that power takes from an output, over the fewest legs.

use super::network::{Component, Graph};
use crate::model::{RunId, Terminal};

/// A leg on the route from an output to a device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RouteLeg {
    /// Its run.
    pub run: RunId,
    /// Index into the run's paths.
    pub path: usize,
    /// Index into the path's legs.
    pub leg: usize,
    /// The end nearer to the output.
    pub from: Terminal,
    /// The other end.
    pub to: Terminal,
    /// How long it is.
    pub metres: f64,
    /// Both conductors, with the shares of the joints at its ends.
    pub ohms: f64,
    /// Of that, the joints.
    pub joint_ohms: f64,
    /// What is lost on it, volts.
    pub lost: f64,
}

/// For each node of a part, the edge that leads to an output over the fewest legs.
///
/// Every edge of a part ends in nodes of the part, and [`Graph::local`] numbers
/// these below [`Component::nodes`]: the indices here are such numbers.
pub(super) fn towards_outputs(graph: &Graph, component: &Component) -> Vec<Option<usize>> {
    let mut next: Vec<Vec<(usize, usize)>> = vec![Vec::new(); component.nodes];
    for &index in &component.edges {
        let Some(edge) = graph.edges.get(index) else {
            continue;
        };
        let (a, b) = (graph.local(edge.a), graph.local(edge.b));
        next[a].push((index, b));
        next[b].push((index, a));
    }
    let nodes = component.outputs.iter();
    let nodes = nodes.filter_map(|output| graph.output_node(*output));
    let mut front: Vec<usize> = nodes.map(|node| graph.local(node)).collect();
    let mut reached = vec![false; component.nodes];
    let mut towards = vec![None; component.nodes];
    for &node in &front {
        reached[node] = true;
    }
    while !front.is_empty() {
        let mut after = Vec::new();
        for node in front {
            for &(edge, to) in &next[node] {
                if !reached[to] {
                    reached[to] = true;
                    towards[to] = Some(edge);
                    after.push(to);
                }
            }
        }
        front = after;
    }
    towards
}
