//! Whether a device's data and its power have one negative.
//!
//! The negatives of two units are common if power cable joins their outputs, or
//! if a core is written between them.

use crate::figures::{DeviceFigures, Figures, Negatives, along_with_data, bus_of};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, BusId, Device, DeviceId, OutputId, Site, Terminal};
use crate::sentence::{list, list_by};
use crate::source::Span;

/// How many devices have their data from one unit and their power from another,
/// with nothing between the negatives.
pub(super) fn apart(site: &Site, figures: &Figures) -> usize {
    let mut missing = Missing::new(site, figures);
    for fed in &figures.devices {
        let device = site.devices.get(fed.device);
        if let Some(bus) = device.and_then(|device| bus_of(site, device)) {
            missing.look(fed, bus);
        }
    }
    missing.links.iter().map(|link| link.devices.len()).sum()
}

/// Cores that are missing between the negatives of units.
pub(super) struct Missing<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// Few sites have a second unit: worked out when first asked for.
    negatives: Option<Negatives>,
    links: Vec<Link>,
}

impl<'a> Missing<'a> {
    pub fn new(site: &'a Site, figures: &'a Figures) -> Missing<'a> {
        Missing {
            site,
            figures,
            negatives: None,
            links: Vec::new(),
        }
    }

    /// Notes what is missing for a device on a bus.
    pub fn look(&mut self, fed: &DeviceFigures, bus: BusId) {
        if fed.fed_by.iter().any(|output| output.unit == bus.unit) {
            return;
        }
        let (site, figures) = (self.site, self.figures);
        let negatives = self.negatives.get_or_insert_with(|| common(site, figures));
        let Some((power, between)) = told_apart(negatives, fed, bus) else {
            return;
        };
        match self.links.iter_mut().find(|link| link.between == between) {
            Some(link) => link.devices.push(fed.device),
            None => self.links.push(Link {
                between,
                bus,
                power,
                devices: vec![fed.device],
            }),
        }
    }

    /// A finding for each core, at the first device that needs it.
    pub fn findings(&self) -> impl Iterator<Item = Finding> {
        let links = self.links.iter();
        links.filter_map(|link| link.finding(self.site, self.figures))
    }
}

/// A core that is missing between the negatives of two units, and the devices
/// that need it.
struct Link {
    /// What stands for the negatives on either side.
    between: [usize; 2],
    bus: BusId,
    power: OutputId,
    devices: Vec<DeviceId>,
}

impl Link {
    fn finding(&self, site: &Site, figures: &Figures) -> Option<Finding> {
        let devices = self.devices.iter().filter_map(|id| site.devices.get(*id));
        let devices: Vec<&Device> = devices.collect();
        let (first, others) = devices.split_first()?;
        let data = site.bus_name(self.bus);
        let power = site.output_name(self.power);
        let (panel, bus) = site.model_bus(self.bus)?;
        let supply = site.units.get(self.power.unit)?;
        let own = OutputId {
            unit: self.bus.unit,
            index: bus.power.unwrap_or(0),
        };
        let names: Vec<&str> = devices.iter().map(|of| of.name.value.as_str()).collect();
        let (have, its) = match others.is_empty() {
            true => ("has", "its"),
            false => ("have", "their"),
        };
        let (core, mend) = match self.spare_core(site, figures, own) {
            Some((core, mend)) => (core, Some(mend)),
            None => {
                let own = site.output_name(own);
                (
                    format!(
                        "a spare one of the data cable for example, and write it as a run from {own} to {power} that `carries data`, with its length"
                    ),
                    None,
                )
            }
        };
        let message = format!(
            "{} {have} {its} data from {data} and {its} power from {power}, and nothing joins the negatives of {} and {}: lay one core between them, {core}.",
            list(&names),
            panel.name.value,
            supply.name.value,
        );
        let mut finding = Finding::new(Code::NegativesApart, first.name.span, message)
            .with(site.spot(supply.name.span), "what feeds it")
            .mended_by(mend);
        for other in others {
            finding = finding.with(site.spot(other.name.span), "needs it too");
        }
        Some(finding)
    }

