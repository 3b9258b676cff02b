//! Zones, inputs and loops: what an input sees.

use bellwire_plan::figures::Figures;
use bellwire_plan::model::{At, LoopModel, Meaning, Site, Terminal, ZoneId};
use bellwire_plan::working::{Subject, working};

use super::page::{Page, code, escaped, ohms};
use crate::amounts::{between, share};
use crate::parts::loops_of;

/// A zone: the ohms of its loop in each condition.
pub(super) fn zone(site: &Site, figures: &Figures, id: ZoneId) -> Option<String> {
    let zone = site.zones.get(id)?;
    let input = zone
        .input
        .map(|input| format!(" on {}", code(&site.terminal_name(input.value))));
    let wired = zone
        .loop_model
        .as_ref()
        .map(|model| format!(", loop {}", code(&model.name.value)));
    let what = ["zone".to_string()].into_iter().chain(input).chain(wired);
    let mut page = Page::of(
        &format!("Zone {}", zone.number.value),
        zone.label.as_deref(),
        &what.collect::<String>(),
    );
    if let Some(found) = figures.zone(id) {
        let conditions = found.in_words(site).into_iter();
        let rows: Vec<Vec<String>> = conditions
            .map(|(called, condition)| {
                vec![
                    escaped(&called),
                    between(ohms(condition.least), ohms(condition.most)),
                    condition.reads.map_or("–", Meaning::name).to_string(),
                ]
            })
            .collect();
        page.table(&["condition", "the input sees", "reads"], &rows);
        if let Some(working) = working(site, figures, Subject::Zone(id)) {
            page.sum(&working);
        }
        let unreached: Vec<String> = found
            .unreached
            .iter()
            .filter_map(|device| Some(code(&site.devices.get(*device)?.name.value)))
            .collect();
        if !unreached.is_empty() {
            page.add(format!("No cable reaches {}", unreached.join(", ")));
        }
    }
    let from: Vec<String> = zone
        .from
        .iter()
        .filter_map(|at| Some(code(&site.devices.get(at.value)?.name.value)))
        .collect();
    if !from.is_empty() {
        page.add(format!("From {}", from.join(", ")));
    }
    page.note_at(&site.item, zone.span);
    Some(page.finish())
}

/// An input: its zone, or what it could read.
pub(super) fn input(site: &Site, figures: &Figures, input: Terminal) -> Option<String> {
    let mut zones = site.zones.iter();
    let own = zones.position(|zone| zone.input.is_some_and(|at| at.value == input));
    if let Some(id) = own {
        return zone(site, figures, id);
    }
    let loops: Vec<String> = loops_of(site, input)?
        .into_iter()
        .map(|model| code(&model.name.value))
        .collect();
    let mut page = Page::of(&site.terminal_name(input), None, "input, of no zone yet");
    if !loops.is_empty() {
        page.add(format!("Reads loops {}", loops.join(", ")));
    }
    Some(page.finish())
}

/// A way to wire a loop: its resistors and windows.
pub(super) fn loop_of(model: &LoopModel) -> String {
    let mut page = Page::of(&model.name.value, None, "loop");
    let resistor = |what: &str, at: Option<At<f64>>| {
        at.map_or(String::new(), |at| format!("{what} {}", ohms(at.value)))
    };
    page.lines([
        resistor("Resistor at the end", model.end),
        resistor("Resistor across each alarm contact", model.contact),
        format!("Tolerance {}", share(model.tolerance())),
    ]);
    let rows: Vec<Vec<String>> = model
        .reads
        .iter()
        .map(|reads| {
            vec![
                reads.means.name().to_string(),
                ohms(reads.from),
                ohms(reads.to),
            ]
        })
        .collect();
    page.table(&["reads", "from", "to"], &rows);
    page.finish()
}
