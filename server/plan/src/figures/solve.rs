//! Solving the parts of a power network in the cases that the figures need.

use std::sync::Arc;

use bellwire_circuit::{
    Apart, Branch, Draw, Element, Load, Network, Solution, Solver, Source, Stuck, Unsolved,
};
use rustc_hash::FxHashMap;

use super::network::{Component, Consumer, Graph};
use super::supply::{Case, OutputVolts, output_volts, unknown_volts, without_battery};
use super::{Activity, DeviceId, FaultKind, Why};
use crate::model::{OutputId, Site};
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// What a device draws, or its trigger; nothing if no model is written, or that does not say.
/// What is not known is written as NaN.
fn draw(site: &Site, consumer: Consumer, activity: Activity) -> Draw {
    const NOTHING: Draw = Draw::Amperes(0.0);
    const UNKNOWN: Draw = Draw::Amperes(f64::NAN);
    let device = site.devices.get(consumer.device());
    let Some(device) = device.filter(|device| device.model_name.is_some()) else {
        return NOTHING;
    };
    let Some(model) = device.model() else {
        return UNKNOWN;
    };
    let draw = match (consumer, activity) {
        (Consumer::Device(_), _) if !model.draw_named => return NOTHING,
        (Consumer::Device(_), Activity::Standby) => model.standby,
        (Consumer::Device(_), Activity::Alarm) => model.alarm,
        (Consumer::Trigger(_), Activity::Alarm) if model.has_trigger => model.trigger,
        (Consumer::Trigger(_), _) => return NOTHING,
    };
    draw.unwrap_or(UNKNOWN)
}

/// Why a part, or a branch of it, has no solution.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Trouble {
    /// A leg's ohms, a draw or a battery are missing.
    Unknown(Arc<str>),
    Fault(FaultKind, Arc<str>),
}

impl Trouble {
    pub fn why(&self) -> Why {
        match self {
            Trouble::Unknown(why) => Why::Unknown(why.clone()),
            Trouble::Fault(_, why) => Why::Fault(why.clone()),
        }
    }
}

/// A part in one case, as far as it has a solution.
#[derive(Debug)]
pub(super) struct Operating {
    pub solution: Solution,
    /// The outputs that feed it, in the order of the solution's sources.
    pub sources: Vec<OutputId>,
    /// The highest of them, volts.
    pub highest: f64,
    /// What hangs on an output over one route and has no solution.
    pub stuck: Vec<StuckBranch>,
    /// Which of these each of its nodes and edges is in.
    pub stuck_at: FxHashMap<Member, usize>,
}

/// What may be in a branch without a solution, by numbers local to the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Member {
    Node(usize),
    Edge(usize),
}

/// A branch without a solution. All numbers are local to the part.
#[derive(Debug)]
pub(super) struct StuckBranch {
    pub trouble: Trouble,
    /// Its nodes, without those of the outputs that feed it.
    pub nodes: Vec<usize>,
    pub edges: Vec<usize>,
    /// The devices that draw.
    pub devices: Vec<DeviceId>,
    /// Indices into [`Operating::sources`]; one may have several such branches.
    pub sources: Vec<usize>,
    /// What the branch takes from its source, if only its cable is not known: it has one
    /// source, and what hangs on it draws amperes, which no cable changes.
    pub amperes: Option<f64>,
}

/// What is asked where the loads are too much: the figures of a plan say which one, and what
/// it could have. Those of a change that is only tried are not told, and to work that out
/// takes a hundred solutions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asks {
    Why,
    Whether,
}

/// A part with its cable as numbers, ready for any case.
pub(super) struct Wired<'a> {
    site: &'a Site,
    graph: &'a Graph,
    component: &'a Component,
    network: Network,
    solver: Solver,
    /// The output of each source of the case last set.
    sources: Vec<OutputId>,
    output_nodes: Vec<usize>,
}

