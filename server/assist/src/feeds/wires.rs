//! The cables of a site as steps from what feeds to what is fed.
//!
//! A cable is written in any direction. Which end is the feeding one follows
//! from the distance to the terminals of panels, supplies and expanders, which
//! feed everything else; where both ends are as far, as the plan has it.

use std::collections::VecDeque;
use std::collections::hash_map::Entry as Slot;

use bellwire_plan::model::{Site, Terminal, UnitId};
use bellwire_plan::source::Span;
use bellwire_plan::workspace::Entry;
use rustc_hash::FxHashMap;

use super::Fed;
use crate::Place;
use crate::thing::Thing;
use crate::walk::{in_file, name_at};

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
        let site = place.evaluation.site.as_ref()?;
        let mut wires = Wires {
            site,
            start: place.start,
            node: Node::Unit(0),
            cables: Vec::new(),
            named: FxHashMap::default(),
        };
        wires.read();
        wires.node = wires.node_at(entry, offset, place.offset)?;
        Some(wires)
    }

    fn read(&mut self) {
        let site = self.site;
        for path in site.runs.iter().flat_map(|run| &run.paths) {
            for point in &path.points {
                for terminal in &point.value {
                    self.named.entry(terminal.value).or_insert(terminal.span);
                }
            }
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
        for input in site.zones.iter().filter_map(|zone| zone.input.as_ref()) {
            self.named.entry(input.value).or_insert(input.span);
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

    fn node_at(&self, entry: &Entry, offset: usize, inner: u32) -> Option<Node> {
        let site = self.site;
        // Behind the point of `main.keys` stands a terminal, before it the unit.
        let points = site.runs.iter().flat_map(|run| &run.paths);
        let points = points.flat_map(|path| &path.points);
        let in_path = points.flat_map(|point| &point.value);
        let inputs = site.zones.iter().filter_map(|zone| zone.input.as_ref());
        let terminal = in_path.chain(inputs).find(|terminal| {
            terminal.span.touches(inner) && self.last_part(terminal.span).touches(inner)
        });
        if let Some(terminal) = terminal.filter(|terminal| terminal.value != Terminal::Unknown) {
            return Some(Node::Terminal(terminal.value));
        }
        let (_, used) = name_at(entry, offset)?;
        let declared = used.target.span;
        if used.target.item.id != site.item.id {
            return None;
        }
        let unit = site
            .units
            .iter()
            .position(|unit| unit.name.span == declared);
        let device = || {
            let mut devices = site.devices.iter();
            devices.position(|device| device.name.span == declared)
        };
        let joint = || {
            site.joints
                .iter()
                .position(|joint| joint.name.span == declared)
        };
        unit.map(Node::Unit)
            .or_else(|| device().map(|device| Node::Terminal(Terminal::Device(device))))
            .or_else(|| joint().map(|joint| Node::Terminal(Terminal::Joint(joint))))
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
        let fed = |name: &str, label: &Option<String>, thing, span, name_span| Fed {
            name: name.to_string(),
            label: label.clone().unwrap_or_default(),
            thing,
            range: in_file(self.start, span),
            name_range: in_file(self.start, name_span),
        };
        let terminal = match node {
            Node::Unit(unit) => {
                let unit = site.units.get(unit)?;
                let name = &unit.name;
                return Some(fed(
                    &name.value,
                    &unit.label,
                    Thing::Unit,
                    unit.span,
                    name.span,
                ));
            }
            Node::Terminal(terminal) => terminal,
        };
        let thing = match terminal {
            Terminal::Device(device) => {
                let device = site.devices.get(device)?;
                let (name, span) = (&device.name, device.span);
                return Some(fed(
                    &name.value,
                    &device.label,
                    Thing::Device,
                    span,
                    name.span,
                ));
            }
            Terminal::Joint(joint) => {
                let joint = site.joints.get(joint)?;
                let (name, span) = (&joint.name, joint.span);
                return Some(fed(
                    &name.value,
                    &joint.label,
                    Thing::Joint,
                    span,
                    name.span,
                ));
            }
            Terminal::Output(..) => Thing::Output,
            Terminal::Bus(..) => Thing::Bus,
            Terminal::PanelInput(..) | Terminal::DeviceInput(..) => Thing::Inputs,
            Terminal::Unknown => return None,
        };
        let span = *self.named.get(&terminal)?;
        let name = site.terminal_name(terminal);
        Some(fed(&name, &None, thing, span, self.last_part(span)))
    }

    /// The part of a reference behind its point; empty at the end of a plain name.
    fn last_part(&self, span: Span) -> Span {
        let text = self.site.item.text(span);
        match text.rfind('.') {
            Some(at) => Span {
                start: span.start + at as u32 + 1,
                end: span.end,
            },
            None => span,
        }
    }
}

/// Whether a terminal is one that cables start at.
fn feeds_others(terminal: Terminal) -> bool {
    owner(terminal).is_some()
}

/// The unit or device that a terminal is part of.
fn owner(terminal: Terminal) -> Option<Node> {
    match terminal {
        Terminal::Output(unit, _) | Terminal::Bus(unit, _) | Terminal::PanelInput(unit, _) => {
            Some(Node::Unit(unit))
        }
        Terminal::DeviceInput(device, _) => Some(Node::Terminal(Terminal::Device(device))),
        Terminal::Device(_) | Terminal::Joint(_) | Terminal::Unknown => None,
    }
}
