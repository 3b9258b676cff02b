//! Volts at a device: what the output gives, what each leg loses, what is left.

use super::along::Along;
use super::run::cable;
use super::{Part, Working, amperes, fixed, known, short, titled, volts};
use crate::figures::{
    DeviceFigures, Figures, RouteLeg, State, WhatIf, above, below, bus_of, ohms_per_metre_of,
};
use crate::model::{BusId, Device, DeviceId, OutputId, RunId, Site, Terminal};
use crate::sentence::capital;

pub(super) fn working(site: &Site, figures: &Figures, id: DeviceId) -> Option<Working> {
    let device = site.devices.get(id)?;
    let mut title = titled(&device.name.value, device.label.as_deref());
    if let Some(model) = &device.model_name {
        title += &format!(" : {}", model.value);
    }
    let Some(own) = figures.device(id) else {
        let mut part = Part::sum("Power");
        part.note("It draws nothing, so there is no sum.");
        return Some(Working {
            title,
            parts: vec![part],
        });
    };
    for tap in own.taps().filter(|tap| !tap.outputs.is_empty()) {
        let by: Vec<String> = tap.outputs.iter().map(|by| site.output_name(*by)).collect();
        title += &format!(", {} by {}", tap.how(), by.join(" and "));
    }
    let mut parts = vec![states(device, own)];
    if let Some(state) = deciding(device, own) {
        parts.extend(route(site, figures, own, device, state));
        parts.extend(shift(site, device, own, state));
    }
    Some(Working { title, parts })
}

fn states(device: &Device, own: &DeviceFigures) -> Part {
    let works = device.model().and_then(|model| model.works);
    let heading = match works.map(|works| works.value) {
        Some((least, most)) => format!("At its terminals (works {})", range(least, most)),
        None => "At its terminals".to_string(),
    };
    let mut part = Part::new(heading, &["", " volts", " lost", " amperes", ""]);
    for (state, solved) in own.states.iter() {
        match solved {
            Ok(got) => {
                let outside = works.is_some_and(|works| {
                    let (least, most) = works.value;
                    got.volts != 0.0 && (below(got.volts, least) || above(got.volts, most))
                });
                let cells = [got.volts, got.drop, got.amperes].map(|value| fixed(value, 3));
                let mark = match outside {
                    true => "outside",
                    false => "",
                };
                let row = [state.phrase().to_string()].into_iter().chain(cells);
                part.row(row.chain([mark.to_string()]));
            }
            Err(why) => part.note(format!("{}: {why}.", capital(state.phrase()))),
        }
    }
    part
}

/// A state in which it gets too much, or else the one that leaves it least.
fn deciding(device: &Device, own: &DeviceFigures) -> Option<State> {
    let works = device.model().and_then(|model| model.works);
    let too_much = |volts: f64| works.is_some_and(|works| above(volts, works.value.1));
    let over = own.states.solved().find(|(_, got)| too_much(got.volts));
    over.map(|(state, _)| state)
        .or_else(|| own.states.lowest().map(|(state, _)| state))
}

fn route(
    site: &Site,
    figures: &Figures,
    own: &DeviceFigures,
    device: &Device,
    state: State,
) -> Option<Part> {
    let got = own.states[state].as_ref().ok()?;
    let mut network = WhatIf::new(site, figures);
    let route = network.route(own.device, state)?;
    let lost: f64 = route.iter().map(|leg| leg.lost).sum();
    let along = Along::of(site);
    let [length, ohms] = &along.titles();
    let columns = ["from", "to", "run", length, ohms, " ohm", " A", " V lost"];
    let mut part = Part::new(format!("The route there, {}", state.phrase()), &columns);
    let output = route.first().map(|leg| leg.from);
    for leg in &route {
        part.row(row(site, leg, along));
    }
    let mut total = vec!["lost in all".to_string()];
    total.resize(columns.len() - 1, String::new());
    total.push(fixed(lost, 3));
    part.row(total);
    let given = got.volts + lost;
    let from = output.map_or("the output".to_string(), |from| site.terminal_name(from));
    part.note(format!(
        "{from} gives {}, less {} lost leaves {}.",
        volts(given),
        volts(lost),
        volts(got.volts)
    ));
    if let Some(note) = output.and_then(|from| battery_end(site, from, state)) {
        part.note(note);
    }
    if let Some(note) = in_hand(device, got.volts) {
        part.note(note);
    }
    part.note(along.both_conductors());
    let mut runs: Vec<RunId> = route.iter().map(|leg| leg.run).collect();
    runs.sort_unstable();
    runs.dedup();
    for run in runs {
        cable(site, run, &mut part);
    }
    if route.iter().any(|leg| leg.joint_ohms > 0.0) {
        part.note("Where a leg ends in a joint, half of the joint's resistance is in its ohm, of each core that goes through.");
    }
    if own.fed_by.len() > 1 || network.has_detour(own.device) {
        part.note("Power also arrives over other routes; the network is solved as a whole, and this is the shortest route through it.");
    }
    Some(part)
}

