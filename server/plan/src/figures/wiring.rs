//! What each path of each run carries.
//!
//! A path that names the end of a circuit carries that circuit: the power of an
//! output, the data of a bus and the power that goes with it, the loop of an input.
//! `A + B` at one point are circuits of their own in one cable; at different
//! points of a path they are ends of the same pair.
//!
//! A path that names devices and joints only carries on what reaches it. In
//! its own run, the same cable, that is everything. From another run it takes
//! what is needed beyond: power for what is fed, of the output that is for it,
//! data for what is on the bus, a loop for the detectors on it, and everything
//! where it ends in a joint. `x1 + x1.3` takes the power that reaches x1 along
//! with the loop, and `x1 + main.siren` along with what triggers a sounder.
//!
//! A run that carries no power, between terminals of two units and nothing
//! else, is a core between their negatives, [`super::negatives`].
//!
//! A device joins all power that reaches it, but for what comes in at its trigger.
//! In a joint, or on the way past a device that needs no power, the power of different
//! outputs stays apart.

use super::circuits::{
    Carried, add_all, bus_of, ends_circuit, is_in_alarm, is_trigger, may_be_fed, may_be_triggered,
    output_of, takes,
};
use super::negatives::{Cores, has_negative_core};
use super::sorted::with_key;
use crate::model::{At, BusId, OutputId, Path, Run, RunId, Site, Terminal};

/// A path and what it carries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PathFigures {
    /// Its run.
    pub run: RunId,
    /// Index into the run's paths.
    pub path: usize,
    /// What it carries.
    pub carries: Carried,
    /// The cores that this takes, doubled ones counted.
    pub cores: u32,
    /// It is a core between the negatives of units, or part of one.
    pub is_negative: bool,
    /// A core between the negatives of units goes along with its data.
    pub with_negative: bool,
}

/// One for each path of each run, in the order of the plan.
pub(super) fn wiring(site: &Site) -> Vec<PathFigures> {
    let mut trace = Trace::new(site);
    trace.settle();
    trace
        .paths
        .into_iter()
        .map(|path| {
            let mut figures = PathFigures {
                run: path.run_id,
                path: path.path_id,
                carries: path.carries,
                cores: 0,
                is_negative: path.is_negative,
                with_negative: path.run.data_only && has_negative_core(path.written),
            };
            figures.cores = figures.cores_if(path.run.doubled.is_some());
            figures
        })
        .collect()
}

impl PathFigures {
    /// The cores that it takes with its run doubled or not. Doubling is for power, or for
    /// loops where there is no power.
    pub(crate) fn cores_if(&self, doubled: bool) -> u32 {
        if self.is_negative {
            return 1;
        }
        let pairs = |count: usize, doubled: bool| count as u32 * if doubled { 4 } else { 2 };
        let Carried { power, data, loops } = &self.carries;
        pairs(power.len(), doubled)
            + pairs(data.len(), false)
            + pairs(loops.len(), doubled && power.is_empty())
            + u32::from(self.with_negative)
    }
}

/// Where a path stops: a device, or a joint. Joints are numbered on behind the
/// devices.
type Stop = usize;

/// A path, followed as far as it is known. Paths go by their index in
/// [`Trace::paths`]; every such number in [`Trace`] is one of those.
struct Traced<'a> {
    run_id: RunId,
    path_id: usize,
    run: &'a Run,
    written: &'a Path,
    is_negative: bool,
    carries: Carried,
    /// What it carries is known.
    settled: bool,
    /// It names the end of a circuit, but takes power from the device or joint beside it.
    tap: Option<Stop>,
    /// It names no end of a circuit.
    open: bool,
}

struct Trace<'a> {
    site: &'a Site,
    paths: Vec<Traced<'a>>,
    /// Stops and the paths that touch them, sorted.
    touching: Vec<(Stop, usize)>,
}

