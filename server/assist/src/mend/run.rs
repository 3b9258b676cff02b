//! A run for a device, or the detectors of a zone, that no cable reaches; its lengths left to
//! fill in.

use std::sync::Arc;

use bellwire_circuit::Draw;
use bellwire_plan::figures::{Figures, has_data};
use bellwire_plan::model::{
    CableModel, DeviceId, ModelData, OutputId, Run, Scope, Site, Terminal, UnitId, Zone,
};
use bellwire_plan::sentence::list;
use bellwire_plan::source::Item;
use bellwire_plan::vocabulary::{Context, Space, words};
use bellwire_plan::workspace::{Entry, Located, View};

use super::{Proposal, edit, start_of};
use crate::edit::line_break;
use crate::parts::{Part, declared_at};
use crate::walk::evaluation;

/// Adds a run to the device that a finding is about, behind the other runs.
pub(super) fn to_device(view: &View, entry: &Entry, found: &Located) -> Option<Proposal> {
    let evaluation = evaluation(entry, found.item.as_ref()?)?;
    let site = evaluation.site()?;
    let Part::Device(id) = declared_at(site, found.finding.span)? else {
        return None;
    };
    let device = site.devices.get(id)?;
    let figures = evaluation.figures();
    let feed = feed(site, figures, id)?;
    // Power over two routes would join what feeds it.
    let data_only = match feed {
        Terminal::Bus(_) if is_fed(figures, id) => ", carries data",
        _ => "",
    };
    let skeleton = Skeleton {
        from: feed,
        clauses: data_only,
        to: vec![&device.name.value],
    };
    skeleton.proposal(view, entry, site, start_of(entry, found)?)
}

/// Adds a run from the input of the zone that a finding is about to those of its detectors
/// that no cable of it reaches.
pub(super) fn to_detectors(view: &View, entry: &Entry, found: &Located) -> Option<Proposal> {
    let evaluation = evaluation(entry, found.item.as_ref()?)?;
    let site = evaluation.site()?;
    let at = |zone: &Zone| zone.input.is_some_and(|at| at.span == found.finding.span);
    let id = site.zones.iter().position(at)?;
    let unreached = &evaluation.figures().zone(id)?.unreached;
    let devices = unreached.iter().filter_map(|id| site.devices.get(*id));
    let to: Vec<&str> = devices.map(|device| &*device.name.value).collect();
    let skeleton = Skeleton {
        from: site.zones.get(id)?.input?.value,
        clauses: "",
        to: Some(to).filter(|to| !to.is_empty())?,
    };
    skeleton.proposal(view, entry, site, start_of(entry, found)?)
}

/// A run without its lengths.
struct Skeleton<'a> {
    from: Terminal,
    clauses: &'a str,
    /// The devices that it leads to, one after the other.
    to: Vec<&'a str>,
}

impl Skeleton<'_> {
    /// Adds it behind the other runs of the site, which starts at `start`.
    fn proposal(&self, view: &View, entry: &Entry, site: &Site, start: usize) -> Option<Proposal> {
        let from = site.terminal_name(self.from);
        let cable = cable(view, entry, site, self.from)?;
        let word = words(Context::Site).find(|word| word.opens == Some(Context::Run))?;
        let name = free_name(site, self.to.first()?);
        let text = format!(
            "{} {name} : {cable}{} {{ {from} -- -- {} }}",
            word.name,
            self.clauses,
            self.to.join(" -- -- ")
        );
        let last = site.runs.iter().map(|run| run.span);
        let last = last.max_by_key(|span| span.end)?;
        let added = format!("{}  {text}", line_break(&entry.file));
        let title = format!("Add a run from {from} to {}", list(&self.to));
        let mut proposal = Proposal::new(title, vec![edit(start, last.after(), added)]);
        proposal.unfinished = true;
        Some(proposal)
    }
}

