//! What a model says that can hardly be meant: values that are swapped, counted
//! otherwise, or another's.

use std::sync::Arc;

use bellwire_circuit::Draw;

use crate::decimal::short;
use crate::figures::{above, below, conductor};
use crate::finding::{Code, Finding, Mend};
use crate::model::{
    At, BusModel, CableModel, DeviceModel, DrawsAt, InputsModel, Model, ModelData, UnitModel,
};
use crate::sentence::count;
use crate::source::{Item, Span};
use crate::vocabulary::Dimension;

/// Doubts what a model says.
pub(super) fn check(item: &Arc<Item>, model: &Model, findings: &mut Vec<Finding>) {
    match &model.data {
        ModelData::Unit(unit) => {
            let draws = unit.standby.zip(unit.alarm).zip(unit.draws_at);
            findings.extend(draws.and_then(|(draws, at)| less_in_alarm(item, draws, at, "")));
            for bus in &unit.buses {
                findings.extend(farther_than_all(item, bus));
                findings.extend(in_alarm(unit, bus));
                findings.extend(bus.addresses_alone.map(|number| alone("address", number)));
            }
            findings.extend(unit.inputs.iter().filter_map(inputs));
            findings.extend(too_strong(item, unit));
            findings.extend(unit.mains.and_then(|rating| alternating(item, rating)));
        }
        ModelData::Device(device) => {
            if !rests_in_alarm(model, device) {
                let draws = device.standby.zip(device.alarm).zip(device.draws_at);
                let or = match model.kind.name {
                    "sounder" | "beacon" => OWN_BATTERY,
                    _ => "",
                };
                findings.extend(draws.and_then(|(draws, at)| less_in_alarm(item, draws, at, or)));
            }
            findings.extend(device.inputs.iter().filter_map(inputs));
        }
        ModelData::Cable(cable) => {
            findings.extend(colours(item, model, cable));
            findings.extend(both_conductors(item, cable));
        }
        ModelData::Battery(_) | ModelData::Series(_) => {}
    }
}

/// Whether a device may well draw less in alarm: what holds a relay while all is quiet, as
/// detectors and fail-safe relays do, lets go of it then, and what has a trigger may sound on a
/// battery of its own (common practice).
fn rests_in_alarm(model: &Model, device: &DeviceModel) -> bool {
    matches!(model.kind.name, "detector" | "relay") || device.has_trigger
}

/// What else may be meant by a sounder that draws less in alarm.
const OWN_BATTERY: &str = " If it works from a battery of its own then, say what its trigger draws, `trigger 5 mA` for one.";

/// A draw that is less in alarm than in standby; with what else may be meant.
fn less_in_alarm(
    item: &Item,
    (standby, alarm): (Draw, Draw),
    at: DrawsAt,
    or: &str,
) -> Option<Finding> {
    // What says that it draws nothing then means it.
    let less = match (standby, alarm) {
        (Draw::Amperes(standby), Draw::Amperes(alarm))
        | (Draw::Watts(standby), Draw::Watts(alarm)) => alarm > 0.0 && below(alarm, standby),
        (Draw::Ohms(standby), Draw::Ohms(alarm)) => above(alarm, standby),
        _ => false,
    };
    let said = || {
        format!(
            "it draws less in alarm, {}, than in standby, {}",
            item.text(at.alarm),
            item.text(at.standby)
        )
    };
    let is_unit = matches!(standby, Draw::Amperes(amperes) if amperes > MOST_AMPERES);
    less.then(|| match is_unit {
        true => Finding::doubt(at.standby, format!("{}: is the unit right?", said()))
            .mended_by(in_thousandths(item, at.standby)),
        false => {
            let swap = Mend::swap("Swap standby and alarm", item, at.standby, at.alarm);
            Finding::doubt(at.alarm, format!("{}: are the two swapped?{or}", said()))
                .mended_by(Some(swap))
        }
    })
}

/// What no product draws that a wired system feeds, in any state: milliamperes were meant.
const MOST_AMPERES: f64 = 10.0;

/// The same number in thousandths of its unit: `500 mA` for `500 A`.
fn in_thousandths(item: &Item, span: Span) -> Option<Mend> {
    let text = item.text(span);
    let unit = text.trim_start_matches(|c: char| !c.is_alphabetic());
    let number = text.strip_suffix(unit)?.trim_end();
    let meant = format!("{number} m{unit}");
    matches!(unit, "A" | "W").then(|| Mend {
        title: format!("Write `{meant}`"),
        edits: vec![(span, meant)],
    })
}

/// How many times the ampere-hours of its battery a charger's amperes may be: far more than any
/// is charged with, since the outputs have their share.
const MOST_TIMES_CAPACITY: f64 = 10.0;

/// A charger that no battery of the size that it may charge would bear.
fn too_strong(item: &Item, unit: &UnitModel) -> Option<Finding> {
    let (charger, most) = unit.charger.zip(unit.battery_max)?;
    above(charger.value, MOST_TIMES_CAPACITY * most.value).then(|| {
        let message = format!(
            "nothing charges a battery of up to {} with {}: is the unit right?",
            item.text(most.span),
            item.text(charger.span)
        );
        Finding::doubt(charger.span, message).mended_by(in_thousandths(item, charger.span))
    })
}

