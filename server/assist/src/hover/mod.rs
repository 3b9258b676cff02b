//! What the thing under the cursor means, and its figures.
//!
//! `page` writes Markdown. Each of the other files is about one sort of thing:
//! `site` the site and its partitions, `unit` panels and supplies with their
//! batteries, outputs and buses, `device` devices, `cable` runs and joints, `reach` how
//! long a leg could be, `zone` zones and loops, `model` products and rule sets, `file` what a `use` brings,
//! `number` amounts, and `word` the notation itself.

mod cable;
mod device;
mod file;
mod model;
mod number;
mod page;
mod reach;
mod site;
#[cfg(test)]
mod tests;
mod unit;
mod word;
mod zone;

use std::ops::Range;

use bellwire_plan::model::{Place as BusPlace, Terminal};
use bellwire_plan::source::{Span, Spot};
use bellwire_plan::workspace::{Entry, View};

use crate::parts::{Part, declared_at, terminal_at};
use crate::place::Place;
pub(crate) use model::model;
use page::together;
pub(crate) use word::word;

/// What is shown for the thing under the cursor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hover {
    /// The bytes of the file that it is about.
    pub range: Range<usize>,
    /// What it says.
    pub markdown: String,
}

/// What is known of the thing at a byte offset of a file.
pub fn hover(view: &View, entry: &Entry, offset: usize) -> Option<Hover> {
    let place = Place::at(entry, offset)?;
    let (span, markdown) = file::used(view, entry, offset)
        .or_else(|| terminal(&place))
        .or_else(|| named(view, entry, &place))
        .or_else(|| written(&place))
        .or_else(|| leg(view, entry, &place))
        .or_else(|| number::number(&place))
        .or_else(|| word::word_at(&place))?;
    Some(Hover {
        range: place.range(span),
        markdown,
    })
}

/// The terminal whose last part is under the cursor: `aux` of `main.aux`.
fn terminal(place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site()?;
    let figures = place.evaluation.figures();
    let end = terminal_at(site, place.offset)?;
    let markdown = match end.value {
        Terminal::Output(output) => unit::output(site, figures, output),
        Terminal::Bus(bus) => unit::bus(site, figures, site.bus_block(bus)?),
        Terminal::PanelInput(..) | Terminal::DeviceInput(..) => {
            zone::input(site, figures, end.value)
        }
        Terminal::Device(_) | Terminal::Joint(_) | Terminal::Unknown => None,
    }?;
    Some((end.span, markdown))
}

/// The name under the cursor.
fn named(view: &View, entry: &Entry, place: &Place) -> Option<(Span, String)> {
    let found = place.name()?;
    let target = &found.target;
    let markdown = if target.item.id == place.item.id
        && let Some(site) = place.evaluation.site()
    {
        let figures = place.evaluation.figures();
        match declared_at(site, target.span)? {
            Part::Site => Some(site::site(site, figures)),
            Part::Unit(id) => unit::unit(site, figures, id),
            Part::Device(id) => device::device(site, figures, id),
            Part::Run(id) => cable::run(site, figures, id),
            Part::Joint(id) => cable::joint(site, id),
            Part::Zone(id) => zone::zone(site, figures, id),
            Part::Partition(unit, index) => site::partition(site, unit, index),
        }
    } else if target.item.declared().name == Some(target.span) {
        declared(view, entry, place, target)
    } else {
        inside_model(place, found.span)
    }?;
    Some((found.span, markdown))
}

/// A model, a rule set, a monitoring centre.
fn declared(view: &View, entry: &Entry, place: &Place, target: &Spot) -> Option<String> {
    if target.item.model().is_some() {
        return Some(model(&target.item, place.item.measures()));
    }
    if target.item.rules().is_some() {
        return Some(model::rules(&view.scope(entry), &target.item));
    }
    Some(model::other(&target.item))
}

/// Something of a model that a site names: a bus, a loop, a sound.
fn inside_model(place: &Place, span: Span) -> Option<String> {
    let site = place.evaluation.site()?;
    let figures = place.evaluation.figures();
    if let Some((block, _)) = site.buses().find(|(_, bus)| bus.name.span == span) {
        return unit::bus(site, figures, block);
    }
    let mut zones = site.zones.iter();
    let zone = zones.find(|zone| {
        zone.loop_name
            .as_ref()
            .is_some_and(|name| name.span == span)
    })?;
    Some(zone::loop_of(zone.loop_model.as_ref()?))
}

/// The stretch of cable under the cursor.
fn leg(view: &View, entry: &Entry, place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site()?;
    let figures = place.evaluation.figures();
    for (run, plan) in site.runs.iter().enumerate() {
        for (id, path) in plan.paths.iter().enumerate() {
            let mut legs = path.legs.iter();
            let Some(leg) = legs.position(|leg| leg.span.touches(place.offset)) else {
                continue;
            };
            let span = path.legs.get(leg)?.span;
            let mut known = figures.legs_of(run).iter();
            let found = known.find(|found| (found.path, found.leg) == (id, leg))?;
            let units = number::number(place).map(|(_, units)| units);
            let measures = site.measures_of_leg(found.run, found.path, found.leg);
            let reach = reach::line(view, entry, place, (span, found.metres), measures);
            let below = [reach, units];
            return Some((span, cable::leg(site, figures, found, below)));
        }
    }
    None
}

/// Addresses and batteries, which have no names.
fn written(place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site()?;
    let figures = place.evaluation.figures();
    for device in &site.devices {
        if let Some(address) = device.address.filter(|at| at.span.touches(place.offset)) {
            let lines = device::place(site, device, device.kind, address.value)?;
            return Some((address.span, together(lines)));
        }
        for also in &device.also {
            if let BusPlace::Address(at) = also.place
                && at.span.touches(place.offset)
            {
                let lines = device::place(site, device, also.kind, at.value)?;
                return Some((at.span, together(lines)));
            }
        }
    }
    let (statement, _) = *place.words().last()?;
    let keyword = statement
        .keyword
        .filter(|span| span.touches(place.offset))?;
    let mut units = site.units.iter();
    let id = units.position(|unit| {
        let battery = unit.battery.as_ref();
        battery.is_some_and(|battery| battery.span.start == statement.span.start)
    })?;
    Some((keyword, unit::battery(site, figures, id)?))
}
