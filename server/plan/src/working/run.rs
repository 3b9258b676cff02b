//! A run of cable: what it carries over how many cores, what each leg loses.

use super::along::Along;
use super::device::cable;
use super::{Part, Working, fixed, short, titled};
use crate::figures::{Cut, Figures, LegFigures, State, below, cuts, ohms_per_metre_of};
use crate::model::{JointId, RunId, Site, Terminal};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, id: RunId) -> Option<Working> {
    let run = site.runs.get(id)?;
    let mut title = titled(&run.name.value, run.label.as_deref());
    if let Some(name) = &run.cable_name {
        title += &format!(" : {}", name.value);
    }
    if run.doubled.is_some() {
        title += ", doubled";
    }
    let mut parts = vec![cores(site, figures, id)];
    let legs = figures.legs_of(id);
    match legs.is_empty() {
        true => {
            let mut part = Part::sum("Legs");
            part.note("No leg has both its length and its cable written yet.");
            parts.push(part);
        }
        false => parts.push(lost(site, figures, id, legs)),
    }
    let cuts = cuts(site, figures, id);
    if !cuts.is_empty() {
        parts.push(ring(site, &cuts));
    }
    Some(Working { title, parts })
}

fn cores(site: &Site, figures: &Figures, id: RunId) -> Part {
    let mut part = Part::new("What it carries", &["", " cores"]);
    let has = site.runs.get(id).and_then(|run| run.cable());
    for path in figures.paths_of(id) {
        let carries = &path.carries;
        let power = carries.power.iter();
        let power = power.map(|output| format!("power of {}", site.output_name(*output)));
        let data = carries.data.iter();
        let data = data.map(|bus| format!("data of {}", site.bus_name(*bus)));
        let loops = carries.loops.iter();
        let loops = loops.map(|input| format!("loop of {}", site.terminal_name(*input)));
        let negative = path.is_negative || path.with_negative;
        let negative = negative.then(|| "the negative between units".to_string());
        let all: Vec<String> = power.chain(data).chain(loops).chain(negative).collect();
        let what = match all.is_empty() {
            true => "nothing".to_string(),
            false => all.join(", "),
        };
        part.row([what, path.cores.to_string()]);
    }
    if let Some(cores) = has.and_then(|cable| cable.cores) {
        part.row(["the cable has".to_string(), cores.to_string()]);
    }
    part
}

fn lost(site: &Site, figures: &Figures, id: RunId, legs: &[LegFigures]) -> Part {
    let most = |state: State| {
        let drops = legs
            .iter()
            .filter_map(|leg| leg.states[state].as_ref().ok());
        drops.map(|leg| leg.drop.abs()).fold(0.0, f64::max)
    };
    let states = State::ALL.into_iter();
    // Of states alike the last one, in which the battery is at its end.
    let state = states.max_by(|a, b| most(*a).total_cmp(&most(*b)));
    let state = state.unwrap_or(State::BatteryAlarm);
    let along = Along::of(site);
    let [length, ohms] = &along.titles();
    let columns = ["from", "to", length, ohms, " ohm", " A", " V lost"];
    let mut part = Part::new(format!("Its legs, {}", state.phrase()), &columns);
    let run = site.runs.get(id);
    let per_metre = run.and_then(|run| ohms_per_metre_of(site, run));
    let name = |terminal| match site.terminal_name(terminal) {
        name if name.is_empty() => "?".to_string(),
        name => name,
    };
    for leg in legs {
        let (amperes, lost) = match &leg.states[state] {
            Ok(carried) => (fixed(carried.amperes, 3), fixed(carried.drop, 3)),
            Err(_) => ("?".to_string(), "?".to_string()),
        };
        part.row([
            name(leg.from),
            name(leg.to),
            along.length(leg.metres),
            per_metre.map_or("?".to_string(), |ohms| along.ohms(ohms, 1)),
            fixed(leg.ohms, 3),
            amperes,
            lost,
        ]);
    }
    let metres: f64 = legs.iter().map(|leg| leg.metres).sum();
    part.note(format!("{} in all.", along.full_length(metres)));
    let paths = figures.paths_of(id);
    if paths.iter().any(|path| !path.is_negative) {
        part.note(along.both_conductors());
    }
    if paths.iter().any(|path| path.is_negative) {
        part.note(format!(
            "Between negatives ohm is one core: {}.",
            along.sum()
        ));
    }
    for leg in legs {
        if let Err(why) = &leg.states[state] {
            part.note(format!("Not solved: {why}."));
        }
    }
    cable(site, id, &mut part);
    part
}

/// What a ring gives with each of its legs cut.
fn ring(site: &Site, cuts: &[Cut]) -> Part {
    let columns = ["cut from", "to", "worst off", " V", " needs", "state"];
    let mut part = Part::new("The ring with one leg cut", &columns);
    let mut ill = false;
    for cut in cuts {
        let Some(device) = site.devices.get(cut.device) else {
            continue;
        };
        let needs = device.model().and_then(|model| model.works);
        let needs = needs.map(|works| works.value.0);
        ill |= cut
            .volts
            .is_none_or(|volts| needs.is_some_and(|needs| below(volts, needs)));
        part.row([
            site.terminal_name(cut.from),
            site.terminal_name(cut.to),
            device.name.value.clone(),
            cut.volts.map_or("?".to_string(), |volts| fixed(volts, 3)),
            needs.map_or("-".to_string(), short),
            cut.state.short().to_string(),
        ]);
    }
    part.note(match ill {
        false => "Each device on it still has the volts that it works from, whichever leg is cut.",
        true => "With some leg cut, a device has less than it works from, or (?) cannot be fed.",
    });
    part
}

/// A joint: what meets in it, and what it adds.
pub(super) fn joint(site: &Site, figures: &Figures, id: JointId) -> Option<Working> {
    let joint = site.joints.get(id)?;
    let title = titled(&joint.name.value, joint.label.as_deref());
    let along = Along::of(site);
    let [length, _] = &along.titles();
    let mut part = Part::new("What meets in it", &["run", "to", length]);
    let here = Terminal::Joint(id);
    for leg in &figures.legs {
        let far = match (leg.from == here, leg.to == here) {
            (true, _) => leg.to,
            (_, true) => leg.from,
            _ => continue,
        };
        let run = site.runs.get(leg.run);
        part.row([
            run.map_or(String::new(), |run| run.name.value.clone()),
            site.terminal_name(far),
            along.length(leg.metres),
        ]);
    }
    part.note(match joint.ohms {
        Some(ohms) if ohms > 0.0 => format!(
            "It adds {} to each core that goes through; half of it counts with each cable end.",
            in_usual_unit(ohms, Dimension::Resistance)
        ),
        Some(_) => "It adds no resistance: write `resistance 50 mohm` if it does.".to_string(),
        None => "What it adds to each core cannot be read.".to_string(),
    });
    part.note("The power of different outputs stays apart in it.");
    Some(Working {
        title,
        parts: vec![part],
    })
}
