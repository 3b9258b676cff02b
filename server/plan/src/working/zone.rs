//! What an input sees: the cable and the resistors in each condition, and what
//! wrong resistors would do.

use super::along::Along;
use super::{Part, Working, titled};
use crate::decimal;
use crate::figures::{ConditionFigures, ConditionKind, Figures, ZoneFigures, loop_conditions};
use crate::library;
use crate::model::{ContactModel, DeviceId, LoopModel, Meaning, Site, Zone, ZoneId};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, id: ZoneId) -> Option<Working> {
    let zone = site.zones.get(id)?;
    let own = figures.zone(id)?;
    let input = zone.input.map(|input| site.terminal_name(input.value));
    let mut title = titled(
        &format!("zone {}", zone.number.value),
        zone.label.as_deref(),
    );
    title += &format!(", read by {}", input.unwrap_or_default());
    let (Some(cable), Some(model)) = (own.cable_ohms, &zone.loop_model) else {
        let mut part = Part::sum("The loop");
        part.note("The loop, its cable or the route to its detectors is not written yet, so there is no sum.");
        return Some(Working {
            title,
            parts: vec![part],
        });
    };
    let mut parts = vec![
        resistances(site, zone, model, cable),
        seen(site, zone, model, own),
    ];
    parts.extend(wrong_resistors(site, zone, model, cable));
    Some(Working { title, parts })
}

/// What adds up in the loop.
fn resistances(site: &Site, zone: &Zone, model: &LoopModel, cable: f64) -> Part {
    let mut part = Part::sum(format!("In loop `{}`", model.name.value));
    part.line("cable", "out and back", ohms(cable));
    if let Some(end) = model.end {
        part.line("resistor at the end", within(model), ohms(end.value));
    }
    if let Some(contact) = model.contact {
        part.line(
            "resistor at each alarm contact",
            within(model),
            ohms(contact.value),
        );
    }
    for (name, contact) in contacts(site, zone) {
        part.line(
            format!("contact of {name}"),
            "while it is closed",
            ohms(contact.ohms),
        );
    }
    let warmest = site.warmest().map(|warmest| {
        let warmest = Along::of(site).temperature(warmest);
        format!("The cable counts at {warmest}, the warmest of the site.")
    });
    let resistors = (model.end.is_some() || model.contact.is_some()).then(|| {
        format!(
            "Resistors are within {}{}.",
            in_usual_unit(model.tolerance(), Dimension::Share),
            match (&model.resistors, model.own_tolerance) {
                (_, Some(_)) => ", as the loop says".to_string(),
                (Some(series), None) => format!(", the tolerance of {}", series.value),
                (None, None) => " unless the loop says otherwise (E96 of IEC 60063)".to_string(),
            }
        )
    });
    let notes: Vec<String> = warmest.into_iter().chain(resistors).collect();
    if !notes.is_empty() {
        part.note(notes.join(" "));
    }
    part
}

/// What the input sees in each condition.
fn seen(site: &Site, zone: &Zone, model: &LoopModel, own: &ZoneFigures) -> Part {
    let columns = [
        "condition",
        "what lies in the loop",
        " least",
        " most",
        "reads",
    ];
    let mut part = Part::new("What the input sees, ohms", &columns);
    for (called, condition) in own.in_words(site) {
        let reads = condition.reads.map_or("nothing", Meaning::name).to_string();
        part.row([
            called,
            made_of(site, zone, model, condition),
            decimal::ohms(condition.least),
            decimal::ohms(condition.most),
            reads,
        ]);
    }
    for window in &model.reads {
        let to = match window.to.is_finite() {
            true => format!("{} to {}", ohms(window.from), ohms(window.to)),
            false => format!("{} and more", ohms(window.from)),
        };
        part.note(format!("`{}` is {to}.", window.means.name()));
    }
    part
}

fn ohms(value: f64) -> String {
    in_usual_unit(value, Dimension::Resistance)
}

fn within(model: &LoopModel) -> String {
    format!(
        "within {}",
        in_usual_unit(model.tolerance(), Dimension::Share)
    )
}

