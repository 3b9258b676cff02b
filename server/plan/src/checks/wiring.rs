//! What reaches a device: power, data, and a negative that is the bus's own, not
//! too far above it.

use rustc_hash::{FxHashMap, FxHashSet};

use super::bus_membership::{elsewhere, outside};
use super::case::Case;
use super::mend::moves::Mover;
use super::mend::volts::Mender;
use super::needs::VoltsNeeded;
use super::negatives::Missing;
use super::switched::Switched;
use crate::figures::{Consumer, DataReach, DeviceFigures, State, above, bus_of};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, BusId, Device, DeviceId, OutputId, Path, Run, Site, Terminal};
use crate::vocabulary::{Dimension, value_and_limit};

/// Checks what reaches the devices; how far their negatives are shifted not where outputs of
/// different voltage are joined.
pub(super) fn check(case: &Case, mover: &mut Mover, findings: &mut Vec<Finding>) {
    let Case {
        site,
        figures,
        given,
        unequal,
        stuck,
    } = case;
    let mut mender = None;
    let mut data_only = DataOnly::new(site);
    let on_bus = DataReach::new(site, figures);
    let mut missing = Missing::new(site, figures);
    let mut switched = Switched::new(site, figures);
    let mut names = FxHashSet::default();
    for (id, device) in site.devices.iter().enumerate() {
        // Cable leads to the first of a name; that another has it is told.
        if !names.insert(device.name.value.as_str()) {
            continue;
        }
        let fed = figures.device(id);
        // One that belongs on a bus is switched over it.
        let misplaced = outside(site, id, device, &on_bus);
        if misplaced.is_none() {
            findings.extend(fed.and_then(|fed| unswitched(&mut switched, device, fed, mover)));
        }
        findings.extend(misplaced);
        let reached = Reached::of(site, id, device, fed, &on_bus);
        if reached.lacks_something() && site.paths_unread {
            continue;
        }
        let half = fed.filter(|_| !reached.power_unread && !site.paths_unread);
        let half = half.and_then(|fed| half_wired(site, device, fed));
        if reached.lacks_something() {
            let elsewhere = elsewhere(site, id, device, &on_bus);
            let told = elsewhere.or(half);
            let not_wired = || reached.not_wired(case, id, device, &mut data_only);
            findings.push(told.unwrap_or_else(not_wired));
            continue;
        }
        findings.extend(half);
        let (Some(fed), Some(bus)) = (fed, reached.bus) else {
            continue;
        };
        if !reached.power_unread {
            missing.look(fed, bus);
        }
        // That the cable cannot feed it, or what flows between outputs, is told.
        if stuck.contains(&id) || unequal.feed(fed) {
            continue;
        }
        findings.extend(shifted(site, fed, bus).map(|shifted| {
            let mender =
                mender.get_or_insert_with(|| Mender::new(site, figures, given, Vec::new()));
            shifted.finding(site, device, bus, mender)
        }));
    }
    findings.extend(missing.findings());
}

/// What reaches a device.
struct Reached {
    /// The bus that it is on.
    bus: Option<BusId>,
    /// Whether that one's data does not.
    no_data: bool,
    no_power: bool,
    /// Its power may well come from what cannot be read.
    power_unread: bool,
}

impl Reached {
    fn of(
        site: &Site,
        id: DeviceId,
        device: &Device,
        fed: Option<&DeviceFigures>,
        on_bus: &DataReach,
    ) -> Reached {
        let bus = bus_of(site, device);
        let has_data = bus.is_some_and(|bus| on_bus.has(id, bus));
        let model = bus.and_then(|bus| site.model_bus(bus));
        // A trigger, or what it draws, may be in what cannot be read of its model.
        let has_more = device.model().is_some_and(|model| model.has_more);
        let with_data = has_data && model.is_some_and(|(_, model)| model.power_unread);
        let power_unread = has_more || with_data;
        Reached {
            bus,
            no_data: bus.is_some() && !has_data,
            no_power: !power_unread && fed.is_some_and(|fed| fed.fed_by.is_empty()),
            power_unread,
        }
    }

    fn lacks_something(&self) -> bool {
        self.no_power || self.no_data
    }

