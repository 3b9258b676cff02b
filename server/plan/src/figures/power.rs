//! What outputs, devices and legs carry in the four states.

use std::sync::Arc;

use super::network::{Component, Consumer, Graph};
use super::solve::{Asks, Member, Operating, Trouble, Wired};
use super::supply::{Case, OutputVolts, Supply, output_volts, unknown_volts, without_battery};
use super::{
    Activity, ByState, DeviceFigures, DeviceState, FaultFigures, FaultPlace, LegFigures, LegState,
    OutputFigures, OutputState, Solved, State, TriggerFigures, Why,
};
use crate::model::{DeviceId, OutputId, Site, UnitId};

/// The power figures of a site.
#[derive(Default)]
pub(super) struct Power {
    pub outputs: Vec<OutputFigures>,
    pub devices: Vec<DeviceFigures>,
    pub legs: Vec<LegFigures>,
    pub faults: Vec<FaultFigures>,
    /// For each output, what it carries from the battery at its nominal
    /// voltage in standby and in alarm.
    pub nominal: Vec<[Solved<f64>; 2]>,
}

impl Power {
    /// The outputs of a unit, each with what it carries from the battery at its nominal voltage.
    pub fn outputs_of(
        &self,
        unit: UnitId,
    ) -> impl Iterator<Item = (&OutputFigures, &[Solved<f64>; 2])> {
        let first = self.outputs.partition_point(|output| output.unit < unit);
        let all = self.outputs.iter().zip(&self.nominal).skip(first);
        all.take_while(move |(output, _)| output.unit == unit)
    }
}

/// A part, solved in every case.
struct SolvedPart {
    states: ByState<Solved<Option<Operating>>>,
    nominal: [Solved<Option<Operating>>; 2],
}

pub(super) fn power(site: &Site, graph: &Graph, asks: Asks) -> Power {
    let mut power = Power::default();
    let parts: Vec<Option<SolvedPart>> = graph
        .components
        .iter()
        .enumerate()
        .map(|(index, component)| {
            let has_output = !component.outputs.is_empty();
            has_output.then(|| {
                let wired = Wired::new(site, graph, component, |leg| graph.ohms(leg));
                solve_part(wired, index, asks, &mut power.faults)
            })
        })
        .collect();
    outputs(site, graph, &parts, &mut power);
    power.devices = devices(site, graph, &parts);
    power.legs = legs(graph, &parts);
    power
}

fn solve_part(
    mut wired: Wired,
    index: usize,
    asks: Asks,
    faults: &mut Vec<FaultFigures>,
) -> SolvedPart {
    // The cases with the same loads one after the other: that is what the solver is quick at.
    let supplies = [Supply::Mains, Supply::BatteryEnd, Supply::BatteryNominal];
    let mut all = |activity| supplies.map(|supply| wired.solve(Case { supply, activity }, asks));
    let [mains_standby, battery_standby, nominal_standby] = all(Activity::Standby);
    let [mains_alarm, battery_alarm, nominal_alarm] = all(Activity::Alarm);
    let states = [mains_standby, mains_alarm, battery_standby, battery_alarm];
    for (state, solved) in State::ALL.into_iter().zip(&states) {
        let at = |first| FaultPlace { part: index, first };
        match solved {
            Ok(Some(solved)) => faults.extend(solved.stuck.iter().filter_map(|stuck| {
                let place = at(stuck.nodes.first().copied());
                fault(place, state, &stuck.trouble, &stuck.devices)
            })),
            Err(trouble) => faults.extend(fault(at(None), state, trouble, &[])),
            Ok(None) => {}
        }
    }
    let known = |solved: Result<_, Trouble>| solved.map_err(|trouble| trouble.why());
    SolvedPart {
        states: states.map(known).into(),
        nominal: [nominal_standby, nominal_alarm].map(known),
    }
}

fn fault(
    place: FaultPlace,
    state: State,
    trouble: &Trouble,
    devices: &[DeviceId],
) -> Option<FaultFigures> {
    let Trouble::Fault(kind, why) = trouble else {
        return None;
    };
    Some(FaultFigures {
        place,
        state,
        kind: *kind,
        devices: devices.to_vec(),
        why: why.clone(),
    })
}

