//! A run for a device that no cable reaches, its length left to fill in.

use bellwire_circuit::Draw;
use bellwire_plan::figures::Figures;
use bellwire_plan::model::{DeviceId, OutputId, Run, Site, Terminal, UnitId};
use bellwire_plan::vocabulary::{Context, words};
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, edit, start_of};
use crate::edit::line_break;
use crate::parts::{Part, declared_at};
use crate::walk::evaluation;

/// Adds a run to the device that a finding is about, behind the other runs.
pub(super) fn skeleton(entry: &Entry, found: &Located) -> Option<Proposal> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let evaluation = evaluation(entry, item)?;
    let site = evaluation.site()?;
    let Part::Device(id) = declared_at(site, found.finding.span)? else {
        return None;
    };
    let device = site.devices.get(id)?;
    let feed = feed(site, evaluation.figures(), id)?;
    let from = site.terminal_name(feed);
    // A bus has two cores of data too.
    let cores = if matches!(feed, Terminal::Bus(..)) {
        4
    } else {
        2
    };
    let has = |run: &Run| run.cable()?.cores;
    let fits = |run: &&Run| has(run).is_some_and(|has| has >= cores);
    let last = || site.runs.iter().rev();
    let cable = last()
        .find(|run| starts_at(site, run, &from))
        .or_else(|| last().find(fits))
        .or(site.runs.last())
        .and_then(|run| run.cable_name.as_ref())?;
    let word = words(Context::Site).find(|word| word.opens == Some(Context::Run))?;
    let name = free_name(site, &device.name.value);
    let text = format!(
        "{} {name} : {} {{ {from} -- -- {} }}",
        word.name, cable.value, device.name.value
    );
    let break_ = line_break(&entry.file);
    let last = site
        .runs
        .iter()
        .map(|run| run.span)
        .max_by_key(|span| span.end)?;
    let mut proposal = Proposal::new(
        format!("Add a run from {from} to {}", device.name.value),
        vec![edit(start, last.after(), format!("{break_}  {text}"))],
    );
    proposal.unfinished = true;
    Some(proposal)
}

/// Where a device's power comes from: its bus, or an output; one that is on in
/// alarm only for a device that draws only then, or whose trigger hangs on nothing.
fn feed(site: &Site, figures: &Figures, id: DeviceId) -> Option<Terminal> {
    let device = site.devices.get(id)?;
    let fed = figures.device(id).filter(|own| !own.fed_by.is_empty());
    let trigger = fed.and_then(|own| own.trigger.as_ref());
    let untriggered = trigger.is_some_and(|trigger| trigger.by.is_empty());
    if let Some(bus) = device.bus.filter(|_| !untriggered) {
        return Some(Terminal::Bus(site.bus_id(bus)?));
    }
    let quiet = Draw::Amperes(0.0);
    let model = device.model()?;
    let only_in_alarm = match model.trigger {
        Some(_) => untriggered,
        None => model.standby == Some(quiet),
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
    match model.trigger {
        Some(_) => found,
        None => found.or_else(|| find(!only_in_alarm)),
    }
}

fn starts_at(site: &Site, run: &Run, from: &str) -> bool {
    let points = run.paths.iter().filter_map(|path| path.points.first());
    points
        .flat_map(|point| &point.value)
        .any(|at| site.terminal_name(at.value) == from)
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