    /// That a device lacks something.
    fn not_wired(
        &self,
        case: &Case,
        id: DeviceId,
        device: &Device,
        data_only: &mut DataOnly,
    ) -> Finding {
        let (site, name) = (case.site, &device.name.value);
        let bus = self.bus.filter(|_| self.no_data);
        let power_alone = bus.filter(|_| !self.no_power);
        if let Some(finding) = power_alone.and_then(|bus| power_alone_of(case, id, device, bus)) {
            return finding;
        }
        let message = match (self.no_power, bus.map(|bus| site.bus_name(bus))) {
            (true, Some(bus)) => format!(
                "no cable reaches {name}: add it to a run from {bus}, `{bus} {} {name}` for one.",
                site.measures().example("--10 m--")
            ),
            (false, Some(bus)) => format!(
                "no cable brings {name} the data of {bus}: add it to a run from there, or write one that `carries data`."
            ),
            (_, None) => {
                let by_data = self.bus.and_then(|bus| powerless(site, name, bus));
                let without = || data_only.carries_none(id, name);
                by_data.or_else(without).unwrap_or_else(|| {
                    format!(
                        "no cable brings {name} power: add it to a run from an output, and say how long the cable is."
                    )
                })
            }
        };
        Finding::new(Code::NotWired, device.name.span, message)
    }
}

/// A device on a cable that starts at the power of its bus, with cores to spare for the data: it
/// is meant to start at the bus.
fn power_alone_of(case: &Case, id: DeviceId, device: &Device, bus: BusId) -> Option<Finding> {
    let site = case.site;
    let power = Terminal::Output(OutputId {
        unit: bus.unit,
        index: site.model_bus(bus)?.1.power?,
    });
    let starts = |path: &Path| {
        path.terminals()
            .find(|at| at.value == power)
            .map(|at| at.span)
    };
    let (run, start) = case.figures.paths.iter().find_map(|figures| {
        let (run, path) = (
            site.runs.get(figures.run)?,
            site.path(figures.run, figures.path)?,
        );
        let leads_there = path.terminals().any(|at| at.value == Terminal::Device(id));
        let has_cores = run.cable()?.cores? >= figures.cores + 2;
        Some((run, starts(path)?)).filter(|_| leads_there && has_cores && !run.data_only)
    })?;
    let (name, run, bus) = (&device.name.value, &run.name.value, site.bus_name(bus));
    let message = format!(
        "no cable brings {name} the data of {bus}: {run} starts at {}, which is power alone. Start it at {bus}.",
        site.terminal_name(power)
    );
    let finding = Finding::new(Code::NotWired, device.name.span, message);
    Some(finding.mended_by(Some(Mend {
        title: format!("Start {run} at {bus}"),
        edits: vec![(start, bus)],
    })))
}

/// Runs from outputs that are said to carry no power.
struct DataOnly<'a> {
    site: &'a Site,
    /// The first of them that leads to each device, with the output that it comes from; worked
    /// out when first asked for.
    to: Option<FxHashMap<DeviceId, (&'a Run, OutputId)>>,
}

