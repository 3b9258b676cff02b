//! What a change to runs would do: for findings that say what mends them.
//!
//! Nothing here is part of the figures. It is built when there is a finding,
//! and solves only the branch of the network that a device is on, once for each
//! change and state.

use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::cable::pair_ohms;
use super::network::{Component, Consumer, Graph, Leg};
use super::route::{RouteLeg, towards_outputs};
use super::solve::Wired;
use super::supply::Case;
use super::{Figures, State};
use crate::model::{DeviceId, RunId, Site, Terminal};

/// How much is done for one site: nodes that are solved, legs that are followed, volts that are
/// looked up, each as often as it is.
const MOST_WORK: usize = 4_000_000;

/// Another cable for runs, or the same one doubled.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The runs, in the order of the plan.
    pub runs: Rc<[RunId]>,
    /// What one conductor resists.
    pub ohms_per_metre: f64,
    /// Whether its power cores are doubled.
    pub doubled: bool,
}

impl Change {
    fn is_made_to(&self, run: RunId) -> bool {
        self.runs.binary_search(&run).is_ok()
    }
}

/// A change, with its number's bits: those can be looked up.
#[derive(PartialEq, Eq, Hash)]
struct ChangeKey {
    runs: Rc<[RunId]>,
    ohms_per_metre: u64,
    doubled: bool,
}

impl From<&Change> for ChangeKey {
    fn from(change: &Change) -> ChangeKey {
        ChangeKey {
            runs: change.runs.clone(),
            ohms_per_metre: change.ohms_per_metre.to_bits(),
            doubled: change.doubled,
        }
    }
}

/// What was solved: a part in a state, with a change or as it is.
#[derive(PartialEq, Eq, Hash)]
struct Tried {
    part: usize,
    state: State,
    change: Option<ChangeKey>,
}

/// A leg on a route, as power goes: from the node nearer to the output to the other.
struct Step<'a> {
    leg: &'a Leg,
    /// The leg is written in the same direction.
    forwards: bool,
    ends: [usize; 2],
}

/// The volts of a part's nodes; `None` where there is no solution.
type Volts = Rc<[Option<f64>]>;

/// A site's network, to try changes on.
pub struct WhatIf<'a> {
    site: &'a Site,
    graph: Graph,
    solved: FxHashMap<Tried, Volts>,
    /// How much of [`MOST_WORK`] has been done.
    worked: usize,
    /// For each part, the edge by which each node is nearest to an output.
    towards: FxHashMap<usize, Rc<[Option<usize>]>>,
}