/// A bus on which a device may be farther than there may be cable.
fn farther_than_all(item: &Item, bus: &BusModel) -> Option<Finding> {
    let (all, longest) = (bus.length?, bus.longest?);
    let shown = |at: At<f64>| item.measures().in_usual_unit(at.value, Dimension::Length);
    above(longest.value, all.value).then(|| {
        let message = format!(
            "no device is {} away where {} of cable is all that the bus drives: are the two swapped?",
            shown(longest),
            shown(all)
        );
        let title = "Swap length and longest";
        let swap = Mend::swap(title, item, all.span, longest.span);
        Finding::doubt(longest.span, message).mended_by(Some(swap))
    })
}

/// A bus whose power is off in standby.
fn in_alarm(unit: &UnitModel, bus: &BusModel) -> Option<Finding> {
    let output = bus.power_in_alarm.as_ref()?;
    let mut always_on = unit.outputs.iter().filter(|output| !output.in_alarm);
    let mend = match (always_on.next(), always_on.next()) {
        (Some(only), None) => Some(Mend {
            title: format!("Feed it from {}", only.name.value),
            edits: vec![(output.span, only.name.value.clone())],
        }),
        _ => None,
    };
    let message = format!(
        "{} is on in alarm only, and what hangs on a bus works at all times: name an output that is always on",
        output.value
    );
    Some(Finding::new(Code::WrongKind, output.span, message).mended_by(mend))
}

/// A mains side by the volt-amperes of its transformer's plate.
fn alternating(item: &Item, rating: At<Draw>) -> Option<Finding> {
    let text = item.text(rating.span);
    let volt_amperes = text.strip_suffix("VA")?.trim_end();
    let Draw::Watts(watts) = rating.value else {
        return None;
    };
    let meant = format!("{} W", short(watts * WATTS_OF_VOLT_AMPERES, 1));
    let message = format!(
        "a transformer's VA are of alternating current: behind the rectifier about {meant} of {volt_amperes} VA can be drawn (common practice; the maker's own figure rules): say that instead"
    );
    Some(Finding::doubt(rating.span, message).mended_by(Some(Mend {
        title: format!("Write `{meant}`"),
        edits: vec![(rating.span, meant)],
    })))
}

/// What can be drawn behind a rectifier for each volt-ampere before it: common practice.
const WATTS_OF_VOLT_AMPERES: f64 = 0.6;

/// Inputs given by how many there are.
fn inputs(inputs: &InputsModel) -> Option<Finding> {
    Some(alone("input", inputs.alone?))
}

/// One number where the first and the last of all belong.
fn alone(thing: &str, number: At<u32>) -> Finding {
    let last = number.value;
    let message = format!(
        "the first and the last {thing} belong here: write `1 .. {last}` for {last} of them, or `{last} .. {last}` if there is only number {last}"
    );
    Finding::new(Code::WrongKind, number.span, message).mended_by(Some(Mend {
        title: format!("Write `1 .. {last}`"),
        edits: vec![(number.span, format!("1 .. {last}"))],
    }))
}

/// Colours for more cores than there are, or fewer.
fn colours(item: &Item, model: &Model, cable: &CableModel) -> Option<Finding> {
    let (at, name) = (cable.colours_at?, &model.name.value);
    let named = cable.colours.len();
    let colours = || count(named, "colour");
    if cable.cores_unsaid && cable.cores.is_none() {
        let message = format!(
            "{name} names {} and does not say how many cores it has: say so, `cores {named}`",
            colours()
        );
        let mend = Mend {
            title: format!("Give it {named} cores"),
            edits: vec![(item.root().head.after(), format!(", cores {named}"))],
        };
        return Some(Finding::new(Code::Missing, at, message).mended_by(Some(mend)));
    }
    let cores = cable.cores?;
    (named > 0 && u32::try_from(named) != Ok(cores)).then(|| {
        let message = format!(
            "{name} has {} and names {}: name one for each core",
            count(cores, "core"),
            colours(),
        );
        Finding::doubt(at, message)
    })
}

/// So far off, by ratio, a cable's resistance is not that of its conductor, whatever the
/// stranding and the temperature.
const FAR_OFF: f64 = 1.5;

/// What a sheet gives for a loop counts both conductors: by ratio, from and to.
const BOTH: std::ops::RangeInclusive<f64> = 1.8..=2.25;

/// The temperature at which tables give it, °C.
const TABLES: f64 = 20.0;

/// A resistance that is not that of the conductor that is named beside it.
fn both_conductors(item: &Item, cable: &CableModel) -> Option<Finding> {
    let (said, at) = cable.resistance.zip(cable.resistance_at)?;
    if cable.ohms_unread || cable.make_unread {
        return None;
    }
    let usual = conductor(cable)?.resistance(TABLES).ohms_per_metre;
    let ratio = said / usual;
    if !ratio.is_finite() || (1.0 / FAR_OFF..=FAR_OFF).contains(&ratio) {
        return None;
    }
    let shown = |ohms| {
        let measures = item.measures();
        measures.in_usual_unit(ohms, Dimension::ResistancePerLength)
    };
    let mend = BOTH.contains(&ratio).then(|| {
        let half = shown(said / 2.0);
        Mend {
            title: format!("Write `{half}`"),
            edits: vec![(at, half)],
        }
    });
    let hint = match &mend {
        Some(_) => "a sheet's loop resistance counts both conductors, and that of one belongs here",
        None => "is the unit right, the size, or the metal?",
    };
    let message = format!(
        "{} is {} times what such a conductor resists, {}: {hint}",
        shown(said),
        short(ratio, 2),
        shown(usual),
    );
    Some(Finding::doubt(at, message).mended_by(mend))
}