/// Where a battery at its end comes from: the unit's own cutoff, or the usual one.
fn battery_end(site: &Site, from: Terminal, state: State) -> Option<String> {
    let (Terminal::Output(OutputId { unit, .. }) | Terminal::Bus(BusId { unit, .. })) = from else {
        return None;
    };
    let unit = site.units.get(unit).filter(|_| state.is_battery())?;
    let name = &unit.name.value;
    Some(match unit.model()?.cutoff {
        Some(cutoff) => format!(
            "{name} disconnects its battery at {} V.",
            short(cutoff.value)
        ),
        None => format!(
            "The model of {name} says no `cutoff`, so its battery ends at 1.75 V a cell (common practice)."
        ),
    })
}

/// The volts between which it works; an end may be open.
fn range(least: f64, most: f64) -> String {
    match (least.is_finite(), most.is_finite()) {
        (true, true) => format!("{} V to {} V", short(least), short(most)),
        (true, false) => format!("from {} V", short(least)),
        _ => format!("up to {} V", short(most)),
    }
}

/// How far what it gets is from where it stops to work.
fn in_hand(device: &Device, got: f64) -> Option<String> {
    let (least, most) = device.model()?.works?.value;
    let name = &device.name.value;
    Some(if !least.is_finite() && !above(got, most) {
        let left = volts(most - got);
        format!("{name} works up to {} V: {left} in hand.", short(most))
    } else if below(got, least) {
        let lacks = volts(least - got);
        format!("{name} works from {} V: {lacks} too little.", short(least))
    } else if above(got, most) {
        let over = volts(got - most);
        format!("{name} works up to {} V: {over} too much.", short(most))
    } else {
        let left = volts(got - least);
        format!("{name} works from {} V: {left} in hand.", short(least))
    })
}

fn row(site: &Site, leg: &RouteLeg, along: Along) -> Vec<String> {
    let run = site.runs.get(leg.run);
    let per_metre = run.and_then(|run| ohms_per_metre_of(site, run));
    let name = run.map_or(String::new(), |run| match run.doubled {
        Some(_) => format!("{}, doubled", run.name.value),
        None => run.name.value.clone(),
    });
    let amperes = match leg.ohms > 0.0 {
        true => fixed(leg.lost / leg.ohms, 3),
        false => "-".to_string(),
    };
    vec![
        site.terminal_name(leg.from),
        site.terminal_name(leg.to),
        name,
        along.length(leg.metres),
        known(per_metre, |ohms| along.ohms(ohms, 1)),
        fixed(leg.ohms, 3),
        amperes,
        fixed(leg.lost, 3),
    ]
}

/// How far the negative is shifted, where the device is on a bus.
fn shift(site: &Site, device: &Device, own: &DeviceFigures, state: State) -> Option<Part> {
    let id = bus_of(site, device)?;
    let got = own.states[state].as_ref().ok()?;
    let called = site.bus_name(id);
    let mut part = Part::sum(format!("Its negative against that of {called}"));
    part.line(
        "shifted by",
        format!(
            "{} / 2, the negative's half of what is lost",
            volts(got.drop)
        ),
        volts(got.shift),
    );
    let limit = site.model_bus(id)?.1.shift;
    if let Some(limit) = limit {
        part.line("the bus allows", "", volts(limit.value));
    }
    part.note(format!("It draws {} there.", amperes(got.amperes)));
    Some(part)
}
