//! Values that nothing real has, or that a centre has not given out. Which gauges cable comes in is common practice.

use std::sync::Arc;

use crate::finding::{Code, Finding, Severity};
use crate::model::read::{At, Words};
use crate::model::{Report, Site};
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
    for span in nothings(words) {
        let text = item.text(span);
        let message = format!("{text} is none at all: write what the product's sheet says");
        wrong(span, message);
    }
    let draws = ["standby", "alarm", "trigger"].map(|word| words.get(word));
    for draw in draws.into_iter().flatten() {
        if let Some(At { value, span }) = draw.any_amount()
            && value.dimension == Dimension::Resistance
            && value.value == 0.0
        {
            let message = "a draw of 0 ohm is a short circuit: write what the product's sheet says";
            wrong(span, message.to_string());
        }
    }
    let loops = words.all("inputs").flat_map(|inputs| inputs.all("loop"));
    let of_loops = loops.filter_map(|of| of.get("tolerance"));
    for tolerance in of_loops.chain(words.get("tolerance")) {
        if let Some(At { value, span }) = tolerance.amount(Dimension::Share)
            && value >= 1.0
        {
            let message = format!(
                "a resistor that may be off by {} may be none at all: write a share below 100 %",
                item.text(span)
            );
            wrong(span, message);
        }
    }
}

/// Amounts of nothing where a product has some.
fn nothings<'a>(words: Words<'a>) -> impl Iterator<Item = Span> + 'a {
    const SOME: &[(&str, Dimension)] = &[
        ("conductor", Dimension::Area),
        ("voltage", Dimension::Voltage),
        ("life", Dimension::Time),
        ("mains", Dimension::Power),
        ("mains", Dimension::Current),
    ];
    let own = SOME.iter().filter_map(move |&(word, dimension)| {
        let amount = words.get(word)?.any_amount()?;
        (amount.value.dimension == dimension).then_some((amount.value.value, amount.span))
    });
    let capacities = words.all("capacity").flat_map(|line| {
        let over = line.get("over").and_then(|over| over.any_amount());
        let amounts = line.any_amount().into_iter().chain(over);
        amounts.map(|amount| (amount.value.value, amount.span))
    });
    let all = own.chain(capacities);
    all.filter(|(value, _)| *value == 0.0).map(|(_, span)| span)
}

/// Checks the values of a rule set.
pub(super) fn check_rules(words: Words, findings: &mut Vec<Finding>) {
    let mut wrong = |span: Span, message: String| {
        findings.push(Finding::new(Code::WrongKind, span, message));
    };
    let headroom = words.get("headroom");
    if let Some(At { value, span }) = headroom.and_then(|words| words.amount(Dimension::Share))
        && value >= 1.0
    {
        let message = format!(
            "with {} kept free nothing is left to use: write a share below 100 %",
            words.text(span)
        );
        wrong(span, message);
    }
    if let Some(At { value, span }) = words.get("ageing").and_then(|words| words.number())
        && value < 1.0
    {
        let message = format!(
            "an ageing factor of {value} asks for less than is drawn: write 1.25 for a quarter more, or 1 for none"
        );
        wrong(span, message);
    }
    let to = words.get("recharge").and_then(|words| words.get("to"));
    if let Some(At { value, span }) = to.and_then(|words| words.amount(Dimension::Share))
        && (value > 1.0 || value == 0.0)
    {
        let message = format!(
            "a battery is not charged to {}: write a share up to 100 %",
            words.text(span)
        );
        wrong(span, message);
    }
}

/// Checks the values of a site: those of its own rule set, accounts that its
/// centre has not given out, and a temperature that nothing has, or no site.
pub(super) fn check_site(site: &Site, findings: &mut Vec<Finding>) {
    let words = Words::root(&site.item);
    if let Some(rules) = words.get("rules") {
        check_rules(rules, findings);
    }
    findings.extend(site.reports.iter().filter_map(not_given_out));
    let ambient = words.get("ambient");
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

/// An account that is none of those that the centre has given out.
fn not_given_out(report: &Report) -> Option<Finding> {
    let (account, centre) = (report.account?, report.monitoring.as_ref()?);
    let given = Words::root(centre).get("accounts")?.count_range()?.value;
    if (given.0..=given.1).contains(&account.value) || given.0 > given.1 {
        return None;
    }
    let message = format!(
        "{} has given out accounts {} to {}, and {} is none of them: mend the number, or the centre's `accounts`.",
        report.centre.value, given.0, given.1, account.value
    );
    Some(Finding::new(Code::WrongKind, account.span, message))
}

/// °C.
const ABSOLUTE_ZERO: f64 = -273.15;

/// °C, between which equipment and cable of the trade stand: common practice, with room to spare.
const LIVEABLE: std::ops::RangeInclusive<f64> = -60.0..=100.0;

/// From 0000, which counts as -3, to 40.
const GAUGES: std::ops::RangeInclusive<f64> = -3.0..=40.0;
