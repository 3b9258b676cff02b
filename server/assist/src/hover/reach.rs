//! How long a stretch of cable could be before something no longer works.

use bellwire_plan::finding::Code;
use bellwire_plan::source::Span;
use bellwire_plan::vocabulary::{Dimension, Measures};
use bellwire_plan::workspace::{Entry, Located, View};

use super::page::code;
use crate::edit::{Edit, applied};
use crate::place::Place;

/// What the length of a cable may bring about.
const OF_LENGTH: [Code; 8] = [
    Code::VoltageLow,
    Code::CannotBeFed,
    Code::ReferenceShift,
    Code::BatteryShort,
    Code::BusTooLong,
    Code::BusCapacitance,
    Code::LoopMisread,
    Code::LoopAmbiguous,
];

/// So many devices at most: each length is tried out by working out the whole site.
const MOST_DEVICES: usize = 200;

/// So many times as long is as far as anybody would ask.
const FAR: u64 = 16;

/// `Could be up to 26 m; longer gives voltage-low at bed`. Nothing where the site has such a
/// finding already: what is wrong comes first, and more cable may make it worse untold.
pub(super) fn line(
    view: &View,
    entry: &Entry,
    place: &Place,
    leg: (Span, f64),
    measures: Measures,
) -> Option<String> {
    let site = place.evaluation.site()?;
    let (span, metres) = leg;
    let unit = measures.usual(Dimension::Length);
    let is_it = |found: &Located| {
        found.site.as_deref() == Some(site.called()) && OF_LENGTH.contains(&found.finding.code)
    };
    if site.devices.len() > MOST_DEVICES || view.findings(entry).iter().any(is_it) {
        return None;
    }
    let say = |long: u64| format!("{long} {}", unit.name());
    // What a length brings about: its code, and what it is told of.
    let wrong = |long: u64| {
        let edit = Edit {
            range: place.range(span),
            text: format!("--{}--", say(long)),
        };
        let tried = view.try_out(applied(&entry.file, &[edit]));
        let found = view.findings(&tried).into_iter().find(is_it)?;
        let at = tried.file.text().slice(found.range);
        Some(format!(
            "{} at {}",
            code(found.finding.code.name()),
            code(&at)
        ))
    };
    let now = unit.from_own_unit(metres).floor() as u64;
    let far = FAR * now.max(1);
    let Some(mut why) = wrong(far) else {
        return Some(format!("Could be more than {}", say(far)));
    };
    let (mut fits, mut fails) = (now, far);
    while fails - fits > 1 {
        let middle = fits + (fails - fits) / 2;
        match wrong(middle) {
            Some(other) => (fails, why) = (middle, other),
            None => fits = middle,
        }
    }
    Some(format!("Could be up to {}; longer gives {why}", say(fits)))
}
