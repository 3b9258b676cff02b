//! What the thing under the cursor means, and its figures.
//!
//! `page` sets the type. The other files each say one sort of thing: `site`
//! the site and what is in it, `unit` panels and supplies with their batteries,
//! outputs and buses, `zone` loops, `model` products, `number` amounts, and
//! `word` the notation itself.

mod model;
mod number;
mod page;
mod site;
#[cfg(test)]
mod tests;
mod unit;
mod word;
mod zone;

use std::ops::Range;

use bellwire_plan::model::{Place as BusPlace, Terminal};
use bellwire_plan::source::Span;
use bellwire_plan::workspace::{Entry, View};

use crate::Place;
pub(crate) use model::model;
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
    let (span, markdown) = terminal(&place)
        .or_else(|| named(view, entry, &place))
        .or_else(|| written(&place))
        .or_else(|| leg(&place))
        .or_else(|| number::number(&place))
        .or_else(|| word::word_at(&place))?;
    Some(Hover {
        range: place.range(span),
        markdown,
    })
}

/// The terminal whose last part is under the cursor: `aux` of `main.aux`.
fn terminal(place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site.as_ref()?;
    let figures = &place.evaluation.figures;
    let points = site.runs.iter().flat_map(|run| &run.paths);
    let ends = points
        .flat_map(|path| &path.points)
        .flat_map(|point| &point.value)
        .copied();
    let inputs = site.zones.iter().filter_map(|zone| zone.input);
    let end = ends
        .chain(inputs)
        .find(|end| end.span.touches(place.offset))?;
    let text = place.item.text(end.span);
    let first = text.split('.').next().unwrap_or("").len() as u32;
    if text.contains('.') && place.offset <= end.span.start + first {
        return None;
    }
    let markdown = match end.value {
        Terminal::Output(unit, output) => unit::output(site, figures, unit, output),
        Terminal::Bus(unit, bus) => unit::terminal_bus(site, figures, unit, bus),
        Terminal::PanelInput(..) | Terminal::DeviceInput(..) => {
            zone::input(site, figures, end.value)
        }
        Terminal::Device(_) | Terminal::Joint(_) | Terminal::Unknown => None,
    }?;
    Some((end.span, markdown))
}

/// The name under the cursor.
fn named(view: &View, entry: &Entry, place: &Place) -> Option<(Span, String)> {
    let used = place.name()?;
    let target = &used.target;
    let markdown = if target.item.id == place.item.id
        && let Some(site) = &place.evaluation.site
    {
        let figures = &place.evaluation.figures;
        let at = target.span;
        let find = |spans: &mut dyn Iterator<Item = Span>| {
            let mut spans = spans.enumerate();
            spans.find(|(_, span)| *span == at).map(|(id, _)| id)
        };
        if site.name.as_ref().is_some_and(|name| name.span == at) {
            Some(site::site(site, figures))
        } else if let Some(id) = find(&mut site.units.iter().map(|unit| unit.name.span)) {
            unit::unit(site, figures, id)
        } else if let Some(id) = find(&mut site.devices.iter().map(|device| device.name.span)) {
            site::device(site, figures, id)
        } else if let Some(id) = find(&mut site.runs.iter().map(|run| run.name.span)) {
            site::run(site, figures, id)
        } else if let Some(id) = find(&mut site.joints.iter().map(|joint| joint.name.span)) {
            site::joint(site, id)
        } else if let Some(id) = find(&mut site.zones.iter().map(|zone| zone.number.span)) {
            zone::zone(site, figures, id)
        } else {
            site::partition(site, at)
        }
    } else if target.item.declared().name == Some(target.span) {
        declared(view, entry, target)
    } else {
        inside_model(place, used.span)
    }?;
    Some((used.span, markdown))
}

/// A model, a rule set, a monitoring centre.
fn declared(view: &View, entry: &Entry, target: &bellwire_plan::source::Spot) -> Option<String> {
    if target.item.model().is_some() {
        return Some(model(&target.item));
    }
    if target.item.rules().is_some() {
        return Some(model::rules(&view.scope(entry), &target.item));
    }
    Some(model::other(&target.item))
}

/// Something of a model that a site names: a bus, a loop, a sound.
fn inside_model(place: &Place, span: Span) -> Option<String> {
    let site = place.evaluation.site.as_ref()?;
    let figures = &place.evaluation.figures;
    for (id, unit) in site.units.iter().enumerate() {
        if let Some(bus) = unit.buses.iter().position(|bus| bus.name.span == span) {
            return unit::bus(site, figures, id, bus);
        }
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
fn leg(place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site.as_ref()?;
    let figures = &place.evaluation.figures;
    for (run, plan) in site.runs.iter().enumerate() {
        for (path, way) in plan.paths.iter().enumerate() {
            let mut legs = way.legs.iter();
            let Some(leg) = legs.position(|leg| leg.span.touches(place.offset)) else {
                continue;
            };
            let span = way.legs.get(leg)?.span;
            let mut known = figures.legs(run);
            let found = known.find(|found| (found.path, found.leg) == (path, leg))?;
            let units = number::number(place).map(|(_, units)| units);
            return Some((span, site::leg(site, found, units.as_deref())));
        }
    }
    None
}

/// Addresses and batteries, which have no names.
fn written(place: &Place) -> Option<(Span, String)> {
    let site = place.evaluation.site.as_ref()?;
    let figures = &place.evaluation.figures;
    for device in &site.devices {
        if let Some(address) = device.address.filter(|at| at.span.touches(place.offset)) {
            let lines = site::place(site, device, device.kind, address.value)?;
            return Some((address.span, lines.join("\\\n")));
        }
        for also in &device.also {
            if let BusPlace::Address(at) = also.place
                && at.span.touches(place.offset)
            {
                let lines = site::place(site, device, also.kind, at.value)?;
                return Some((at.span, lines.join("\\\n")));
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