impl<'a> WhatIf<'a> {
    /// Of a site with its figures.
    pub fn new(site: &'a Site, figures: &Figures) -> WhatIf<'a> {
        WhatIf {
            site,
            graph: Graph::new(site, &figures.paths).apart(),
            solved: FxHashMap::default(),
            worked: 0,
            towards: FxHashMap::default(),
        }
    }

    /// Whether so much was done that no more should be: as much as to solve a branch of a thousand
    /// devices four thousand times. Somebody may be typing.
    pub fn is_spent(&self) -> bool {
        self.worked > MOST_WORK
    }

    /// Volts at a consumer with a change made; `None` if there is no solution.
    pub fn volts(
        &mut self,
        consumer: Consumer,
        state: State,
        change: Option<&Change>,
    ) -> Option<f64> {
        let node = self.graph.node(consumer);
        let (part, _) = self.graph.component_of(node)?;
        let local = self.graph.local(node);
        self.worked += 1;
        self.solve(part, state, change).get(local).copied()?
    }

    /// The run that loses most on the route from the output to a consumer; where
    /// there is no solution, the one that resists most.
    pub fn weakest_run(&mut self, consumer: Consumer, state: State) -> Option<RunId> {
        let node = self.graph.node(consumer);
        let (part, _) = self.graph.component_of(node)?;
        let volts = self.solve(part, state, None);
        let towards = self.towards_output(part);
        let mut lost: FxHashMap<RunId, f64> = FxHashMap::default();
        let mut steps = 0;
        for step in self.steps_back(&towards, node) {
            steps += 1;
            // Without a solution the whole route is stuck.
            let loss = match self.lost(&step, &volts) {
                Some(volts) => volts,
                None => step.leg.ohms()?,
            };
            *lost.entry(step.leg.run).or_default() += loss;
        }
        self.worked += steps;
        let most = lost.into_iter().max_by(|a, b| {
            let by_loss = a.1.total_cmp(&b.1);
            by_loss.then_with(|| b.0.cmp(&a.0))
        });
        most.map(|(run, _)| run)
    }

    /// The runs on the route from the output to a consumer, each once, in the order of the plan.
    pub fn runs_to(&mut self, consumer: Consumer) -> Vec<RunId> {
        let node = self.graph.node(consumer);
        let Some((part, _)) = self.graph.component_of(node) else {
            return Vec::new();
        };
        let towards = self.towards_output(part);
        let back = self.steps_back(&towards, node).map(|step| step.leg.run);
        let mut runs: Vec<RunId> = back.collect();
        self.worked += runs.len();
        // A route may come back to a run: another path of it.
        runs.sort_unstable();
        runs.dedup();
        runs
    }

    /// What the legs on the route from the output to a device lie between.
    pub fn points_to(&mut self, device: DeviceId) -> Vec<Terminal> {
        let node = self.graph.device_node(device);
        let Some((part, _)) = self.graph.component_of(node) else {
            return Vec::new();
        };
        let towards = self.towards_output(part);
        let steps = self.steps_back(&towards, node);
        steps
            .flat_map(|step| [step.leg.from, step.leg.to])
            .collect()
    }

    /// The route from the output to a device over the fewest legs, and what is
    /// lost on each; from the output on. `None` if there is no solution.
    pub fn route(&mut self, device: DeviceId, state: State) -> Option<Vec<RouteLeg>> {
        let node = self.graph.device_node(device);
        let (part, _) = self.graph.component_of(node)?;
        let volts = self.solve(part, state, None);
        let towards = self.towards_output(part);
        let route_leg = |step: Step| {
            let leg = step.leg;
            let (from, to) = match step.forwards {
                true => (leg.from, leg.to),
                false => (leg.to, leg.from),
            };
            Some(RouteLeg {
                run: leg.run,
                path: leg.path,
                leg: leg.leg,
                from,
                to,
                metres: leg.metres?,
                ohms: leg.ohms()?,
                joint_ohms: leg.joints(leg.doubled)?,
                lost: self.lost(&step, &volts)?,
            })
        };
        let back: Option<Vec<RouteLeg>> = self.steps_back(&towards, node).map(route_leg).collect();
        let mut route = back?;
        route.reverse();
        Some(route)
    }

    /// Whether power reaches a device over more than one route: with a leg of one of
    /// them cut, it still hangs on an output.
    pub fn has_detour(&mut self, device: DeviceId) -> bool {
        let node = self.graph.device_node(device);
        let Some((part, _)) = self.graph.component_of(node) else {
            return false;
        };
        let towards = self.towards_output(part);
        let (graph, local) = (&self.graph, self.graph.local(node));
        let Some(component) = graph.components.get(part) else {
            return false;
        };
        self.steps_back(&towards, node).any(|step| {
            // All pairs of a cable are cut together.
            let cut = |edge: &usize| {
                let leg = graph.edges.get(*edge).and_then(|edge| edge.leg);
                leg.and_then(|leg| graph.legs.get(leg))
                    .is_some_and(|leg| std::ptr::eq(leg, step.leg))
            };
            let edges = component.edges.iter().copied();
            let without = Component {
                edges: edges.filter(|edge| !cut(edge)).collect(),
                nodes: component.nodes,
                consumers: Vec::new(),
                outputs: component.outputs.clone(),
            };
            let towards = towards_outputs(graph, &without);
            towards.get(local).is_some_and(Option::is_some)
        })
    }

    /// The legs from a node back to its output.
    fn steps_back(&self, towards: &[Option<usize>], node: usize) -> impl Iterator<Item = Step<'_>> {
        let mut at = node;
        let edges = std::iter::from_fn(move || {
            let edge = towards.get(self.graph.local(at)).copied().flatten()?;
            let edge = self.graph.edges.get(edge)?;
            let forwards = edge.b == at;
            let to = at;
            at = if forwards { edge.a } else { edge.b };
            Some((edge.leg, forwards, [at, to]))
        });
        // An edge without a leg joins what is at one point.
        edges.filter_map(|(leg, forwards, ends)| {
            let leg = self.graph.legs.get(leg?)?;
            Some(Step {
                leg,
                forwards,
                ends,
            })
        })
    }

