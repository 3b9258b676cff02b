//! Runs of cable, their legs, and joints.

use bellwire_plan::figures::{Figures, LegFigures};
use bellwire_plan::model::{JointId, Path, RunId, Site, Terminal};

use super::page::{Page, code, ohms};
use crate::amounts::{amperes, length, measured};

/// A run: its legs with what they carry.
pub(super) fn run(site: &Site, figures: &Figures, id: RunId) -> Option<String> {
    let run = site.runs.get(id)?;
    let cable = run
        .cable_name
        .as_ref()
        .map_or(String::new(), |cable| format!(" of {}", code(&cable.value)));
    let doubled = if run.doubled.is_some() {
        ", doubled"
    } else {
        ""
    };
    let mut page = Page::of(
        &run.name.value,
        run.label.as_deref(),
        &format!("run{cable}{doubled}"),
    );
    let rows: Vec<Vec<String>> = figures
        .legs_of(id)
        .iter()
        .map(|leg| {
            let name = |end| code(&site.terminal_name(end));
            let worst = leg
                .states
                .solved()
                .map(|(_, carried)| carried)
                .max_by(|a, b| a.drop.abs().total_cmp(&b.drop.abs()));
            vec![
                format!("{} – {}", name(leg.from), name(leg.to)),
                length(leg.metres, site.measures_of_leg(leg.run, leg.path, leg.leg)),
                match figures.is_negative(leg) {
                    true => format!("{}, one core", ohms(leg.ohms)),
                    false => ohms(leg.ohms),
                },
                worst.map_or("–".to_string(), |state| amperes(state.amperes.abs())),
                worst.map_or("–".to_string(), |state| measured(state.drop.abs())),
            ]
        })
        .collect();
    let mut legs = figures.legs_of(id).iter();
    let resists = match legs.any(|leg| figures.is_negative(leg)) {
        true => "resists",
        false => "both cores",
    };
    page.table(&["", "length", resists, "at most", "drop"], &rows);
    let total: f64 = figures.legs_of(id).iter().map(|leg| leg.metres).sum();
    if rows.len() > 1 {
        page.add(format!("{} in all", length(total, site.measures())));
    }
    page.note_at(&site.item, run.span);
    Some(page.finish())
}

/// A stretch of cable: what it resists, and what is lost on it.
/// `below` stands below its figures.
pub(super) fn leg(
    site: &Site,
    figures: &Figures,
    leg: &LegFigures,
    below: [Option<String>; 2],
) -> String {
    let name = |end| site.terminal_name(end);
    let cores = match figures.is_negative(leg) {
        true => "one core",
        false => "both cores",
    };
    let long = length(leg.metres, site.measures_of_leg(leg.run, leg.path, leg.leg));
    let mut page = Page::of(
        &format!("{} – {}", name(leg.from), name(leg.to)),
        None,
        &format!("{long}, {} {cores}", ohms(leg.ohms)),
    );
    page.states(&["", "drop", "carries"], &leg.states, |state| {
        vec![measured(state.drop), amperes(state.amperes)]
    });
    for below in below.into_iter().flatten() {
        page.add(below);
    }
    page.finish()
}

/// A joint.
pub(super) fn joint(site: &Site, id: JointId) -> Option<String> {
    let joint = site.joints.get(id)?;
    let mut page = Page::of(&joint.name.value, joint.label.as_deref(), "joint");
    if let Some(added) = joint.ohms.filter(|ohms| *ohms > 0.0) {
        page.add(format!("Adds {} to each core", ohms(added)));
    }
    let runs: Vec<String> = site
        .runs
        .iter()
        .filter(|run| {
            let mut terminals = run.paths.iter().flat_map(Path::terminals);
            terminals.any(|at| at.value == Terminal::Joint(id))
        })
        .map(|run| code(&run.name.value))
        .collect();
    if !runs.is_empty() {
        page.add(format!("Joins {}", runs.join(", ")));
    }
    page.note_at(&site.item, joint.span);
    Some(page.finish())
}