impl<'a> DataOnly<'a> {
    fn new(site: &'a Site) -> DataOnly<'a> {
        DataOnly { site, to: None }
    }

    /// That a device is on one of them.
    fn carries_none(&mut self, device: DeviceId, name: &str) -> Option<String> {
        let site = self.site;
        let to = self.to.get_or_insert_with(|| runs_without_power(site));
        let (run, output) = to.get(&device)?;
        Some(format!(
            "no cable brings {name} power: {} comes from {}, and says that it `carries data` alone. Take that out, or add {name} to another run from an output.",
            run.name.value,
            site.terminal_name(Terminal::Output(*output)),
        ))
    }
}

fn runs_without_power(site: &Site) -> FxHashMap<DeviceId, (&Run, OutputId)> {
    let mut to = FxHashMap::default();
    let runs = site.runs.iter().filter(|run| run.data_only);
    let paths = runs.flat_map(|run| run.paths.iter().map(move |path| (run, path)));
    for (run, path) in paths {
        let output = path.terminals().find_map(|at| match at.value {
            Terminal::Output(output) => Some(output),
            _ => None,
        });
        let Some(output) = output else { continue };
        for at in path.terminals() {
            if let Terminal::Device(device) = at.value {
                to.entry(device).or_insert((run, output));
            }
        }
    }
    to
}

/// A sounder or beacon that nothing switches, with the change that mends it.
fn unswitched(
    switched: &mut Switched,
    device: &Device,
    fed: &DeviceFigures,
    mover: &mut Mover,
) -> Option<Finding> {
    let finding = switched.look(device, fed)?;
    let beside = fed.fed_by.first().and_then(|first| switched.beside(*first));
    let moved = beside.and_then(|beside| mover.feed_from(fed.device, beside));
    Some(finding.mended_by(moved.map(|moved| moved.mend)))
}

/// That a device has the data of a bus and no power, since the bus's model names none.
fn powerless(site: &Site, name: &str, bus: BusId) -> Option<String> {
    let (unit, own) = site.model_bus(bus)?;
    if own.power.is_some() {
        return None;
    }
    let always = unit
        .model()?
        .outputs
        .iter()
        .find(|output| !output.in_alarm)?;
    Some(format!(
        "no cable brings {name} power: bus `{}` of the model {} brings it data alone. If the bus has power, say there from which output, `power {}` for one; if not, add {name} to a run from an output.",
        own.name.value,
        unit.model_name.as_ref()?.value,
        always.name.value,
    ))
}

/// What is missing at a device with a trigger that hangs on one of its two outputs.
fn half_wired(site: &Site, device: &Device, fed: &DeviceFigures) -> Option<Finding> {
    let name = &device.name.value;
    let by = &fed.trigger.as_ref()?.by;
    let (has, is_fed) = match (fed.fed_by.first(), by.first()) {
        (Some(feed), None) => (*feed, true),
        (None, Some(trigger)) => (*trigger, false),
        _ => return None,
    };
    // One of the same unit, or else of another.
    let units = [has.unit].into_iter().chain(0..site.units.len());
    let mut outputs = units.flat_map(|unit| site.outputs_of(unit));
    let lacks = outputs.find(|output| {
        site.output(*output)
            .is_some_and(|(_, model)| model.in_alarm == is_fed)
    });
    let how = lacks.map_or(String::new(), |lacks| {
        let [feed, trigger] = match is_fed {
            true => [has, lacks],
            false => [lacks, has],
        };
        let together = match feed.unit == trigger.unit {
            true => format!(
                "`{} + {}` in one cable, or ",
                site.output_name(feed),
                site.output_name(trigger)
            ),
            false => String::new(),
        };
        format!(
            ", {together}{} over a run of its own",
            site.output_name(lacks)
        )
    });
    let (does, misses, wanted) = match is_fed {
        true => ("feeds", "triggers", "is `in alarm`"),
        false => ("triggers", "feeds", "is on at all times"),
    };
    let message = format!(
        "{} {does} {name} and nothing {misses} it, but its model has a `trigger`: bring it an output that {wanted} too{how}.",
        site.output_name(has),
    );
    Some(Finding::new(Code::NotWired, device.name.span, message))
}

/// A negative that lies too far above the panel's, in the state in which it lies highest.
struct Shifted {
    id: DeviceId,
    state: State,
    volts: f64,
    shift: f64,
    limit: At<f64>,
    /// Whether it is known in every state how far it is shifted.
    is_known: bool,
}

/// A shift as it is told: in millivolts.
fn millivolts(volts: f64) -> String {
    format!("{:.0} mV", volts * 1000.0)
}

fn shifted(site: &Site, fed: &DeviceFigures, bus: BusId) -> Option<Shifted> {
    let limit = site.model_bus(bus)?.1.shift?;
    let (state, worst) = fed
        .states
        .solved()
        .max_by(|a, b| a.1.shift.total_cmp(&b.1.shift))?;
    above(worst.shift, limit.value).then_some(Shifted {
        id: fed.device,
        state,
        volts: worst.volts,
        shift: worst.shift,
        limit,
        is_known: fed.states.iter().all(|(_, solved)| solved.is_ok()),
    })
}

impl Shifted {
    /// Half of what is lost is lost in the negative, so what lacks in shift
    /// lacks twice in volts at the device.
    fn finding(&self, site: &Site, device: &Device, bus: BusId, mender: &mut Mender) -> Finding {
        let need = VoltsNeeded {
            consumer: Consumer::Device(self.id),
            state: self.state,
            least: self.volts + 2.0 * (self.shift - self.limit.value),
            always: false,
        };
        let say = |got: f64| {
            let left = self.shift - (got - self.volts) / 2.0;
            format!("leave {}", millivolts(left))
        };
        // How far it is shifted where the cable cannot feed it yet, nobody knows.
        let (hint, mend) = match self.is_known {
            true => mender.more_volts(need, &say),
            false => (String::new(), None),
        };
        let hint = match mend {
            Some(_) => hint,
            None => " Thicker or doubled cable brings it down.".to_string(),
        };
        let unit = site.units.get(bus.unit);
        let (shift, most) = value_and_limit(self.shift, self.limit.value, Dimension::Voltage);
        let message = format!(
            "the negative of {} lies {shift} above that of {} {}; {} is read up to {most}.{hint}",
            device.name.value,
            unit.map_or("", |unit| &unit.name.value),
            self.state.phrase(),
            site.bus_name(bus),
        );
        let finding = Finding::new(Code::ReferenceShift, device.name.span, message).mended_by(mend);
        finding.in_model(
            unit.and_then(|unit| unit.model_item.as_ref()),
            self.limit.span,
            "what the bus allows",
        )
    }
}
