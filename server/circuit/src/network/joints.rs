//! Nodes that nothing lies between are one point.

use super::Network;

/// Branches below this are joints, ohms. A conductance must stay a number that sums make sense of.
const JOINT: f64 = 1e-12;

/// Which nodes are the same point, and by which zero-ohm branches.
pub(super) struct Joints {
    /// The point of each node. Points are numbered from 0 without gaps.
    pub point: Vec<usize>,
    /// How many points there are.
    pub points: usize,
    /// Branches that make up the points: a forest over the nodes. In the order of
    /// [`Joints::inwards`]: when a branch's turn comes, all that hangs on its outer node has had
    /// its own.
    pub inwards: Vec<Link>,
}

/// A zero-ohm branch of the forest, seen from its outer node.
pub(super) struct Link {
    pub branch: usize,
    pub outer: usize,
    pub inner: usize,
}

/// Whether a branch is a joint.
pub(super) fn is_joint(ohms: f64) -> bool {
    ohms < JOINT
}

impl Joints {
    /// Walks the zero-ohm branches outwards from each node that has no point yet.
    pub(super) fn new(network: &Network) -> Joints {
        let mut beside: Vec<Vec<(usize, usize)>> = vec![Vec::new(); network.nodes];
        for (index, branch) in network.branches.iter().enumerate() {
            if is_joint(branch.ohms) {
                beside[branch.from].push((branch.to, index));
                beside[branch.to].push((branch.from, index));
            }
        }

        const NONE: usize = usize::MAX;
        let mut point = vec![NONE; network.nodes];
        let mut points = 0;
        let mut outwards = Vec::new();
        let mut waiting = Vec::new();
        for start in 0..network.nodes {
            if point[start] != NONE {
                continue;
            }
            point[start] = points;
            waiting.push(start);
            while let Some(inner) = waiting.pop() {
                for &(outer, branch) in &beside[inner] {
                    if point[outer] == NONE {
                        point[outer] = points;
                        waiting.push(outer);
                        outwards.push(Link {
                            branch,
                            outer,
                            inner,
                        });
                    }
                }
            }
            points += 1;
        }
        outwards.reverse();
        Joints {
            point,
            points,
            inwards: outwards,
        }
    }
}
