//! Each finding where it belongs, and not where it does not.

mod battery;
mod cable;
mod doubts;
mod feet;
mod joins;
mod load;
mod loops;
mod models;
mod moves;
mod negatives;
mod partitions;
mod places;
mod power;
mod trouble;
mod unused;
mod volts;
mod wiring;
mod zones;

use expect_test::Expect;

use crate::checks::{Given, check, check_model, shape};
use crate::day::Day;
use crate::figures::figures;
use crate::figures::tests::Plan;
use crate::finding::{Code, Finding};
use crate::source::{Encoding, Item, Spot};
use crate::vocabulary::Space;
use std::sync::Arc;

const TODAY: Day = Day {
    year: 2025,
    month: 6,
    day: 1,
};

/// The findings of all sites and models of a text, each with its item.
fn findings_of(text: &str) -> (Plan, Vec<(Arc<Item>, Finding)>) {
    let plan = Plan::new(text);
    let mut all = Vec::new();
    for (_, item) in plan.file.items() {
        let mut findings = Vec::new();
        shape::check(item, &mut findings);
        all.extend(findings.into_iter().map(|finding| (item.clone(), finding)));
    }
    for item in crate::model::Scope::all(&plan, Space::Model) {
        let mut findings = Vec::new();
        if let Some(model) = item.model() {
            check_model(&item, model, &plan, &mut findings);
        }
        all.extend(findings.into_iter().map(|finding| (item.clone(), finding)));
    }
    for item in plan.sites() {
        let mut findings = Vec::new();
        let site = crate::model::resolve(&item, &plan, &mut findings);
        assert_eq!(findings, [], "the plan itself is wrong");
        let given = Given {
            today: TODAY,
            scope: &plan,
        };
        check(&site, &figures(&site), &given, &mut findings);
        findings.sort_by_key(|finding| (finding.span, finding.code));
        all.extend(findings.into_iter().map(|finding| (item.clone(), finding)));
    }
    (plan, all)
}

/// Models for all tests, on lines that the findings do not count.
fn models() -> &'static str {
    crate::figures::tests::power::MODELS
}

/// What is found in `site`, one finding a block; lines count from the first of
/// `models` if it has its own, or else from that of the site.
fn found(text: &str, only: &[Code], first_line: u32) -> String {
    let (plan, findings) = findings_of(text);
    let at = |spot: &Spot| {
        let range = plan.file.locate(spot).expect("a place in the file");
        let position = plan.file.text().position(range.start, Encoding::Utf8);
        let line = i64::from(position.line) - i64::from(first_line);
        if line < 0 {
            "model".to_string()
        } else {
            format!("{}:{}", line + 1, position.column + 1)
        }
    };
    let mut lines = String::new();
    for (item, finding) in &findings {
        if !only.is_empty() && !only.contains(&finding.code) {
            continue;
        }
        let spot = item.spot(finding.span);
        lines += &format!(
            "{} {} {}: {}\n",
            at(&spot),
            finding.code,
            finding.severity.name(),
            finding.message
        );
        for (spot, message) in &finding.related {
            lines += &format!("    {} {message}\n", at(spot));
        }
        if let Some(mend) = &finding.mend {
            lines += &format!("    > {}\n", mend.title);
            mends(text, &plan, &spot, finding, &findings);
        }
    }
    lines
}

/// Applies a mend; the finding must be gone and no other of its code come.
fn mends(text: &str, plan: &Plan, spot: &Spot, finding: &Finding, before: &[(Arc<Item>, Finding)]) {
    let mut edits = finding.mend.clone().expect("a mend").edits;
    edits.sort_by_key(|(span, _)| std::cmp::Reverse(*span));
    let mut mended = text.to_string();
    for (span, replacement) in edits {
        let spot = spot.item.spot(span);
        let range = plan.file.locate(&spot).expect("a place in the file");
        mended.replace_range(range, &replacement);
    }
    let count = |findings: &[(Arc<Item>, Finding)]| {
        // A device that the cable cannot feed is told of as that alone, whatever else it lacks.
        let kind = |code| match code {
            Code::CannotBeFed => Code::VoltageLow,
            code => code,
        };
        let codes = findings.iter().map(|(_, other)| kind(other.code));
        codes.filter(|code| *code == kind(finding.code)).count()
    };
    let unread = |findings: &[(Arc<Item>, Finding)]| {
        let codes = findings.iter().map(|(_, other)| other.code);
        codes
            .filter(|code| matches!(code, Code::Syntax | Code::Misplaced | Code::Missing))
            .count()
    };
    let after = findings_of(&mended).1;
    assert!(
        count(&after) < count(before) && unread(&after) <= unread(before),
        "{} is not mended by {:?}",
        finding.code,
        finding.mend
    );
}

/// Checks what a site, on the models of all tests, finds of these codes.
fn check_site(site: &str, only: &[Code], expect: Expect) {
    let text = format!("{}site s {{\n{site}\n}}\n", models());
    let first_line = models().lines().count() as u32;
    expect.assert_eq(&found(&text, only, first_line));
}

/// The same with models of its own before the site.
fn check_plan(own: &str, site: &str, only: &[Code], expect: Expect) {
    let text = format!("{own}{}site s {{\n{site}\n}}\n", models());
    let first_line = text.lines().position(|line| line == "site s {");
    expect.assert_eq(&found(&text, only, first_line.unwrap_or(0) as u32));
}

/// Checks that nothing of these codes is found.
fn check_clean(site: &str, only: &[Code]) {
    check_site(site, only, expect_test::expect![[""]]);
}

/// The site, on the models of all tests, with the mends of all its findings of
/// these codes taken together; and what of these codes is then left.
fn all_mended(site: &str, only: &[Code]) -> (String, Vec<String>) {
    let mut text = format!("{}site s {{\n{site}\n}}\n", models());
    let (plan, findings) = findings_of(&text);
    let mut edits: Vec<(std::ops::Range<usize>, String)> = Vec::new();
    for (item, finding) in findings.iter().filter(|(_, of)| only.contains(&of.code)) {
        for (span, replacement) in finding.mend.iter().flat_map(|mend| &mend.edits) {
            let spot = item.spot(*span);
            let range = plan.file.locate(&spot).expect("a place in the file");
            edits.push((range, replacement.clone()));
        }
    }
    edits.sort_by_key(|(range, _)| std::cmp::Reverse(range.start));
    edits.dedup();
    for (range, replacement) in edits {
        text.replace_range(range, &replacement);
    }
    let left = findings_of(&text).1.into_iter().map(|(_, of)| of);
    let left = left.filter(|of| only.contains(&of.code));
    let left = left.map(|of| of.message).collect();
    (text[models().len()..].to_string(), left)
}