impl Operating {
    /// What an output carries; not known if a branch on it is stuck whose current hangs
    /// on the cable.
    pub fn amperes(&self, output: OutputId) -> Solved<f64> {
        let Ok(index) = self.sources.binary_search(&output) else {
            return Ok(0.0);
        };
        let solved = self.solution.source_amperes.get(index);
        let mut amperes = solved.copied().unwrap_or(0.0);
        for stuck in self.stuck.iter().filter(|on| on.sources.contains(&index)) {
            amperes += stuck.amperes.ok_or_else(|| stuck.trouble.why())?;
        }
        Ok(amperes)
    }

    fn unless_stuck(&self, member: Member) -> Solved<()> {
        let stuck = self.stuck_at.get(&member);
        match stuck.and_then(|index| self.stuck.get(*index)) {
            Some(stuck) => Err(stuck.trouble.why()),
            None => Ok(()),
        }
    }

    fn volts(&self, node: usize) -> f64 {
        self.solution
            .volts
            .get(node)
            .copied()
            .flatten()
            .unwrap_or(0.0)
    }
}

/// What an output carries in a case: nothing if no cable is on it, or if it is off.
fn output_state(
    site: &Site,
    output: OutputId,
    case: Case,
    solved: Option<&Solved<Option<Operating>>>,
) -> Solved<OutputState> {
    let volts = match site.output(output) {
        None => 0.0,
        Some((unit, model)) => match output_volts(unit, model, case) {
            OutputVolts::On(volts) => volts,
            OutputVolts::NoBattery => return Err(Why::Unknown(without_battery(unit))),
            OutputVolts::Unknown => return Err(Why::Unknown(unknown_volts(unit, model))),
            OutputVolts::Off => 0.0,
        },
    };
    if let Some(why) = fed_unread(site, output).filter(|_| volts > 0.0) {
        return Err(Why::Unknown(why));
    }
    let amperes = match solved {
        _ if volts == 0.0 => 0.0,
        Some(Err(why)) => return Err(why.clone()),
        Some(Ok(Some(solved))) => solved.amperes(output)?,
        Some(Ok(None)) | None => 0.0,
    };
    Ok(OutputState { volts, amperes })
}

/// Why it is not known what hangs on an output: a bus of its unit says that it is fed from one,
/// and that cannot be read.
fn fed_unread(site: &Site, output: OutputId) -> Option<Arc<str>> {
    let unit = site.units.get(output.unit)?;
    let mut buses = unit.model()?.buses.iter();
    let bus = buses.find(|bus| bus.power_unread)?;
    let (unit, bus) = (&unit.name.value, &bus.name.value);
    Some(format!("what {unit}.{bus} is fed from is not known").into())
}

fn outputs(site: &Site, graph: &Graph, parts: &[Option<SolvedPart>], power: &mut Power) {
    for (node, &output) in graph.outputs.iter().enumerate() {
        let part = part_at(graph, parts, node);
        power.outputs.push(OutputFigures {
            unit: output.unit,
            output: output.index,
            limit: site
                .output(output)
                .and_then(|(_, model)| model.limit)
                .map(|limit| limit.value),
            states: ByState::new(|state| {
                let solved = part.map(|part| &part.states[state]);
                output_state(site, output, Case::of(state), solved)
            }),
        });
        power.nominal.push(Activity::ALL.map(|activity| {
            let case = Case {
                supply: Supply::BatteryNominal,
                activity,
            };
            let solved = part.map(|part| &part.nominal[activity as usize]);
            output_state(site, output, case, solved).map(|state| state.amperes)
        }));
    }
}

fn part_at<'a>(
    graph: &Graph,
    parts: &'a [Option<SolvedPart>],
    node: usize,
) -> Option<&'a SolvedPart> {
    let (index, _) = graph.component_of(node)?;
    parts.get(index)?.as_ref()
}

fn devices(site: &Site, graph: &Graph, parts: &[Option<SolvedPart>]) -> Vec<DeviceFigures> {
    let outputs = |component: &Component| Arc::<[OutputId]>::from(&*component.outputs);
    let reach = Reach {
        graph,
        parts,
        outputs: graph.components.iter().map(outputs).collect(),
        nothing: Arc::default(),
        unreached: Why::Unknown("no cable brings it power".into()),
    };
    let mut figures = Vec::with_capacity(site.devices.len());
    for (id, device) in site.devices.iter().enumerate() {
        let Some(model) = device.model().filter(|model| model.is_fed()) else {
            continue;
        };
        let (fed_by, states) = reach.of(Consumer::Device(id));
        let trigger = model.has_trigger.then(|| {
            let (by, states) = reach.of(Consumer::Trigger(id));
            Box::new(TriggerFigures { by, states })
        });
        figures.push(DeviceFigures {
            device: id,
            fed_by,
            states,
            trigger,
        });
    }
    figures
}

