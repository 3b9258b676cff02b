//! A site's network with its branches apart.
//!
//! An output holds its voltage whatever is drawn, so what hangs on it over one route knows nothing of
//! what hangs on it over another, and a change to one is tried without the others.

use bellwire_circuit::DisjointSets;

use super::network::{Component, Graph};
use crate::model::OutputId;

impl Graph {
    /// The same network with a component for each branch of a part that has one output. The output
    /// is the first node of each of them; [`Graph::component_of`] gives one of them for it.
    pub fn apart(mut self) -> Graph {
        let whole = std::mem::take(&mut self.components);
        let part_of = std::mem::take(&mut self.component);
        // The only output of the part that a node is in.
        let only_output = |node: usize| -> Option<OutputId> {
            let part = whole.get(part_of.get(node).copied()??)?;
            match part.outputs.as_slice() {
                [output] => Some(*output),
                _ => None,
            }
        };
        let nodes = part_of.len();
        let is_hub = |node: usize| node < self.outputs.len() && only_output(node).is_some();
        let mut branches = DisjointSets::new(nodes);
        for edge in &self.edges {
            if !is_hub(edge.a) && !is_hub(edge.b) {
                branches.join(edge.a, edge.b);
            }
        }
        let mut of_root = vec![None; nodes];
        let mut component_of = vec![None; nodes];
        let mut components: Vec<Component> = Vec::new();
        for node in (0..nodes).filter(|&node| part_of[node].is_some() && !is_hub(node)) {
            let index = *of_root[branches.root(node)].get_or_insert_with(|| {
                components.push(Component {
                    nodes: usize::from(only_output(node).is_some()),
                    outputs: only_output(node).into_iter().collect(),
                    ..Component::default()
                });
                components.len() - 1
            });
            let component = &mut components[index];
            component_of[node] = Some(index);
            self.local[node] = component.nodes;
            component.nodes += 1;
            match self.outputs.get(node) {
                Some(output) => component.outputs.push(*output),
                None => component.consumers.extend(self.consumer(node)),
            }
        }
        for (index, edge) in self.edges.iter().enumerate() {
            let (hub, own) = match is_hub(edge.b) {
                true => (edge.b, edge.a),
                false => (edge.a, edge.b),
            };
            component_of[hub] = component_of[own];
            if let Some(at) = component_of[own] {
                components[at].edges.push(index);
            }
        }
        self.components = components;
        self.component = component_of;
        self
    }
}
