//! How the cable of a bus goes: in a ring, a chain, a star or a tree.

use rustc_hash::FxHashMap;

use crate::figures::{Figures, Together};
use crate::model::{At, BusId, Layout, Path, Site, Terminal};
use crate::source::Span;

/// The graph of a bus's cable. Points that name nothing known are left out.
pub(super) struct Topology {
    /// Stretches of cable from one place to the next.
    pub edges: usize,
    nodes: usize,
    /// Where more than two cables meet, apart from the panel.
    pub branch: Option<At<Terminal>>,
    /// A place on its way: where it goes on behind a device, or else where it starts.
    pub anywhere: Option<At<Terminal>>,
    /// How many cables meet at the panel.
    pub at_panel: usize,
    /// Every node has two cables.
    all_two: bool,
    /// A device that is no end: the bus goes on behind it.
    pub through_device: bool,
}

/// A place that the cable reaches.
struct Node {
    terminal: Terminal,
    /// How many cables meet there.
    degree: usize,
    /// Where the plan names it last.
    span: Span,
}

impl Node {
    fn at(&self) -> At<Terminal> {
        At {
            value: self.terminal,
            span: self.span,
        }
    }

    /// The bus goes on behind a device.
    fn is_through_device(&self) -> bool {
        matches!(self.terminal, Terminal::Device(_)) && self.degree > 1
    }
}

impl Topology {
    /// The graph of a bus of a panel's model.
    pub fn of(site: &Site, figures: &Figures, bus: BusId) -> Topology {
        let panel = Terminal::Bus(bus);
        let (edges, nodes) = graph(site, figures, bus, panel);
        let mut through = nodes.iter().filter(|node| node.is_through_device());
        let through = through.next();
        let mut branches = nodes
            .iter()
            .filter(|node| node.terminal != panel && node.degree > 2);
        let at_panel = nodes.iter().find(|node| node.terminal == panel);
        Topology {
            edges,
            nodes: nodes.len(),
            branch: branches.next().map(Node::at),
            anywhere: through.or(nodes.first()).map(Node::at),
            at_panel: at_panel.map_or(0, |node| node.degree),
            all_two: nodes.iter().all(|node| node.degree == 2),
            through_device: through.is_some(),
        }
    }

    /// Whether the cable comes back to where it was.
    pub fn rings(&self) -> bool {
        self.edges >= self.nodes
    }

    /// Whether it is of a layout. The panel may stand in the middle of a chain.
    pub fn is(&self, layout: Layout) -> bool {
        match layout {
            Layout::Ring => self.rings() && self.all_two,
            Layout::Chain => !self.rings() && self.branch.is_none() && self.at_panel <= 2,
            Layout::Star => !self.rings() && self.branch.is_none() && !self.through_device,
            Layout::Tree => !self.rings(),
        }
    }
}

/// How many edges there are, and the nodes in the order in which the plan names them.
fn graph(site: &Site, figures: &Figures, bus: BusId, panel: Terminal) -> (usize, Vec<Node>) {
    let carrying = || {
        let paths = figures.paths.iter();
        let own = paths.filter(|path| path.carries.data.contains(&bus));
        own.filter_map(|path| site.path(path.run, path.path))
    };
    let together = Together::at(carrying().flat_map(|path| &path.points));
    let mut edges = 0;
    let mut nodes: FxHashMap<Terminal, Node> = FxHashMap::default();
    for path in carrying() {
        let points = places(path, panel, &together);
        for pair in points.windows(2) {
            edges += 1;
            for At { value, span } in pair {
                let node = nodes.entry(*value).or_insert(Node {
                    terminal: *value,
                    degree: 0,
                    span: *span,
                });
                node.degree += 1;
                node.span = *span;
            }
        }
    }
    let mut nodes: Vec<Node> = nodes.into_values().collect();
    nodes.sort_by_key(|node| (node.span, node.terminal));
    (edges, nodes)
}

/// The places along a path; terminals that are joined are one.
fn places(path: &Path, panel: Terminal, together: &Together) -> Vec<At<Terminal>> {
    let named = |point: &At<Vec<At<Terminal>>>| {
        let own = point.value.iter().find(|at| at.value == panel);
        let at = own.or_else(|| {
            let is_known =
                |at: &&At<Terminal>| matches!(at.value, Terminal::Device(_) | Terminal::Joint(_));
            point.value.iter().find(is_known)
        })?;
        Some(At {
            value: together.place(at.value),
            span: at.span,
        })
    };
    path.points.iter().filter_map(named).collect()
}