    fn lost(&self, step: &Step, volts: &[Option<f64>]) -> Option<f64> {
        let [from, to] = step
            .ends
            .map(|node| volts.get(self.graph.local(node)).copied().flatten());
        Some(from? - to?)
    }

    fn solve(&mut self, part: usize, state: State, change: Option<&Change>) -> Volts {
        let key = Tried {
            part,
            state,
            change: change.map(ChangeKey::from),
        };
        if let Some(volts) = self.solved.get(&key) {
            return volts.clone();
        }
        let component = self.graph.components.get(part);
        self.worked += component.map_or(0, |component| component.nodes);
        let solved = component.map(|component| {
            let ohms = |leg: usize| {
                let leg = self.graph.legs.get(leg)?;
                match change {
                    Some(change) if change.is_made_to(leg.run) => changed_ohms(leg, change),
                    _ => leg.ohms(),
                }
            };
            Wired::new(self.site, &self.graph, component, ohms).volts(Case::of(state))
        });
        let volts: Volts = solved.unwrap_or_default().into();
        self.solved.insert(key, volts.clone());
        volts
    }

    fn towards_output(&mut self, part: usize) -> Rc<[Option<usize>]> {
        if let Some(found) = self.towards.get(&part) {
            return found.clone();
        }
        let found: Rc<[Option<usize>]> = match self.graph.components.get(part) {
            Some(component) => towards_outputs(&self.graph, component).into(),
            None => Rc::new([]),
        };
        self.towards.insert(part, found.clone());
        found
    }
}

fn changed_ohms(leg: &Leg, change: &Change) -> Option<f64> {
    let pair = pair_ohms(change.ohms_per_metre, leg.metres?, change.doubled);
    Some(pair + leg.joints(change.doubled)?)
}

#[cfg(test)]
mod tests {
    use super::{Change, WhatIf};
    use crate::figures::tests::power::MODELS;
    use crate::figures::tests::solved;
    use crate::figures::{Consumer, State};

    /// What is done to try a cable for one of so many keypads, each on a run of its own.
    fn work_among(keypads: usize) -> usize {
        let devices = (0..keypads).map(|n| format!("keypad k{n} : K\n"));
        let runs = (0..keypads).map(|n| format!("run r{n} : pair {{ main.aux --900 m-- k{n} }}\n"));
        let lines: String = devices.chain(runs).collect();
        let (site, figures) = solved(&format!("{MODELS}site s {{\npanel main : P\n{lines}}}\n"));
        let mut what_if = WhatIf::new(&site, &figures);
        let last = Consumer::Device(keypads - 1);
        let run = what_if.weakest_run(last, State::MainsAlarm).expect("a run");
        let change = Change {
            runs: [run].into(),
            ohms_per_metre: 0.001,
            doubled: false,
        };
        what_if
            .volts(last, State::MainsAlarm, Some(&change))
            .expect("a solution");
        what_if.worked
    }

    #[test]
    fn a_change_costs_the_same_however_much_else_hangs_on_the_output() {
        assert_eq!(work_among(2), work_among(40));
    }
}