/// What reaches what draws.
struct Reach<'a> {
    graph: &'a Graph,
    parts: &'a [Option<SolvedPart>],
    /// The outputs of each part.
    outputs: Vec<Arc<[OutputId]>>,
    nothing: Arc<[OutputId]>,
    unreached: Why,
}

impl Reach<'_> {
    fn of(&self, consumer: Consumer) -> (Arc<[OutputId]>, ByState<Solved<DeviceState>>) {
        let node = self.graph.node(consumer);
        let at = self.graph.component_of(node);
        let part = at.and_then(|(index, component)| {
            let part = self.parts.get(index)?.as_ref()?;
            let load = component.consumers.binary_search(&consumer).ok()?;
            Some((part, self.outputs.get(index)?, load))
        });
        let Some((part, outputs, load)) = part else {
            let unreached = |_| Err(self.unreached.clone());
            return (self.nothing.clone(), ByState::new(unreached));
        };
        let local = self.graph.local(node);
        let states = ByState::new(|state| match &part.states[state] {
            Err(why) => Err(why.clone()),
            Ok(None) => Ok(OFF),
            Ok(Some(solved)) => device_state(solved, local, load),
        });
        (outputs.clone(), states)
    }
}

const OFF: DeviceState = DeviceState {
    volts: 0.0,
    drop: 0.0,
    amperes: 0.0,
    shift: 0.0,
};

/// Both conductors of a pair are alike, so half of what is lost is lost in the negative.
fn device_state(solved: &Operating, node: usize, load: usize) -> Solved<DeviceState> {
    solved.unless_stuck(Member::Node(node))?;
    let volts = solved.volts(node);
    let drop = solved.highest - volts;
    let amperes = solved.solution.load_amperes.get(load);
    Ok(DeviceState {
        volts,
        drop,
        amperes: amperes.copied().unwrap_or(0.0),
        shift: drop / 2.0,
    })
}

/// What one pair of a leg carries and loses, from one end to the other.
fn pair_state(solved: &Operating, branch: usize, [from, to]: [usize; 2]) -> Solved<LegState> {
    solved.unless_stuck(Member::Edge(branch))?;
    let amperes = solved.solution.branch_amperes.get(branch);
    Ok(LegState {
        amperes: amperes.copied().unwrap_or(0.0),
        drop: solved.volts(from) - solved.volts(to),
    })
}

fn legs(graph: &Graph, parts: &[Option<SolvedPart>]) -> Vec<LegFigures> {
    let nothing = LegState {
        amperes: 0.0,
        drop: 0.0,
    };
    // What a leg's pairs carry together, and what the one with the greater drop loses.
    let idle = || ByState::new(|_| Ok(nothing));
    let mut carrying: Vec<ByState<Solved<LegState>>> = graph.legs.iter().map(|_| idle()).collect();
    for (component, part) in graph.components.iter().zip(parts) {
        let Some(part) = part else { continue };
        for (branch, &edge) in component.edges.iter().enumerate() {
            let Some(edge) = graph.edges.get(edge) else {
                continue;
            };
            let Some(leg) = edge.leg.and_then(|leg| carrying.get_mut(leg)) else {
                continue;
            };
            let ends = [graph.local(edge.a), graph.local(edge.b)];
            for (state, (_, solved)) in leg.iter_mut().zip(part.states.iter()) {
                let pair = match solved {
                    Ok(Some(solved)) => pair_state(solved, branch, ends),
                    Ok(None) => continue,
                    Err(why) => Err(why.clone()),
                };
                match (state.as_mut(), pair) {
                    (Ok(sum), Ok(pair)) => {
                        sum.amperes += pair.amperes;
                        if pair.drop.abs() > sum.drop.abs() {
                            sum.drop = pair.drop;
                        }
                    }
                    (Ok(_), Err(why)) => *state = Err(why),
                    (Err(_), _) => {}
                }
            }
        }
    }
    let mut figures = Vec::with_capacity(graph.legs.len());
    let known = graph
        .legs
        .iter()
        .zip(carrying)
        .filter_map(|(leg, carrying)| {
            Some(LegFigures {
                run: leg.run,
                path: leg.path,
                leg: leg.leg,
                from: leg.from,
                to: leg.to,
                metres: leg.metres?,
                ohms: leg.ohms()?,
                states: carrying,
            })
        });
    figures.extend(known);
    figures
}
