//! A run of cable: what it carries over how many cores, what each leg loses.

use super::along::Along;
use super::{Part, Working, fixed, known, short, titled};
use crate::figures::{Cut, Figures, LegFigures, State, below, conductor, cuts, ohms_per_metre_of};
use crate::model::{RunId, Site};

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
    let cable = site.runs.get(id).and_then(|run| run.cable());
    if let Some(cores) = cable.and_then(|cable| cable.cores) {
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
        let carried = leg.states[state].as_ref().ok();
        part.row([
            name(leg.from),
            name(leg.to),
            along.length(leg.metres),
            known(per_metre, |ohms| along.ohms(ohms, 1)),
            fixed(leg.ohms, 3),
            known(carried.map(|of| of.amperes), |amperes| fixed(amperes, 3)),
            known(carried.map(|of| of.drop), |lost| fixed(lost, 3)),
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

/// Where a run's resistance comes from.
pub(super) fn cable(site: &Site, run: RunId, part: &mut Part) {
    let Some(run) = site.runs.get(run) else {
        return;
    };
    let name = run.cable_name.as_ref().map_or("", |name| &name.value);
    let Some(cable) = run.cable() else {
        return;
    };
    let along = Along::of(site);
    if let Some(ohms) = cable.resistance {
        part.note(format!(
            "{name}: {} as the model says, at the site's own temperature.",
            along.full_ohms(ohms, 1)
        ));
    } else if let Some((conductor, celsius)) = conductor(cable).zip(site.warmest()) {
        let resistance = conductor.resistance(celsius);
        part.note(format!(
            "{name}: {} at {} ({}), x {} for {}, the warmest of the site ({}).",
            along.full_ohms(resistance.at_20, 2),
            along.temperature(20.0),
            resistance.source(),
            fixed(resistance.temperature_factor, 4),
            along.temperature(celsius),
            resistance.temperature_source(),
        ));
    }
    if run.doubled.is_some() {
        part.note(format!(
            "{} is doubled: two cores side by side, so half of that.",
            run.name.value
        ));
    }
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
            known(cut.volts, |volts| fixed(volts, 3)),
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
