//! Zones on an input that is not theirs: one that another zone has, or another than that on whose
//! cable their detectors lie.

use super::inputs::Inputs;
use super::mend::inputs::InputMender;
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, Site, Terminal, Zone, ZoneId};
use crate::sentence::list;

/// Tells of zones on one input.
pub(super) fn check_shared(site: &Site, mender: &mut InputMender, findings: &mut Vec<Finding>) {
    let inputs = site.zones.iter().enumerate();
    let inputs = inputs.filter_map(|(id, zone)| Some((id, zone.input?.value)));
    let shared = inputs.filter_map(|(id, input)| Some((mender.zone_of(input)?, id)));
    let shared: Vec<_> = shared.filter(|(first, second)| first != second).collect();
    for (first, second) in shared {
        let lies_there = |id: ZoneId| {
            let zone = site.zones.get(id)?;
            let (laid, input) = (mender.inputs_along(zone), zone.input?);
            (!laid.is_empty()).then(|| laid.contains(&input.value))
        };
        // The first stays, unless only the second's cable is there.
        let stays = lies_there(first) != Some(false) || lies_there(second) != Some(true);
        for (own, other, moves) in [(first, second, !stays), (second, first, stays)] {
            let mender = moves.then_some(&mut *mender);
            findings.extend(both_on_one(site, own, other, mender));
        }
    }
}

/// Of two zones on one input only one is to move, or they might meet again.
fn both_on_one(
    site: &Site,
    own: ZoneId,
    other: ZoneId,
    mender: Option<&mut InputMender>,
) -> Option<Finding> {
    let (zone, other) = (site.zones.get(own)?, site.zones.get(other)?);
    let (input, elsewhere) = (zone.input?, other.input?);
    let moved = mender.map(|mender| mender.other_input(own, input));
    let (hint, mend) = moved.unwrap_or_default();
    let message = format!(
        "zones {} and {} are both read by {}.{hint}",
        zone.number.value,
        other.number.value,
        site.terminal_name(input.value),
    );
    let spot = site.spot(elsewhere.span);
    let related = format!("zone {} has it", other.number.value);
    let finding = Finding::new(Code::InputTaken, input.span, message);
    Some(finding.with(spot, related).mended_by(mend))
}

/// What is told of a zone whose detectors its input's cable does not reach.
pub(super) enum OtherCable {
    /// They lie on no other input's cable, or not all on one.
    None,
    /// They lie on one that was proposed for the zone, or on that of another zone, whose own lie
    /// on this one's cable: told there.
    ToldThere,
    /// They lie on that of one other.
    Found(Finding),
}

impl OtherCable {
    /// Whether the detectors of a zone lie on the cable of another input. Of two zones on each
    /// other's cable only the first is told.
    pub fn of(
        site: &Site,
        own: ZoneId,
        input: At<Terminal>,
        mender: &mut InputMender,
    ) -> OtherCable {
        let Some(zone) = site.zones.get(own) else {
            return OtherCable::None;
        };
        let [laid] = mender.inputs_along(zone)[..] else {
            return OtherCable::None;
        };
        let was_put_there = laid != input.value && mender.zone_of(laid) == Some(own);
        // That the cable names no input is told there.
        let is_none = Inputs::of(site, laid).is_some_and(|inputs| !inputs.has(laid));
        if was_put_there || is_none {
            return OtherCable::ToldThere;
        }
        let has_it = |(_, other): &(ZoneId, &Zone)| other.input.is_some_and(|at| at.value == laid);
        let Some((id, other)) = site.zones.iter().enumerate().find(has_it) else {
            let mend = mender.put_on(own, input, laid);
            return OtherCable::Found(on_no_zones(site, zone, input, laid).mended_by(mend));
        };
        if mender.inputs_along(other) != [input.value] {
            return OtherCable::None;
        }
        if id < own {
            return OtherCable::ToldThere;
        }
        exchanged(site, zone, other, laid).map_or(OtherCable::None, OtherCable::Found)
    }
}

/// Detectors on the cable of an input that no zone has.
fn on_no_zones(site: &Site, zone: &Zone, input: At<Terminal>, laid: Terminal) -> Finding {
    let message = format!(
        "{}, and zone {} is read by {}: put the zone on that input, or lead the cable to this one.",
        lie_on(site, zone, laid),
        zone.number.value,
        site.terminal_name(input.value),
    );
    Finding::new(Code::InputMissing, input.span, message)
}

/// Two zones whose detectors lie on each other's cable.
fn exchanged(site: &Site, zone: &Zone, other: &Zone, laid: Terminal) -> Option<Finding> {
    let (input, elsewhere) = (zone.input?, other.input?);
    let (first, second) = (zone.number.value, other.number.value);
    let message = format!(
        "zones {first} and {second} are on each other's cable: {}, which zone {second} is read by. Exchange their inputs, or the cables at the terminals.",
        lie_on(site, zone, laid),
    );
    let text = |at: At<Terminal>| site.item.text(at.span).to_string();
    let mend = (zone.unit == other.unit).then(|| Mend {
        title: format!("Exchange the inputs of zones {first} and {second}"),
        edits: vec![(input.span, text(elsewhere)), (elsewhere.span, text(input))],
    });
    let finding = Finding::new(Code::InputMissing, input.span, message);
    let spot = site.spot(elsewhere.span);
    Some(finding.with(spot, "the other one").mended_by(mend))
}

/// Where the detectors of a zone lie: `a and b lie on the cable of main.3`.
fn lie_on(site: &Site, zone: &Zone, laid: Terminal) -> String {
    let detectors = zone.from.iter();
    let detectors = detectors.filter_map(|detector| site.devices.get(detector.value));
    let names: Vec<&str> = detectors.map(|device| device.name.value.as_str()).collect();
    let verb = match names.len() {
        1 => "lies",
        _ => "lie",
    };
    let input = site.terminal_name(laid);
    format!("{} {verb} on the cable of {input}", list(&names))
}
