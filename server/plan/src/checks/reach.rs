//! What reaches a device: power, over one way; data; and a common negative.
//!
//! The negatives of two units are common if power cable joins their outputs, or
//! if a run that carries no power names terminals of both: that is how a plan
//! writes a negative core between them.

use rustc_hash::{FxHashMap, FxHashSet};

use super::Context;
use super::joins::wired_twice;
use super::mend::{Mender, Need};
use super::moves::Mover;
use super::standing::{elsewhere, outside};
use super::words::{apart, list};
use crate::figures::{BusId, DeviceFigures, Figures, OutputId, State, bus_of};
use crate::finding::{Code, Finding};
use crate::model::{At, Device, DeviceId, Site, Terminal, UnitId};
use crate::vocabulary::Dimension;

/// Checks what reaches the devices.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    context: &Context,
    mover: &mut Mover,
    findings: &mut Vec<Finding>,
) {
    let mut mender = None;
    let on_bus = reached_by_data(site, figures);
    let mut negatives = None;
    let mut links: Vec<Link> = Vec::new();
    for (id, device) in site.devices.iter().enumerate() {
        findings.extend(outside(site, id, device, &on_bus));
        let fed = figures.device(id);
        let bus = bus_of(site, device);
        // Its power may well come with the data, from what cannot be read.
        let unread = bus.is_some_and(|bus| power_unread(site, bus) && on_bus.contains(&(id, bus)));
        let unfed = !unread && fed.is_some_and(|fed| fed.fed_by.is_empty());
        let cut_off = bus.is_some_and(|bus| !on_bus.contains(&(id, bus)));
        if (unfed || cut_off) && site.ways_unread {
            continue;
        }
        if unfed || cut_off {
            let elsewhere = elsewhere(site, id, device, &on_bus);
            findings.push(
                elsewhere
                    .unwrap_or_else(|| not_wired(site, device, unfed, bus.filter(|_| cut_off))),
            );
            continue;
        }
        let (Some(fed), Some(bus)) = (fed, bus) else {
            continue;
        };
        if !unread && fed.fed_by.iter().all(|(unit, _)| *unit != bus.0) {
            let negatives = negatives.get_or_insert_with(|| Negatives::new(site, figures));
            if let Some((power, link)) = negatives.apart(fed, bus) {
                match links.iter_mut().find(|other| other.between == link) {
                    Some(other) => other.devices.push(id),
                    None => links.push(Link {
                        between: link,
                        bus,
                        power,
                        devices: vec![id],
                    }),
                }
            }
        }
        findings.extend(shifted(site, fed, bus).map(|shifted| {
            let mender = mender.get_or_insert_with(|| Mender::new(site, figures, context));
            shifted.finding(site, device, bus, mender)
        }));
    }
    findings.extend(links.iter().filter_map(|link| link.finding(site)));
    for join in &figures.joins {
        findings.extend(wired_twice(site, figures, mover, join));
    }
}

/// Devices on whose cable a bus's data is.
fn reached_by_data(site: &Site, figures: &Figures) -> FxHashSet<(DeviceId, BusId)> {
    let mut reached = FxHashSet::default();
    for path in &figures.paths {
        if path.carries.data.is_empty() {
            continue;
        }
        let way = site
            .runs
            .get(path.run)
            .and_then(|run| run.paths.get(path.path));
        let points = way.map_or(&[][..], |way| &way.points);
        for terminal in points.iter().flat_map(|point| &point.value) {
            if let Terminal::Device(device) = terminal.value {
                reached.extend(path.carries.data.iter().map(|bus| (device, *bus)));
            }
        }
    }
    reached
}

/// Whether a bus says where its power comes from in a way that cannot be read.
fn power_unread(site: &Site, (unit, bus): BusId) -> bool {
    let model = site.units.get(unit).and_then(|unit| unit.model());
    let bus = model.and_then(|model| model.buses.get(bus));
    bus.is_some_and(|bus| bus.power_unread)
}

fn not_wired(site: &Site, device: &Device, unfed: bool, bus: Option<BusId>) -> Finding {
    let name = &device.name.value;
    let bus = bus.map(|(unit, bus)| site.terminal_name(Terminal::Bus(unit, bus)));
    let message = match (unfed, bus) {
        (true, Some(bus)) => format!(
            "no cable reaches {name}: add it to a run from {bus}, `{bus} --10 m-- {name}` for one."
        ),
        (false, Some(bus)) => format!(
            "no cable brings {name} the data of {bus}: add it to a run from there, or write one that `carries data`."
        ),
        (_, None) => format!(
            "no cable brings {name} power: add it to a run from an output, and say how long the cable is."
        ),
    };
    Finding::new(Code::NotWired, device.name.span, message)
}

/// How many devices have their data from one unit and their power from another,
/// with nothing between the negatives.
pub(super) fn apart_from(site: &Site, figures: &Figures) -> usize {
    let mut negatives = None;
    let apart = figures.devices.iter().filter(|fed| {
        let device = site.devices.get(fed.device);
        let Some(bus) = device.and_then(|device| bus_of(site, device)) else {
            return false;
        };
        if fed.fed_by.iter().any(|(unit, _)| *unit == bus.0) {
            return false;
        }
        let negatives = negatives.get_or_insert_with(|| Negatives::new(site, figures));
        negatives.apart(fed, bus).is_some()
    });
    apart.count()
}

/// Which units have a common negative.
struct Negatives {
    parent: FxHashMap<UnitId, UnitId>,
}

