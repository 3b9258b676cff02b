//! Broken plans, one mistake each: what is said of them.

mod common;

use std::collections::BTreeSet;

use bellwire_plan::finding::Code;
use bellwire_plan::source::Encoding;
use common::{path, plans, workspace};
use expect_test::expect_file;

/// Other ways to have a code: `CODE-WAY`.
const WAYS: &[(&str, &str)] = &[
    ("bus-full-loads", "bus-full"),
    ("not-wired-trigger", "not-wired"),
    ("output-overloaded-mains", "output-overloaded"),
    ("output-overloaded-shared", "output-overloaded"),
    ("wired-twice-loop", "wired-twice"),
    ("wrong-kind-swapped", "wrong-kind"),
];

/// Plans that are broken in another way than one code says.
const OTHERS: &[&str] = &["empty", "import-cycle-other", "not-closed"];

#[test]
fn every_broken_plan_is_told_what_is_wrong() {
    let plans = plans();
    let workspace = workspace(&plans);
    let view = workspace.view();
    let mut seen = String::new();
    let mut codes = BTreeSet::new();
    for name in plans.keys().filter(|name| name.starts_with("broken/")) {
        let entry = view.entry(&path(name)).expect("the plan");
        let stem = &name["broken/".len()..name.len() - ".bell".len()];
        seen += &format!("{stem}\n");
        let findings = view.findings(&entry);
        for found in &findings {
            let at = entry
                .file
                .text()
                .position(found.range.start, Encoding::Utf32);
            let finding = &found.finding;
            seen += &format!(
                "  {}:{} {} {}: {}\n",
                at.line + 1,
                at.column + 1,
                finding.severity.name(),
                finding.code,
                finding.message
            );
        }
        if OTHERS.contains(&stem) {
            continue;
        }
        let way = WAYS.iter().find(|(way, _)| *way == stem);
        let code = Code::parse(way.map_or(stem, |(_, code)| code))
            .unwrap_or_else(|| panic!("{name} is named for no code"));
        codes.insert(code);
        let found = findings.iter().any(|found| found.finding.code == code);
        assert!(found, "{name} does not give its finding");
    }
    expect_file!["../../../tests/plans/broken/expected.txt"].assert_eq(&seen);
    let missing: Vec<_> = Code::ALL
        .iter()
        .filter(|code| !codes.contains(code))
        .collect();
    assert!(missing.is_empty(), "no broken plan for {missing:?}");
}
