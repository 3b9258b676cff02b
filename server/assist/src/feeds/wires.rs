//! The cables of a site as steps from what feeds to what is fed.
//!
//! A cable is written in any direction. Which end is the feeding one follows
//! from the distance to the terminals of panels, supplies and expanders, which
//! feed everything else; where both ends are as far, as the plan has it.

use std::collections::VecDeque;
use std::collections::hash_map::Entry as Slot;

use bellwire_plan::model::{At, BusId, OutputId, Site, Terminal, UnitId};
use bellwire_plan::source::Span;
use bellwire_plan::workspace::Entry;
use rustc_hash::FxHashMap;

use super::Fed;
use crate::parts::{Part, declared_at, ends, last_part, terminal_at};
use crate::place::Place;
use crate::thing::Thing;
use crate::walk::in_file;

/// Nodes, each with the cable that leads there, if one does.
pub(super) type Ends = Vec<(Node, Option<Span>)>;

/// What a step leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Node {
    Unit(UnitId),
    Terminal(Terminal),
}

/// The cables of a site, seen from one node.
pub(super) struct Wires<'a> {
    site: &'a Site,
    /// Where the site starts in the file.
    pub(super) start: usize,
    pub(super) node: Node,
    /// From the feeding to the fed end.
    cables: Vec<(Terminal, Terminal, Span)>,
    /// The first place where each terminal is named.
    named: FxHashMap<Terminal, Span>,
}