impl Negatives {
    fn new(site: &Site, figures: &Figures) -> Negatives {
        let mut negatives = Negatives {
            parent: FxHashMap::default(),
        };
        for device in &figures.devices {
            for pair in device.fed_by.windows(2) {
                if let [(a, _), (b, _)] = pair {
                    negatives.join(*a, *b);
                }
            }
        }
        for run in site.runs.iter().filter(|run| run.data_only) {
            for path in &run.paths {
                let terminals = path.points.iter().flat_map(|point| &point.value);
                let mut units = terminals.filter_map(|at| match at.value {
                    Terminal::Output(unit, _) | Terminal::Bus(unit, _) => Some(unit),
                    _ => None,
                });
                if let Some(first) = units.next() {
                    units.for_each(|unit| negatives.join(first, unit));
                }
            }
        }
        negatives
    }

    fn root(&self, mut unit: UnitId) -> UnitId {
        while let Some(&parent) = self.parent.get(&unit) {
            unit = parent;
        }
        unit
    }

    fn join(&mut self, a: UnitId, b: UnitId) {
        let (a, b) = (self.root(a), self.root(b));
        if a != b {
            self.parent.insert(b, a);
        }
    }

    /// Data from one unit, power from another, and nothing between them: what
    /// feeds the device, and the two groups of units that are apart.
    fn apart(&self, fed: &DeviceFigures, bus: BusId) -> Option<(OutputId, [UnitId; 2])> {
        let &power = fed.fed_by.first()?;
        let own = self.root(bus.0);
        let joined = |(unit, _): &OutputId| self.root(*unit) == own;
        let apart = !fed.fed_by.iter().any(joined);
        apart.then(|| (power, [own, self.root(power.0)]))
    }
}

/// A core that is missing between the negatives of two units, and the devices
/// that need it.
struct Link {
    between: [UnitId; 2],
    bus: BusId,
    power: OutputId,
    devices: Vec<DeviceId>,
}

impl Link {
    fn finding(&self, site: &Site) -> Option<Finding> {
        let devices = self.devices.iter().filter_map(|id| site.devices.get(*id));
        let devices: Vec<&Device> = devices.collect();
        let (first, others) = devices.split_first()?;
        let (unit, bus) = self.bus;
        let data = site.terminal_name(Terminal::Bus(unit, bus));
        let power = site.terminal_name(Terminal::Output(self.power.0, self.power.1));
        let (panel, supply) = (site.units.get(unit)?, site.units.get(self.power.0)?);
        let own = panel.model()?.buses.get(bus)?.power.unwrap_or(0);
        let own = site.terminal_name(Terminal::Output(unit, own));
        let names: Vec<&str> = devices.iter().map(|of| of.name.value.as_str()).collect();
        let (have, its) = match others.is_empty() {
            true => ("has", "its"),
            false => ("have", "their"),
        };
        let message = format!(
            "{} {have} {its} data from {data} and {its} power from {power}, and nothing joins the negatives of {} and {}: lay one core between them, a spare one of the data cable for example, and write it as a run from {own} to {power} that `carries data`, with its length.",
            list(&names),
            panel.name.value,
            supply.name.value,
        );
        let mut finding = Finding::new(Code::NegativesApart, first.name.span, message)
            .with(site.spot(supply.name.span), "what feeds it");
        for other in others {
            finding = finding.with(site.spot(other.name.span), "needs it too");
        }
        Some(finding)
    }
}

/// A negative that lies too far above the panel's, in the state in which it lies highest.
struct Shifted {
    id: DeviceId,
    state: State,
    volts: f64,
    shift: f64,
    limit: At<f64>,
}

/// A shift as it is told: in millivolts.
fn millivolts(volts: f64) -> String {
    format!("{:.0} mV", volts * 1000.0)
}

fn shifted(site: &Site, fed: &DeviceFigures, bus: BusId) -> Option<Shifted> {
    let limit = site.units.get(bus.0)?.model()?.buses.get(bus.1)?.shift?;
    let (state, worst) = fed
        .states
        .iter()
        .filter_map(|(state, solved)| Some((state, solved.as_ref().ok()?)))
        .max_by(|a, b| a.1.shift.total_cmp(&b.1.shift))?;
    (worst.shift > limit.value).then_some(Shifted {
        id: fed.device,
        state,
        volts: worst.volts,
        shift: worst.shift,
        limit,
    })
}

impl Shifted {
    /// Half of what is lost is lost in the negative, so what lacks in shift
    /// lacks twice in volts at the device.
    fn finding(&self, site: &Site, device: &Device, bus: BusId, mender: &mut Mender) -> Finding {
        let need = Need {
            device: self.id,
            state: self.state,
            least: self.volts + 2.0 * (self.shift - self.limit.value),
            always: false,
        };
        let say = |got: f64| {
            let left = self.shift - (got - self.volts) / 2.0;
            format!("leave {}", millivolts(left))
        };
        let (hint, mend) = mender.more_volts(need, &[], &say);
        let hint = match mend {
            Some(_) => hint,
            None => " Thicker or doubled cable brings it down.".to_string(),
        };
        let unit = site.units.get(bus.0);
        let (shift, most) = apart(self.shift, self.limit.value, Dimension::Voltage);
        let message = format!(
            "the negative of {} lies {shift} above that of {} {}; {} is read up to {most}.{hint}",
            device.name.value,
            unit.map_or("", |unit| &unit.name.value),
            self.state.phrase(),
            site.terminal_name(Terminal::Bus(bus.0, bus.1)),
        );
        let finding = Finding::new(Code::ReferenceShift, device.name.span, message).mended_by(mend);
        finding.in_model(
            unit.and_then(|unit| unit.model_item.as_ref()),
            self.limit.span,
            "what the bus allows",
        )
    }
}
