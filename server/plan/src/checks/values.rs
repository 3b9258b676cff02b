//! Values that nothing real has. Which gauges cable comes in is common practice.

use std::sync::Arc;

use crate::finding::{Code, Finding, Severity};
use crate::model::Site;
use crate::model::read::{At, Words};
use crate::source::{Item, Span, ValueKind};
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the values of a model.
pub(super) fn check(item: &Arc<Item>, findings: &mut Vec<Finding>) {
    let words = Words::root(item);
    let mut wrong = |span: Span, message: String| {
        findings.push(Finding::new(Code::WrongKind, span, message));
    };
    let volts = |words: Words| words.amount(Dimension::Voltage);
    let outputs: Vec<At<f64>> = words.all("output").filter_map(volts).collect();
    for output in outputs.iter().filter(|output| output.value == 0.0) {
        wrong(
            output.span,
            "an output of 0 V feeds nothing: write what it gives on mains".to_string(),
        );
    }
    let highest = outputs.iter().map(|output| output.value).reduce(f64::max);
    let cutoff = words.get("cutoff").and_then(volts);
    if let Some((cutoff, highest)) = cutoff.zip(highest)
        && cutoff.value > highest
        && highest > 0.0
    {
        let message = format!(
            "a battery is not cut off at {} where no output gives more than {}: write the voltage at its end",
            in_usual_unit(cutoff.value, Dimension::Voltage),
            in_usual_unit(highest, Dimension::Voltage),
        );
        wrong(cutoff.span, message);
    }
    let listed = words
        .all("values")
        .flat_map(|line| line.statement.arguments.iter());
    for value in listed {
        if let ValueKind::Quantity(quantity) = value.kind
            && quantity.number.value <= 0.0
        {
            let message = "a resistor value is above zero: take this one out".to_string();
            wrong(value.span, message);
        }
    }
    let conductor = words.get("conductor").and_then(|words| words.any_amount());
    if let Some(At { value, span }) = conductor
        && value.dimension == Dimension::Gauge
        && !GAUGES.contains(&value.value)
    {
        wrong(
            span,
            format!("there is no {}: gauges go from 0000 to 40", item.text(span)),
        );
    }
}

/// A temperature of a site that nothing has, or no site.
pub(super) fn check_site(site: &Site, findings: &mut Vec<Finding>) {
    let ambient = Words::root(&site.item).get("ambient");
    let range = ambient.and_then(|words| words.range(Dimension::Temperature));
    let Some(At { value, span }) = range else {
        return;
    };
    let ends = [value.0, value.1];
    let mut known = ends.into_iter().filter(|end| end.is_finite());
    if known.clone().any(|end| end < ABSOLUTE_ZERO) {
        let message = format!("there is no temperature below {ABSOLUTE_ZERO} °C");
        findings.push(Finding::new(Code::WrongKind, span, message));
    } else if let Some(end) = known.find(|end| !LIVEABLE.contains(end)) {
        let message = format!(
            "no site is at {}: is the unit right? All cable and every battery is worked out at that.",
            in_usual_unit(end, Dimension::Temperature)
        );
        let mut finding = Finding::new(Code::WrongKind, span, message);
        finding.severity = Severity::Warning;
        findings.push(finding);
    }
}

/// °C.
const ABSOLUTE_ZERO: f64 = -273.15;

/// °C, between which equipment and cable of the trade stand: common practice, with room to spare.
const LIVEABLE: std::ops::RangeInclusive<f64> = -60.0..=100.0;

/// From 0000, which counts as -3, to 40.
const GAUGES: std::ops::RangeInclusive<f64> = -3.0..=40.0;
