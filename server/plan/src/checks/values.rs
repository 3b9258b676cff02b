//! Values of a site that nothing real has, that a centre has not given out, or that are there
//! twice. What a number must keep within wherever it stands is in the vocabulary.

use rustc_hash::FxHashMap;

use crate::decimal::short;
use crate::finding::{Code, Finding};
use crate::model::{At, Declaration, Report, Site};
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the values of a site: accounts that its centre has not given out or that it reports
/// twice, times that no way takes, and a temperature that nothing has, or no site.
pub(super) fn check(site: &Site, findings: &mut Vec<Finding>) {
    findings.extend(site.reports.iter().filter_map(not_given_out));
    reported_twice(site, findings);
    for zone in &site.zones {
        for time in [zone.entry, zone.exit].into_iter().flatten() {
            findings.extend(no_way_takes(time));
        }
    }
    let Some(span) = site.ambient_at else {
        return;
    };
    let mut ends = site.coldest().into_iter().chain(site.warmest());
    if ends.clone().any(|end| end < ABSOLUTE_ZERO) {
        let measures = site.measures();
        let least = short(measures.number(ABSOLUTE_ZERO, Dimension::Temperature), 2);
        let unit = measures.usual(Dimension::Temperature).name();
        let message = format!("there is no temperature below {least} {unit}");
        findings.push(Finding::new(Code::WrongKind, span, message));
    } else if let Some(end) = ends.find(|end| !LIVEABLE.contains(end)) {
        let message = format!(
            "no site is at {}: is the unit right? All cable and every battery is worked out at that.",
            site.measures().in_usual_unit(end, Dimension::Temperature)
        );
        findings.push(Finding::doubt(span, message));
    }
}

/// One account at one centre that the site names more than once.
fn reported_twice(site: &Site, findings: &mut Vec<Finding>) {
    let mut known: FxHashMap<(&str, u32), &Report> = FxHashMap::default();
    for again in &site.reports {
        let (Some(account), centre) = (again.account, &again.centre.value) else {
            continue;
        };
        let first = *known.entry((centre, account.value)).or_insert(again);
        if !std::ptr::eq(first, again) {
            let message = format!(
                "the site reports to {centre} with account {} already: take one of the two out",
                account.value
            );
            let finding = Finding::new(Code::Repeated, again.centre.span, message);
            findings.push(finding.with(site.spot(first.centre.span), "the first one"));
        }
    }
}

/// An account that is none of those that the centre has given out.
fn not_given_out(report: &Report) -> Option<Finding> {
    let (account, centre) = (report.account?, report.monitoring.as_ref()?);
    let Declaration::Monitoring(centre) = &centre.declared().what else {
        return None;
    };
    let given = centre.accounts?.value;
    if (given.0..=given.1).contains(&account.value) {
        return None;
    }
    let message = format!(
        "{} has given out accounts {} to {}, and {} is none of them: mend the number, or the centre's `accounts`.",
        report.centre.value, given.0, given.1, account.value
    );
    Some(Finding::new(Code::WrongKind, account.span, message))
}

/// A time to enter or leave that no panel gives.
fn no_way_takes(time: At<f64>) -> Option<Finding> {
    (time.value > LONGEST_WAY).then(|| {
        let message = format!(
            "nobody takes {} between the door and the keypad, and until then there is no alarm: is the unit right?",
            in_usual_unit(time.value, Dimension::Time)
        );
        Finding::doubt(time.span, message)
    })
}

/// Seconds. Panels count the way in seconds, up to some minutes (common practice); twice as much
/// is room to spare.
const LONGEST_WAY: f64 = 600.0;

/// °C.
const ABSOLUTE_ZERO: f64 = -273.15;

/// °C, between which equipment and cable of the trade stand: common practice, with room to spare.
const LIVEABLE: std::ops::RangeInclusive<f64> = -60.0..=100.0;