    /// One more core of the cable that brings the data, and how it is written there.
    fn spare_core(&self, site: &Site, figures: &Figures, own: OutputId) -> Option<(String, Mend)> {
        // Where the negative of the bus is at hand, and of which output it is written: at the bus,
        // or where the data comes from another device, at that, if its unit feeds it too.
        let begins = |at: &Terminal| match *at {
            Terminal::Bus(bus) if bus == self.bus => Some(own),
            Terminal::Device(device) => {
                let mut fed_by = figures.device(device)?.fed_by.iter().copied();
                fed_by.find(|output| output.unit == self.bus.unit)
            }
            _ => None,
        };
        let (run, ends) = figures.paths.iter().find_map(|of| {
            let run = site.runs.get(of.run).filter(|run| run.data_only)?;
            let path = run.paths.get(of.path)?;
            if run.cable()?.cores? <= of.cores || !of.carries.data.contains(&self.bus) {
                return None;
            }
            let begin = path
                .terminals()
                .find_map(|at| Some((at, begins(&at.value)?)))?;
            let is_ours = |at: &&At<Terminal>| match at.value {
                Terminal::Device(device) => self.devices.contains(&device),
                _ => false,
            };
            let device = path.terminals().find(is_ours)?;
            // What is led on to an output by itself is not ours to write otherwise.
            let is_output = |at: &&At<Terminal>| matches!(at.value, Terminal::Output(..));
            if path.terminals().filter(is_output).count() > along_with_data(path).count() {
                return None;
            }
            let is_missing = |output: OutputId| {
                let mut named = path.terminals();
                !named.any(|at| at.value == Terminal::Output(output))
            };
            let ends = [begin, (device, self.power)];
            let ends: Vec<_> = ends.into_iter().filter(|end| is_missing(end.1)).collect();
            Some((run, ends)).filter(|(_, ends)| !ends.is_empty())
        })?;
        let run = &run.name.value;
        let beside = |output: OutputId| format!(" + {}", site.output_name(output));
        let edits = ends.iter().map(|(at, output)| {
            let behind = Span {
                start: at.span.end,
                ..at.span
            };
            (behind, beside(*output))
        });
        let written = list_by(&ends, |(at, output)| {
            let name = site.terminal_name(at.value);
            format!("`{name}{}`", beside(*output))
        });
        let mend = Mend {
            title: format!("Lead the negative along in {run}"),
            edits: edits.collect(),
        };
        Some((format!("a spare one of {run}: write {written} there"), mend))
    }
}

/// Which units have a common negative.
fn common(site: &Site, figures: &Figures) -> Negatives {
    let mut negatives = Negatives::apart(site);
    for device in &figures.devices {
        let outputs = device.taps().flat_map(|tap| tap.outputs);
        negatives.join(outputs.map(|output| output.unit));
    }
    let cores = figures.paths.iter().filter(|path| path.is_negative);
    for path in cores.filter_map(|core| site.path(core.run, core.path)) {
        negatives.join_by(path);
    }
    let cores = figures.paths.iter().filter(|path| path.with_negative);
    for path in cores.filter_map(|core| site.path(core.run, core.path)) {
        negatives.join(along_with_data(path));
    }
    negatives
}

/// Data from one unit, power from another, and nothing between them: what
/// feeds the device, and the two groups of units that are apart.
fn told_apart(
    negatives: &mut Negatives,
    fed: &DeviceFigures,
    bus: BusId,
) -> Option<(OutputId, [usize; 2])> {
    let &power = fed.fed_by.first()?;
    let own = negatives.of(bus.unit);
    let joined = |output: &OutputId| negatives.of(output.unit) == own;
    let apart = !fed.fed_by.iter().any(joined);
    apart.then(|| (power, [own, negatives.of(power.unit)]))
}
