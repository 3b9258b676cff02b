//! Zones: an input that their panel reads and that no other has, and a cable from it to their
//! detectors.

use super::case::Case;
use super::inputs::{Inputs, check_runs, no_such_input};
use super::loops::Reading;
use super::mend::inputs::InputMender;
use super::mend::loops::LoopMender;
use super::mend::moves::Mover;
use super::wrong_inputs::{OtherCable, check_shared};
use crate::figures::ZoneFigures;
use crate::finding::{Code, Finding};
use crate::model::{At, Site, Terminal, Zone};
use crate::sentence::list;

/// Checks the zones of a site, and the inputs that they or its runs name.
pub(super) fn check(case: &Case, mover: &mut Mover, findings: &mut Vec<Finding>) {
    let Case {
        site,
        figures,
        given,
        ..
    } = case;
    let mut inputs = InputMender::new(site, figures);
    check_shared(site, &mut inputs, findings);
    check_runs(site, |input| inputs.zone_of(input).is_some(), findings);
    for (id, zone) in site.zones.iter().enumerate() {
        let Some(input) = zone.input else { continue };
        let there = Inputs::of(site, input.value);
        if let Some(there) = there.filter(|there| !there.has(input.value)) {
            let other = inputs.other_input(id, input);
            findings.push(no_such_input(site, zone, input, &there, other));
            continue;
        }
        if let Some(elsewhere) = of_another_panel(site, zone, input) {
            findings.push(elsewhere);
            continue;
        }
        let Some(own) = figures.zone(id) else {
            continue;
        };
        if let Some(unreached) = unreached(site, zone, input, own) {
            match OtherCable::of(site, id, input, &mut inputs) {
                OtherCable::None => findings.push(unreached),
                OtherCable::ToldThere => {}
                OtherCable::Found(finding) => findings.push(finding),
            }
        }
        if inputs.zone_of(input.value) == Some(id) {
            findings.extend(second_way(site, input.value, own));
        }
        if let Some(model) = &zone.loop_model {
            let reading = Reading {
                site,
                zone,
                model,
                figures: own,
            };
            let mender = LoopMender {
                id,
                reading: &reading,
                figures,
            };
            findings.extend(reading.check(|| mender.mend(given, mover)));
        }
    }
}

/// An input that another panel reads than the one that has the zone: its own, or that of an
/// expander on its bus.
fn of_another_panel(site: &Site, zone: &Zone, input: At<Terminal>) -> Option<Finding> {
    let reads = match input.value {
        Terminal::PanelInput(unit, _) => unit,
        Terminal::DeviceInput(device, _) => site.devices.get(device)?.bus?.unit,
        _ => return None,
    };
    if reads == zone.unit {
        return None;
    }
    let (own, other) = (site.units.get(zone.unit)?, site.units.get(reads)?);
    let message = format!(
        "zone {number} is one of {own}, and {input} is read by {other}: write the zone in {other}, or give it an input of {own}.",
        number = zone.number.value,
        own = own.name.value,
        other = other.name.value,
        input = site.terminal_name(input.value),
    );
    let finding = Finding::new(Code::InputMissing, input.span, message);
    Some(finding.with(site.spot(other.name.span), "the panel that reads it"))
}

/// Two cables to one place of a loop.
fn second_way(site: &Site, input: Terminal, own: &ZoneFigures) -> Option<Finding> {
    let second = own.second_way?;
    let path = site.path(second.run, second.path)?;
    // The end that is no terminal of the loop's input.
    let ends = [second.leg + 1, second.leg].map(|point| path.points.get(point));
    let mut ends = ends.into_iter().flatten().flat_map(|point| &point.value);
    let at = ends.find(|at| matches!(at.value, Terminal::Device(_) | Terminal::Joint(_)))?;
    let message = format!(
        "the loop of {} reaches {} over two routes, the second in {}: a break in one of them goes unseen, and it is worked out over the shorter. Take one out, or name the other input, detector or joint that is meant.",
        site.terminal_name(input),
        site.terminal_name(at.value),
        site.runs.get(second.run)?.name.value,
    );
    Some(Finding::new(Code::WiredTwice, at.span, message))
}

fn unreached(
    site: &Site,
    zone: &Zone,
    input: At<Terminal>,
    figures: &ZoneFigures,
) -> Option<Finding> {
    if site.paths_unread {
        return None;
    }
    let names: Vec<&str> = figures
        .unreached
        .iter()
        .filter_map(|device| site.devices.get(*device))
        .filter(|device| device.has_contact() != Some(false))
        .map(|device| device.name.value.as_str())
        .collect();
    let first = names.first()?;
    let called = site.terminal_name(input.value);
    let message = format!(
        "no cable leads from {called} to {}, which zone {} reads: add a run, `{called} {} {first}` for one.",
        list(&names),
        zone.number.value,
        site.measures().example("--10 m--"),
    );
    Some(Finding::new(Code::InputMissing, input.span, message))
}
