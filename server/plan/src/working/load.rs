//! What an output carries: device by device, against its limit.

use super::{Part, Working, amperes, fixed, known, short};
use crate::figures::{Figures, OutputFigures, State, above};
use crate::model::{OutputId, Site, Terminal};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, id: OutputId) -> Option<Working> {
    let own = figures.output(id)?;
    let (_, model) = site.output(id)?;
    let called = site.output_name(id);
    let volts = known(model.volts, short);
    let mut title = format!("{called}, {volts} V on mains");
    if model.in_alarm {
        title += ", on in alarm only";
    }
    let mut parts = vec![carried(site, figures, own, id)];
    parts.extend(against_limit(site, own));
    Some(Working { title, parts })
}

/// What it carries, device by device.
fn carried(site: &Site, figures: &Figures, own: &OutputFigures, id: OutputId) -> Part {
    let columns = ["", " mains", " in alarm", " battery", " in alarm"];
    let mut part = Part::new("What it carries, amperes", &columns);
    let mut shared = false;
    for device in &figures.devices {
        for tap in device.taps().filter(|tap| tap.outputs.contains(&id)) {
            shared |= tap.outputs.len() > 1;
            let mut name = site.terminal_name(Terminal::Device(device.device));
            if tap.is_trigger {
                name += " trigger";
            }
            let cells = in_each(|state| Some(tap.states[state].as_ref().ok()?.amperes));
            part.row([name].into_iter().chain(cells));
        }
    }
    let sum = in_each(|state| Some(own.states[state].as_ref().ok()?.amperes));
    part.row(["in all".to_string()].into_iter().chain(sum));
    if shared {
        part.note("A device that several outputs feed is listed whole; `in all` is this output's own share.");
    }
    for (state, solved) in own.states.iter() {
        if let Err(why) = solved {
            part.note(format!("No figures {}: {why}.", state.phrase()));
        }
    }
    part
}

/// Amperes in each state, as cells of the table.
fn in_each(amperes: impl Fn(State) -> Option<f64>) -> [String; 4] {
    State::ALL.map(|state| known(amperes(state), |amperes| fixed(amperes, 3)))
}

/// The most that it carries in any state, against its limit.
fn against_limit(site: &Site, own: &OutputFigures) -> Option<Part> {
    let limit = own.limit?;
    let carried = own.states.solved();
    let carried = carried.map(|(state, carried)| (state, carried.amperes));
    let (state, most) = carried.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let mut part = Part::sum("Against its limit");
    part.line("limit", "", amperes(limit));
    let mut left = limit;
    if let Some(share) = site.rules.set.headroom.filter(|share| *share > 0.0) {
        let rules = site.rules.called();
        let kept = limit * share;
        let sum = format!("{} of it, {rules}", in_usual_unit(share, Dimension::Share));
        part.line("kept free", sum, format!("- {}", amperes(kept)));
        left -= kept;
    }
    part.line("carried", state.phrase(), format!("- {}", amperes(most)));
    let verb = match above(most, left) {
        false => "left",
        true => "too much",
    };
    part.line(verb, "", amperes((left - most).abs()));
    Some(part)
}
