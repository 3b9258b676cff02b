//! A ring with one leg cut: what is left for the devices, leg by leg. Worked
//! out when asked for; that a ring holds whole says nothing of it.

use super::network::{Component, Consumer, Graph, Leg};
use super::solve::{Asks, Member, Trouble, Wired};
use super::supply::Case;
use super::{Figures, State};
use crate::model::{DeviceId, RunId, Site, Terminal};

/// A leg of a ring, cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Where the leg starts.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// The device that is then worst off.
    pub device: DeviceId,
    /// In this state.
    pub state: State,
    /// What it then gets; `None` if the cable cannot feed what hangs on it.
    pub volts: Option<f64>,
}

/// Each leg of a run that may be cut without parting a device from its output,
/// cut; nothing for a run that is in no ring.
pub fn cuts(site: &Site, figures: &Figures, run: RunId) -> Vec<Cut> {
    if !figures.joins.iter().any(|join| join.outputs.is_none()) {
        return Vec::new();
    }
    let graph = Graph::new(site, &figures.paths);
    let mut cuts = Vec::new();
    for (index, leg) in graph.legs.iter().enumerate() {
        if leg.run != run {
            continue;
        }
        let uses = |component: &&Component| {
            component
                .edges
                .iter()
                .any(|edge| is_on(&graph, *edge, index))
        };
        if let Some(component) = graph.components.iter().find(uses) {
            cuts.extend(cut(site, &graph, component, index, leg));
        }
    }
    cuts
}

/// Whether an edge is a pair of a leg.
fn is_on(graph: &Graph, edge: usize, leg: usize) -> bool {
    graph.edges.get(edge).and_then(|edge| edge.leg) == Some(leg)
}

/// All pairs of a cable are cut together.
fn cut(site: &Site, graph: &Graph, whole: &Component, index: usize, leg: &Leg) -> Option<Cut> {
    let edges = whole.edges.iter().copied();
    let component = Component {
        nodes: whole.nodes,
        edges: edges.filter(|edge| !is_on(graph, *edge, index)).collect(),
        consumers: whole.consumers.clone(),
        outputs: whole.outputs.clone(),
    };
    let mut wired = Wired::new(site, graph, &component, |leg| graph.ohms(leg));
    let mut worst: Option<(f64, Cut)> = None;
    for state in State::ALL {
        let Some(solved) = wired.solve(Case::of(state), Asks::Whether).ok()? else {
            continue;
        };
        for &consumer in &component.consumers {
            let Consumer::Device(device) = consumer else {
                continue;
            };
            let Some(range) = site
                .devices
                .get(device)?
                .model()
                .and_then(|model| model.works)
            else {
                continue;
            };
            let node = graph.local(graph.device_node(device));
            let stuck = solved.stuck_at.get(&Member::Node(node));
            let stuck = stuck.and_then(|index| solved.stuck.get(*index));
            let volts = solved.solution.volts.get(node).copied().flatten();
            match stuck.map(|stuck| &stuck.trouble) {
                // What something resists or draws is not known, so this is not either.
                Some(Trouble::Unknown(_)) => return None,
                Some(Trouble::Fault(..)) => {}
                // The leg is the only route to it: no part of a ring.
                None if volts.is_none() => return None,
                None => {}
            }
            let margin = volts.map_or(f64::NEG_INFINITY, |volts| volts - range.value.0);
            if worst.as_ref().is_none_or(|(least, _)| margin < *least) {
                let cut = Cut {
                    from: leg.from,
                    to: leg.to,
                    device,
                    state,
                    volts,
                };
                worst = Some((margin, cut));
            }
        }
    }
    worst.map(|(_, cut)| cut)
}