/// Contacts that resist something while closed.
fn contacts<'a>(
    site: &'a Site,
    zone: &'a Zone,
) -> impl Iterator<Item = (&'a str, &'a ContactModel)> {
    let devices = zone.from.iter().filter_map(|at| site.devices.get(at.value));
    devices
        .filter_map(|device| Some((device, device.model()?)))
        .flat_map(|(device, model)| {
            let resisting = model.contacts.iter().filter(|contact| contact.ohms > 0.0);
            resisting.map(|contact| (device.name.value.as_str(), contact))
        })
}

/// A condition in words; as a sum where it is one.
fn made_of(site: &Site, zone: &Zone, model: &LoopModel, condition: &ConditionFigures) -> String {
    let end = model.end.map_or("", |_| " + end");
    let through = match contacts(site, zone).any(|(_, contact)| contact.closed) {
        true => " + contacts",
        false => "",
    };
    match condition.kind {
        _ if condition.least == f64::INFINITY => "open".to_string(),
        ConditionKind::Normal => format!("cable{end}{through}"),
        ConditionKind::Short => format!("up to the cable{through}"),
        kind => {
            let is_sum = through.is_empty() && model.contact.is_some();
            match added(site, zone, kind).filter(|_| is_sum) {
                Some(1) => format!("cable{end} + contact"),
                Some(count) => format!("cable{end} + {count} x contact"),
                None => "cable, contacts".to_string(),
            }
        }
    }
}

/// How many resistors an alarm adds to the loop: one at each contact that opens. `None` if
/// one closes instead, which lies beside the end then.
fn added(site: &Site, zone: &Zone, kind: ConditionKind) -> Option<usize> {
    let opens = |device: DeviceId| {
        let model = site.devices.get(device).and_then(|device| device.model());
        let contacts = model.into_iter().flat_map(|model| &model.contacts);
        let alarms = contacts.filter(|contact| !contact.tamper);
        alarms.map(|contact| contact.closed)
    };
    let actuated: Vec<bool> = match kind {
        ConditionKind::Alarm(contact) => {
            let one = opens(contact.detector).nth(contact.number - 1);
            one.into_iter().collect()
        }
        ConditionKind::AllAlarms => zone.from.iter().flat_map(|at| opens(at.value)).collect(),
        _ => return None,
    };
    let all = !actuated.is_empty() && actuated.iter().all(|opens| *opens);
    all.then_some(actuated.len())
}

/// What common resistors at the end would make of the quiet loop.
fn wrong_resistors(site: &Site, zone: &Zone, model: &LoopModel, cable: f64) -> Option<Part> {
    let end = model.end?;
    let reads = |ohms: f64| {
        let other = LoopModel {
            end: Some(end.map(|_| ohms)),
            ..model.clone()
        };
        let conditions = loop_conditions(site, zone, &other, cable)?;
        let mut conditions = conditions.into_iter();
        let quiet = conditions.find(|figures| figures.kind == ConditionKind::Normal)?;
        Some(quiet.reads.map_or("nothing", Meaning::name))
    };
    let (name, series) = match (&model.resistors, model.series()) {
        (Some(name), Some(series)) => (name.value.as_str(), series.clone()),
        _ => ("E12", library::series("E12")?),
    };
    let mut spans: Vec<(f64, f64, &'static str)> = Vec::new();
    for value in series.values(100.0, 99_999.0) {
        let reads = reads(value)?;
        match spans.last_mut() {
            Some((_, to, known)) if *known == reads => *to = value,
            _ => spans.push((value, value, reads)),
        }
    }
    let mut part = Part::new(
        format!("If another resistor of {name} were fitted at the end"),
        &["resistor", "the quiet loop reads"],
    );
    for (from, to, reads) in spans {
        let range = match from == to {
            true => ohms(from),
            false => format!("{} to {}", ohms(from), ohms(to)),
        };
        part.row([range, reads.to_string()]);
    }
    Some(part)
}