impl<'a> Trace<'a> {
    fn new(site: &'a Site) -> Trace<'a> {
        let mut paths = Vec::with_capacity(site.runs.iter().map(|run| run.paths.len()).sum());
        let mut touching = Vec::new();
        let mut negatives = Cores::new(site);
        for (run_id, run) in site.runs.iter().enumerate() {
            for (path_id, path) in run.paths.iter().enumerate() {
                let is_negative = run.data_only && negatives.has(path);
                let carries = match is_negative {
                    true => Carried::default(),
                    false => named(site, run, path),
                };
                let tap = tap(site, path, &carries.power).filter(|_| !run.data_only);
                // Beside data, an output stands for its negative alone.
                let ends_here = |at: &At<Terminal>| {
                    let is_output = matches!(at.value, Terminal::Output(..));
                    ends_circuit(at.value) && !(is_output && run.data_only)
                };
                let open = !is_negative && !path.terminals().any(ends_here);
                let index = paths.len();
                touching.extend(
                    path.terminals()
                        .filter_map(|terminal| stop(site, terminal.value))
                        .map(|stop| (stop, index)),
                );
                paths.push(Traced {
                    run_id,
                    path_id,
                    run,
                    written: path,
                    is_negative,
                    carries,
                    settled: !open && tap.is_none(),
                    tap,
                    open,
                });
            }
        }
        touching.sort_unstable();
        Trace {
            site,
            paths,
            touching,
        }
    }

    fn settle(&mut self) {
        let mut front: Vec<usize> = (0..self.paths.len())
            .filter(|&path| self.paths[path].settled)
            .collect();
        let mut recent = Vec::new();
        loop {
            while !front.is_empty() {
                recent.extend_from_slice(&front);
                front = self.inherit(&front);
            }
            front = self.carry_on(&recent);
            recent.clear();
            if front.is_empty() {
                front = self.without_tap();
            }
            if front.is_empty() {
                return;
            }
        }
    }

    /// Settles the open paths of the same runs that touch those of `front`.
    fn inherit(&mut self, front: &[usize]) -> Vec<usize> {
        self.settle_beside(front, |trace, path| match trace.paths[path].open {
            true => trace.reaching_in_run(path),
            false => Carried::default(),
        })
    }

    /// Settles the paths that carry on what those of `recent`, of any run, bring.
    fn carry_on(&mut self, recent: &[usize]) -> Vec<usize> {
        self.settle_beside(recent, |trace, path| match trace.paths[path].tap {
            Some(tap) => trace.power_at(tap),
            None => trace.needed_beyond(path),
        })
    }

    /// Settles the neighbours of `front` that something is carried to.
    fn settle_beside(
        &mut self,
        front: &[usize],
        carried: impl Fn(&Self, usize) -> Carried,
    ) -> Vec<usize> {
        // All before any of them is settled, so that it is all one which comes first in the plan.
        let neighbours = self.neighbours(front).into_iter();
        let found: Vec<(usize, Carried)> = neighbours
            .map(|path| (path, carried(self, path)))
            .filter(|(_, carried)| !carried.is_empty())
            .collect();
        let settle = |(path, carried): (usize, Carried)| {
            let settling = &mut self.paths[path];
            settling.carries.add(&carried);
            settling.settled = true;
            path
        };
        found.into_iter().map(settle).collect()
    }

    /// Settles the paths that no power has reached.
    fn without_tap(&mut self) -> Vec<usize> {
        let waiting = |path: &usize| !self.paths[*path].settled && self.paths[*path].tap.is_some();
        let waiting: Vec<usize> = (0..self.paths.len()).filter(waiting).collect();
        for &path in &waiting {
            self.paths[path].settled = true;
        }
        waiting
    }

    /// The paths, not settled yet, that touch any of `front`; each once.
    fn neighbours(&self, front: &[usize]) -> Vec<usize> {
        let mut seen = vec![false; self.site.devices.len() + self.site.joints.len()];
        let mut found: Vec<usize> = front
            .iter()
            .flat_map(|&path| self.stops(path))
            .filter(|&stop| !std::mem::replace(&mut seen[stop], true))
            .flat_map(|stop| self.at(stop))
            .filter(|&path| !self.paths[path].settled)
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    fn stops(&self, path: usize) -> impl Iterator<Item = Stop> + use<'a> {
        let site = self.site;
        let points: &'a [_] = self
            .paths
            .get(path)
            .map_or(&[], |path| &path.written.points);
        points
            .iter()
            .flat_map(|point| &point.value)
            .filter_map(move |terminal| stop(site, terminal.value))
    }

    fn at(&self, stop: Stop) -> impl Iterator<Item = usize> + use<'_, 'a> {
        let touching = with_key(&self.touching, stop, |(stop, _)| *stop);
        touching.iter().map(|(_, path)| *path)
    }

    /// The power that reaches a stop, as it goes on from there.
    fn power_at(&self, stop: Stop) -> Carried {
        let mut found = Carried::default();
        for path in self.at(stop) {
            if self.paths[path].settled {
                found.add_power(&self.paths[path].carries.power);
            }
        }
        self.join_power(stop, &mut found.power);
        found
    }

    /// Puts the power that reaches a stop in the order of its outputs, not of the runs that bring
    /// it, and what is on in alarm only last. A device joins it all, its trigger apart.
    fn join_power(&self, stop: Stop, power: &mut Vec<OutputId>) {
        if power.len() < 2 {
            return;
        }
        power.sort_unstable_by_key(|output| (is_in_alarm(self.site, *output), *output));
        if self.joins_power(stop) {
            power.dedup_by_key(|output| is_trigger(self.site, stop, *output));
        }
    }

    /// What other paths of its run bring a path, at the first of its stops where something
    /// reaches it.
    fn reaching_in_run(&self, path: usize) -> Carried {
        let run = self.paths[path].run_id;
        for stop in self.stops(path) {
            let mut reaching = Carried::default();
            for other in self.at(stop) {
                let other = &self.paths[other];
                if other.settled && other.run_id == run {
                    reaching.add(&other.carries);
                }
            }
            if !reaching.is_empty() {
                self.join_power(stop, &mut reaching.power);
                return reaching;
            }
        }
        Carried::default()
    }

    /// What the path takes from other runs, at the first of its stops where
    /// something reaches it.
    fn needed_beyond(&self, path: usize) -> Carried {
        for stop in self.stops(path) {
            let mut reaching = match self.paths[path].run.data_only {
                true => Carried::default(),
                false => self.power_at(stop),
            };
            for other in self.at(stop).filter(|&other| self.paths[other].settled) {
                reaching.add_signals(&self.paths[other].carries);
            }
            if reaching.is_empty() {
                continue;
            }
            let Carried { power, data, loops } = &mut reaching;
            let needs = |need: &dyn Fn(usize) -> bool| {
                self.stops(path)
                    .any(|beyond| beyond != stop && (!self.is_device(beyond) || need(beyond)))
            };
            let all = power.clone();
            power.retain(|&output| {
                needs(&|device| {
                    may_be_fed(self.site, device) && takes(self.site, device, output, &all)
                })
            });
            if self.joins_power(stop) && !needs(&|device| may_be_triggered(self.site, device)) {
                power.truncate(1);
            }
            data.retain(|&bus| needs(&|device| self.is_on(device, bus)));
            loops.retain(|&input| needs(&|device| self.is_read_by(device, input)));
            return reaching;
        }
        Carried::default()
    }

    fn is_device(&self, stop: Stop) -> bool {
        stop < self.site.devices.len()
    }

    /// Whether all power that reaches a stop is joined there.
    fn joins_power(&self, stop: Stop) -> bool {
        self.is_device(stop) && may_be_fed(self.site, stop)
    }

    fn is_on(&self, device: usize, bus: BusId) -> bool {
        let device = self.site.devices.get(device);
        device.and_then(|device| bus_of(self.site, device)) == Some(bus)
    }

    fn is_read_by(&self, device: usize, input: Terminal) -> bool {
        self.site.zones.iter().any(|zone| {
            zone.input.is_some_and(|at| at.value == input)
                && zone.from.iter().any(|from| from.value == device)
        })
    }
}

fn stop(site: &Site, terminal: Terminal) -> Option<Stop> {
    match terminal {
        Terminal::Device(device) => Some(device),
        Terminal::Joint(joint) => Some(site.devices.len() + joint),
        _ => None,
    }
}

/// What the ends of circuits that a path names give it.
fn named(site: &Site, run: &Run, path: &Path) -> Carried {
    let mut carries = Carried::default();
    for point in &path.points {
        for terminal in &point.value {
            match terminal.value {
                Terminal::Bus(bus) => add_all(&mut carries.data, &[bus]),
                Terminal::PanelInput(..) | Terminal::DeviceInput(..) => {
                    add_all(&mut carries.loops, &[terminal.value]);
                }
                _ => {}
            }
        }
        if run.data_only {
            continue;
        }
        let here = || {
            let terminals = point.value.iter();
            terminals.filter_map(|terminal| output_of(site, terminal.value))
        };
        if here().count() > carries.power.len() {
            carries.power = here().collect();
        }
    }
    carries
}

/// The device or joint that stands beside the end of a circuit, joined by `+`, and gives its power
/// to a path that names no output; or, beside one that is on in alarm only, to what that triggers.
fn tap(site: &Site, path: &Path, power: &[OutputId]) -> Option<Stop> {
    let is_beside = |at: &At<Terminal>| match power {
        [] => ends_circuit(at.value),
        _ => matches!(at.value, Terminal::Output(..)),
    };
    let triggers = power.iter().all(|output| is_in_alarm(site, *output));
    path.points
        .iter()
        .filter(|point| triggers && point.value.iter().any(is_beside))
        .flat_map(|point| &point.value)
        .find_map(|at| stop(site, at.value))
}