/// The cable of a run that has the cores: one that starts at the same place, or else the last.
/// Where no run has them, a cable like the last run's that does.
fn cable(view: &View, entry: &Entry, site: &Site, feed: Terminal) -> Option<String> {
    // A bus has two cores of data too.
    let cores = match feed {
        Terminal::Bus(..) => 4,
        _ => 2,
    };
    let fits = |cable: &CableModel| cable.cores.is_some_and(|has| has >= cores);
    let runs = site.runs.iter().rev();
    let mut fitting = runs.filter(|run| run.cable().is_some_and(fits));
    let known = fitting.clone().find(|run| starts_at(run, feed));
    if let Some(run) = known.or_else(|| fitting.next()) {
        return Some(run.cable_name.as_ref()?.value.clone());
    }
    let last = site.runs.last()?;
    match with_more_cores(view, entry, last, fits) {
        Some(item) => Some(item.name()?.to_string()),
        None => Some(last.cable_name.as_ref()?.value.clone()),
    }
}

/// Of the cables like a run's, the one with the fewest cores that fits.
fn with_more_cores(
    view: &View,
    entry: &Entry,
    run: &Run,
    fits: impl Fn(&CableModel) -> bool,
) -> Option<Arc<Item>> {
    let now = run.cable()?;
    let cores = |item: &Arc<Item>| match &item.model()?.data {
        ModelData::Cable(cable) if fits(cable) => {
            let own = (
                cable.conductor,
                cable.metal,
                cable.strands,
                cable.resistance,
            );
            let like = own == (now.conductor, now.metal, now.strands, now.resistance);
            cable.cores.filter(|_| like)
        }
        _ => None,
    };
    let known = view.scope(entry).all(Space::Model).into_iter();
    known
        .filter_map(|item| Some((cores(&item)?, item)))
        .min_by_key(|(cores, _)| *cores)
        .map(|(_, item)| item)
}

/// Whether something feeds a device.
fn is_fed(figures: &Figures, id: DeviceId) -> bool {
    figures.device(id).is_some_and(|own| !own.fed_by.is_empty())
}

/// Where what a device lacks comes from: its bus, or, if it has its data, an output; one that is
/// on in alarm only for a device that draws only then, or whose trigger hangs on nothing.
fn feed(site: &Site, figures: &Figures, id: DeviceId) -> Option<Terminal> {
    let device = site.devices.get(id)?;
    let fed = figures.device(id).filter(|own| !own.fed_by.is_empty());
    let trigger = fed.and_then(|own| own.trigger.as_ref());
    let untriggered = trigger.is_some_and(|trigger| trigger.by.is_empty());
    let bus = device.bus.filter(|_| !untriggered);
    if let Some(bus) = bus.map(|bus| site.bus_id(bus)) {
        let bus = bus?;
        if !has_data(site, figures, id, bus) {
            return Some(Terminal::Bus(bus));
        }
    }
    let quiet = Draw::Amperes(0.0);
    let model = device.model()?;
    let only_in_alarm = match model.has_trigger {
        true => untriggered,
        false => model.standby == Some(quiet),
    };
    let outputs = |unit: UnitId| {
        let model = site.units.get(unit).and_then(|unit| unit.model());
        model.map_or(&[][..], |model| &model.outputs)
    };
    let find = |in_alarm: bool| {
        (0..site.units.len()).find_map(|unit| {
            let mut outputs = outputs(unit).iter();
            let index = outputs.position(|output| output.in_alarm == in_alarm)?;
            Some(Terminal::Output(OutputId { unit, index }))
        })
    };
    let found = find(only_in_alarm);
    match model.has_trigger {
        true => found,
        false => found.or_else(|| find(!only_in_alarm)),
    }
}

fn starts_at(run: &Run, feed: Terminal) -> bool {
    let mut points = run.paths.iter().filter_map(|path| path.points.first());
    points.any(|point| point.value.iter().any(|at| at.value == feed))
}

/// A name for a run that no other has.
fn free_name(site: &Site, device: &str) -> String {
    let taken = |name: &str| site.runs.iter().any(|run| run.name.value == name);
    let first = format!("to-{device}");
    if !taken(&first) {
        return first;
    }
    let mut names = (2..).map(|number| format!("{first}-{number}"));
    names.find(|name| !taken(name)).unwrap_or(first)
}
