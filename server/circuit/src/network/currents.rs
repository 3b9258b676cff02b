//! From the points' voltages back to the branches, loads and sources of the network as given.
//!
//! Where a branch is the only route to what lies behind it, its current is the sum of what is drawn
//! there; only in rings does it follow from the difference of two voltages.

use super::operating_point::{Cable, OperatingPoint};
use super::{Draw, Network, Solution};

pub(super) fn solution(network: &Network, cable: &Cable, point: &OperatingPoint) -> Solution {
    let at = &cable.joints.point;
    let volts = cable.volts(&point.drop);
    let load_amperes: Vec<f64> = network
        .loads
        .iter()
        .map(|load| match (volts[load.node], load.draw) {
            (None, _) => 0.0,
            (_, Draw::Amperes(amperes)) => amperes,
            (_, Draw::Watts(watts)) => watts / point.power_volts[at[load.node]],
            (Some(volts), Draw::Ohms(ohms)) => volts / ohms,
        })
        .collect();

    let mut branch_amperes = with_resistance(network, cable, point, &load_amperes);

    // What each node passes on through its joints: what is drawn there and flows away.
    let mut drawn = vec![0.0; network.nodes];
    for (load, amperes) in network.loads.iter().zip(&load_amperes) {
        drawn[load.node] += amperes;
    }
    for (branch, amperes) in network.branches.iter().zip(&branch_amperes) {
        drawn[branch.from] += amperes;
        drawn[branch.to] -= amperes;
    }
    let source_amperes = shared_by_sources(network, cable, &drawn);
    for (source, amperes) in network.sources.iter().zip(&source_amperes) {
        drawn[source.node] -= amperes;
    }
    for link in &cable.joints.inwards {
        let outwards = drawn[link.outer];
        drawn[link.inner] += outwards;
        let forwards = network.branches[link.branch].from == link.inner;
        branch_amperes[link.branch] = if forwards { outwards } else { -outwards };
    }
    Solution {
        volts,
        branch_amperes,
        load_amperes,
        source_amperes,
    }
}

/// Currents of the branches that have resistance; nothing yet in joints.
fn with_resistance(
    network: &Network,
    cable: &Cable,
    point: &OperatingPoint,
    load_amperes: &[f64],
) -> Vec<f64> {
    let at = &cable.joints.point;
    let mut drawn = vec![0.0; cable.joints.points];
    for (load, amperes) in network.loads.iter().zip(load_amperes) {
        drawn[at[load.node]] += amperes;
    }
    // What flows to the leaf through each edge that ends in one, and the leaf.
    let mut to_leaf = vec![None; cable.edges.count()];
    for leaf in cable.elimination.leaves() {
        let amperes = drawn[leaf.point];
        drawn[leaf.neighbour] += amperes;
        to_leaf[leaf.edge] = Some((leaf.point, amperes));
    }

    let current = |(branch, edge): (&super::Branch, &Option<usize>)| {
        let Some(edge) = *edge else { return 0.0 };
        let (from, to) = (at[branch.from], at[branch.to]);
        match to_leaf[edge] {
            Some((leaf, amperes)) => {
                let share = amperes / branch.ohms / cable.edges.siemens(edge);
                if leaf == to { share } else { -share }
            }
            None if cable.reached[from] => (point.drop[to] - point.drop[from]) / branch.ohms,
            None => 0.0,
        }
    };
    network
        .branches
        .iter()
        .zip(&cable.edge)
        .map(current)
        .collect()
}

/// What is drawn at each point that sources hold, shared alike among them.
fn shared_by_sources(network: &Network, cable: &Cable, drawn: &[f64]) -> Vec<f64> {
    let at = &cable.joints.point;
    let mut total = vec![0.0; cable.joints.points];
    for (node, amperes) in drawn.iter().enumerate() {
        total[at[node]] += amperes;
    }
    let mut sharing = vec![0_u32; cable.joints.points];
    for source in &network.sources {
        sharing[at[source.node]] += 1;
    }
    network
        .sources
        .iter()
        .map(|source| total[at[source.node]] / f64::from(sharing[at[source.node]]))
        .collect()
}