impl<'a> Wired<'a> {
    /// `ohms` gives those of a leg, by its index.
    pub fn new(
        site: &'a Site,
        graph: &'a Graph,
        component: &'a Component,
        ohms: impl Fn(usize) -> Option<f64>,
    ) -> Wired<'a> {
        let branches = component
            .edges
            .iter()
            .filter_map(|&edge| graph.edges.get(edge))
            .map(|edge| Branch {
                from: graph.local(edge.a),
                to: graph.local(edge.b),
                // What is not known is written as NaN.
                ohms: edge.leg.map_or(0.0, |leg| ohms(leg).unwrap_or(f64::NAN)),
            })
            .collect();
        let loads = component.consumers.iter().map(|&consumer| Load {
            node: graph.local(graph.node(consumer)),
            draw: Draw::Amperes(0.0),
        });
        let node = |output: &OutputId| {
            graph
                .output_node(*output)
                .map_or(0, |node| graph.local(node))
        };
        Wired {
            site,
            graph,
            component,
            network: Network {
                nodes: component.nodes,
                sources: Vec::new(),
                branches,
                loads: loads.collect(),
            },
            solver: Solver::default(),
            sources: Vec::new(),
            output_nodes: component.outputs.iter().map(node).collect(),
        }
    }

    /// Solves a case. `None` if nothing feeds the part in it.
    pub fn solve(&mut self, case: Case, asks: Asks) -> Result<Option<Operating>, Trouble> {
        self.set(case)?;
        if self.sources.is_empty() {
            return Ok(None);
        }
        let solved = match asks {
            Asks::Why => self.solver.solve_apart(&self.network),
            Asks::Whether => self.solver.solve_what_can_be(&self.network),
        };
        match solved {
            Ok(apart) => Ok(Some(self.operating(apart, case))),
            Err(unsolved) => Err(self.explain(unsolved, &[], case)),
        }
    }

    /// The volts of each node in a case, as far as it has a solution.
    pub fn volts(&mut self, case: Case) -> Vec<Option<f64>> {
        if self.set(case).is_err() || self.sources.is_empty() {
            return Vec::new();
        }
        let solved = self.solver.solve_what_can_be(&self.network);
        solved.map(|apart| apart.solution.volts).unwrap_or_default()
    }

    fn set(&mut self, case: Case) -> Result<(), Trouble> {
        self.set_sources(case)?;
        let loads = self.network.loads.iter_mut();
        for (load, consumer) in loads.zip(&self.component.consumers) {
            load.draw = draw(self.site, *consumer, case.activity);
        }
        Ok(())
    }

    fn operating(&self, apart: Apart, case: Case) -> Operating {
        let stuck = apart.stuck.into_iter().map(|stuck| {
            let devices: Vec<DeviceId> = stuck
                .loads
                .iter()
                .filter_map(|&load| self.component.consumers.get(load).copied())
                .filter(|consumer| match draw(self.site, *consumer, case.activity) {
                    Draw::Amperes(value) | Draw::Watts(value) => value > 0.0,
                    Draw::Ohms(_) => true,
                })
                .map(Consumer::device)
                .collect();
            StuckBranch {
                amperes: self.whatever_the_cable(&stuck),
                trouble: self.explain(stuck.why, &devices, case),
                nodes: stuck.nodes,
                edges: stuck.branches,
                devices,
                sources: stuck.sources,
            }
        });
        let stuck: Vec<StuckBranch> = stuck.collect();
        let mut stuck_at = FxHashMap::default();
        for (index, branch) in stuck.iter().enumerate() {
            let nodes = branch.nodes.iter().copied().map(Member::Node);
            let edges = branch.edges.iter().copied().map(Member::Edge);
            for member in nodes.chain(edges) {
                stuck_at.entry(member).or_insert(index);
            }
        }
        let volts = self.network.sources.iter().map(|source| source.volts);
        Operating {
            stuck,
            stuck_at,
            solution: apart.solution,
            sources: self.sources.clone(),
            highest: volts.fold(0.0, f64::max),
        }
    }

    /// What a branch of unknown cable takes from its source; see [`StuckBranch::amperes`].
    fn whatever_the_cable(&self, stuck: &Stuck) -> Option<f64> {
        let Unsolved::NotNumbers {
            element: Element::Branch(branch),
        } = stuck.why
        else {
            return None;
        };
        if stuck.sources.len() != 1 || !self.is_unknown(branch) {
            return None;
        }
        let draws = stuck
            .loads
            .iter()
            .map(|&load| match self.network.loads.get(load)?.draw {
                Draw::Amperes(amperes) => Some(amperes),
                Draw::Watts(_) | Draw::Ohms(_) => None,
            });
        let sum: Option<f64> = draws.sum();
        sum.filter(|amperes| amperes.is_finite())
    }

    fn set_sources(&mut self, case: Case) -> Result<(), Trouble> {
        self.sources.clear();
        self.network.sources.clear();
        let mut no_battery = None;
        for (&output, &node) in self.component.outputs.iter().zip(&self.output_nodes) {
            let Some((unit, model)) = self.site.output(output) else {
                continue;
            };
            match output_volts(unit, model, case) {
                OutputVolts::On(volts) => {
                    self.sources.push(output);
                    self.network.sources.push(Source { node, volts });
                }
                OutputVolts::NoBattery => no_battery = Some(unit),
                OutputVolts::Unknown => return Err(Trouble::Unknown(unknown_volts(unit, model))),
                OutputVolts::Off => {}
            }
        }
        match no_battery {
            Some(unit) if self.sources.is_empty() => Err(Trouble::Unknown(without_battery(unit))),
            _ => Ok(()),
        }
    }

    /// `drawing` are the devices of the branch that draw.
    fn explain(&self, unsolved: Unsolved, drawing: &[DeviceId], case: Case) -> Trouble {
        match unsolved {
            Unsolved::CannotBeFed {
                load,
                most,
                wanted,
                share,
                amperes,
                ..
            } => {
                let together = (drawing.len() > 1).then_some((share, amperes));
                self.too_much(load, [most, wanted], together, case)
            }
            Unsolved::SourcesInConflict { first, second } => self.conflict(first, second, case),
            Unsolved::NotNumbers {
                element: Element::Branch(branch),
            } if self.is_unknown(branch) => Trouble::Unknown(self.unknown(branch)),
            Unsolved::NotNumbers {
                element: Element::Load(load),
            } if self.is_undrawn(load) => Trouble::Unknown(self.undrawn(load)),
            Unsolved::NotNumbers { .. } => {
                Trouble::Unknown("a voltage, draw or length in this network is out of range".into())
            }
            Unsolved::OutOfRange { .. } => Trouble::Unknown(
                "the resistances in this network are too far apart to work with".into(),
            ),
        }
    }

    fn is_unknown(&self, branch: usize) -> bool {
        let branch = self.network.branches.get(branch);
        branch.is_some_and(|branch| branch.ohms.is_nan())
    }

    /// Whether it is not known what a load is.
    fn is_undrawn(&self, load: usize) -> bool {
        let load = self.network.loads.get(load);
        load.is_some_and(|load| matches!(load.draw, Draw::Amperes(amperes) if amperes.is_nan()))
    }

    fn undrawn(&self, load: usize) -> Arc<str> {
        let consumer = self.component.consumers.get(load);
        let device = consumer.and_then(|consumer| self.site.devices.get(consumer.device()));
        let name = device.map_or("", |device| &device.name.value);
        let what = match consumer {
            Some(Consumer::Trigger(_)) => format!("the trigger of {name}"),
            _ => name.to_string(),
        };
        format!("what {what} draws is not known").into()
    }

    fn unknown(&self, branch: usize) -> Arc<str> {
        let edge = self.component.edges.get(branch);
        let leg = edge.and_then(|&edge| self.graph.edges.get(edge)?.leg);
        let leg = leg.and_then(|leg| self.graph.legs.get(leg));
        leg.map_or_else(
            || "a length is not known".into(),
            |leg| leg.unknown(self.site),
        )
    }

    fn too_much(
        &self,
        load: usize,
        [most, wanted]: [f64; 2],
        together: Option<(f64, f64)>,
        case: Case,
    ) -> Trouble {
        let Some(&consumer) = self.component.consumers.get(load) else {
            return Trouble::Unknown("the cable cannot feed all that hangs on it".into());
        };
        let dimension = match draw(self.site, consumer, case.activity) {
            Draw::Watts(_) => Dimension::Power,
            Draw::Amperes(_) | Draw::Ohms(_) => Dimension::Current,
        };
        let name = self.site.devices.get(consumer.device());
        let [can, asks] = [most, wanted].map(|value| in_usual_unit(value, dimension));
        let (can, asks) = match can == asks {
            true => value_and_limit(most, wanted, dimension),
            false => (can, asks),
        };
        let why = format!(
            "the cable cannot feed {}{}: it asks for {asks} and can have {}",
            match consumer {
                Consumer::Device(_) => "",
                Consumer::Trigger(_) => "the trigger of ",
            },
            name.map_or("", |device| &device.name.value),
            match most > 0.0 {
                true => format!("{can} at most"),
                false => "nothing while the others draw what they ask for".to_string(),
            }
        );
        let too_much = FaultKind::TooMuch {
            consumer,
            most,
            wanted,
            dimension,
            together,
        };
        Trouble::Fault(too_much, why.into())
    }

    fn conflict(&self, first: usize, second: usize, case: Case) -> Trouble {
        let output = |index: usize| self.sources.get(index).copied();
        let (Some(first), Some(second)) = (output(first), output(second)) else {
            return Trouble::Unknown("two outputs of different voltage are joined".into());
        };
        let called = |output: OutputId| {
            let volts = match self
                .site
                .output(output)
                .map(|(u, m)| output_volts(u, m, case))
            {
                Some(OutputVolts::On(volts)) => in_usual_unit(volts, Dimension::Voltage),
                _ => "off".to_string(),
            };
            format!("{} ({volts})", self.site.output_name(output))
        };
        let why = format!(
            "{} and {} are joined with no cable between them",
            called(first),
            called(second)
        );
        Trouble::Fault(FaultKind::Conflict { first, second }, why.into())
    }
}