impl<'a> Wires<'a> {
    /// The cables of the site at `offset`, seen from what is there.
    pub(super) fn at(entry: &'a Entry, offset: usize) -> Option<Wires<'a>> {
        let place = Place::at(entry, offset)?;
        let site = place.evaluation.site()?;
        let mut wires = Wires {
            site,
            start: place.start,
            node: Node::Unit(0),
            cables: Vec::new(),
            named: FxHashMap::default(),
        };
        wires.read();
        wires.node = wires.node_at(&place)?;
        Some(wires)
    }

    fn read(&mut self) {
        let site = self.site;
        let inputs = site.zones.iter().filter_map(|zone| zone.input);
        for end in ends(site).chain(inputs) {
            self.named.entry(end.value).or_insert(end.span);
        }
        for path in site.runs.iter().flat_map(|run| &run.paths) {
            for (ends, leg) in path.points.windows(2).zip(&path.legs) {
                let [from, to] = ends else { continue };
                for from in &from.value {
                    let pairs = to.value.iter().map(|to| (from.value, to.value, leg.span));
                    self.cables.extend(pairs.filter(|(from, to, _)| {
                        *from != Terminal::Unknown && *to != Terminal::Unknown
                    }));
                }
            }
        }
        self.named.remove(&Terminal::Unknown);
        let distances = self.distances();
        let distance = |terminal| distances.get(&terminal).copied().unwrap_or(u32::MAX);
        for (from, to, _) in &mut self.cables {
            if distance(*to) < distance(*from) {
                std::mem::swap(from, to);
            }
        }
    }

    /// Stretches of cable from each terminal to the nearest that feeds.
    fn distances(&self) -> FxHashMap<Terminal, u32> {
        let mut neighbours: FxHashMap<Terminal, Vec<Terminal>> = FxHashMap::default();
        for (from, to, _) in &self.cables {
            neighbours.entry(*from).or_default().push(*to);
            neighbours.entry(*to).or_default().push(*from);
        }
        let sources = neighbours.keys().copied().filter(|end| feeds_others(*end));
        let mut next: VecDeque<(Terminal, u32)> = sources.map(|end| (end, 0)).collect();
        let mut distances: FxHashMap<Terminal, u32> = next.iter().copied().collect();
        while let Some((end, distance)) = next.pop_front() {
            for &neighbour in neighbours.get(&end).into_iter().flatten() {
                if let Slot::Vacant(vacant) = distances.entry(neighbour) {
                    vacant.insert(distance + 1);
                    next.push_back((neighbour, distance + 1));
                }
            }
        }
        distances
    }

    fn node_at(&self, place: &Place) -> Option<Node> {
        let site = self.site;
        if let Some(terminal) = terminal_at(site, place.offset) {
            return Some(Node::Terminal(terminal.value));
        }
        let declared = &place.name()?.target;
        if declared.item.id != site.item.id {
            return None;
        }
        match declared_at(site, declared.span)? {
            Part::Unit(unit) => Some(Node::Unit(unit)),
            Part::Device(device) => Some(Node::Terminal(Terminal::Device(device))),
            Part::Joint(joint) => Some(Node::Terminal(Terminal::Joint(joint))),
            Part::Site | Part::Run(_) | Part::Zone(_) | Part::Partition(..) => None,
        }
    }

    /// What feeds the node, and over which cable.
    pub(super) fn sources(&self) -> Ends {
        let terminal = match self.node {
            Node::Unit(_) => return Vec::new(),
            Node::Terminal(terminal) => terminal,
        };
        let own = owner(terminal).map(|owner| (owner, None));
        let cables = self.cables.iter().filter(|(_, to, _)| *to == terminal);
        let cables = cables.map(|(from, _, span)| (Node::Terminal(*from), Some(*span)));
        own.into_iter().chain(cables).collect()
    }

    /// What the node feeds, and over which cable.
    pub(super) fn targets(&self) -> Ends {
        let mut own: Vec<(Terminal, Span)> = self
            .named
            .iter()
            .filter(|(terminal, _)| owner(**terminal) == Some(self.node))
            .map(|(terminal, span)| (*terminal, *span))
            .collect();
        own.sort_by_key(|(_, span)| *span);
        let own = own.into_iter().map(|(end, _)| (Node::Terminal(end), None));
        let cables = self.cables.iter();
        let cables = cables.filter(|(from, _, _)| Node::Terminal(*from) == self.node);
        own.chain(cables.map(|(_, to, span)| (Node::Terminal(*to), Some(*span))))
            .collect()
    }

    /// A node as the feature shows it.
    pub(super) fn fed(&self, node: Node) -> Option<Fed> {
        let site = self.site;
        let fed = |name: &At<String>, label: &Option<String>, thing, statement| Fed {
            name: name.value.clone(),
            label: label.clone().unwrap_or_default(),
            thing,
            range: in_file(self.start, statement),
            name_range: in_file(self.start, name.span),
        };
        let (terminal, thing) = match node {
            Node::Unit(unit) => {
                let unit = site.units.get(unit)?;
                return Some(fed(&unit.name, &unit.label, Thing::Unit, unit.span));
            }
            Node::Terminal(Terminal::Device(device)) => {
                let device = site.devices.get(device)?;
                return Some(fed(&device.name, &device.label, Thing::Device, device.span));
            }
            Node::Terminal(Terminal::Joint(joint)) => {
                let joint = site.joints.get(joint)?;
                return Some(fed(&joint.name, &joint.label, Thing::Joint, joint.span));
            }
            Node::Terminal(end @ Terminal::Output(..)) => (end, Thing::Output),
            Node::Terminal(end @ Terminal::Bus(..)) => (end, Thing::Bus),
            Node::Terminal(end @ (Terminal::PanelInput(..) | Terminal::DeviceInput(..))) => {
                (end, Thing::Inputs)
            }
            Node::Terminal(Terminal::Unknown) => return None,
        };
        let span = *self.named.get(&terminal)?;
        let name = At {
            value: site.terminal_name(terminal),
            span: last_part(site, span),
        };
        Some(fed(&name, &None, thing, span))
    }
}

/// Whether a terminal is one that cables start at.
fn feeds_others(terminal: Terminal) -> bool {
    owner(terminal).is_some()
}

/// The unit or device that a terminal is part of.
fn owner(terminal: Terminal) -> Option<Node> {
    match terminal {
        Terminal::Output(OutputId { unit, .. })
        | Terminal::Bus(BusId { unit, .. })
        | Terminal::PanelInput(unit, _) => Some(Node::Unit(unit)),
        Terminal::DeviceInput(device, _) => Some(Node::Terminal(Terminal::Device(device))),
        Terminal::Device(_) | Terminal::Joint(_) | Terminal::Unknown => None,
    }
}
