//! What is offered, by what it changes; here, what holds whatever that is.

mod lines;
mod names;
mod numbers;
mod slips;

use expect_test::{Expect, expect};

use super::mends;
use crate::edit::applied;
use crate::fixture::{fixture, harbour};

/// The changes offered at the cursor: titles, and the lines that differ.
fn offered(
    text: (
        bellwire_plan::workspace::View,
        std::sync::Arc<bellwire_plan::workspace::Entry>,
        usize,
    ),
) -> String {
    let (view, entry, offset) = text;
    let mut shown = String::new();
    for fix in mends(&view, &entry, offset..offset) {
        let star = if fix.preferred { "*" } else { "-" };
        shown += &format!("{star} {}: {}\n", fix.code.name(), fix.title);
        let before = entry.file.text().to_string();
        let after = applied(&entry.file, &fix.edits).text().to_string();
        let kept: Vec<&str> = before.lines().collect();
        for line in after
            .lines()
            .filter(|line| !kept.contains(line) && !line.is_empty())
        {
            shown += &format!("    {}\n", line.trim());
        }
        let new: Vec<&str> = after.lines().collect();
        if after.len() < before.len() {
            for line in before.lines().filter(|line| !new.contains(line)) {
                shown += &format!("  - {}\n", line.trim());
            }
        }
    }
    shown
}

fn check(from: &str, to: &str, expected: Expect) {
    expected.assert_eq(&offered(harbour(from, to)));
}

#[test]
fn nobody_chooses_a_change_that_brings_an_error() {
    // With the cable that feeds it, it draws more than the output has.
    let (view, entry, offset) = fixture(
        "\
use \"../catalog/merrow.bell\"
model relay G { standby 6 W }
site a {
  panel main : M8
  relay g$01 : G
  run r : copper-2x22AWG { main.aux --90 m-- g1 }
}
",
    );
    expect![[r#"
        - cannot-be-fed: Use copper-2x18AWG for r
            run r : copper-2x18AWG { main.aux --90 m-- g1 }
        - cannot-be-fed: Accept `cannot-be-fed` here, with a reason
            relay g1 : G, accept cannot-be-fed "reason"
    "#]]
    .assert_eq(&offered((view, entry, offset)));
}

#[test]
fn what_nothing_needs_is_taken_out() {
    let (view, entry, _) = harbour("  report  northgate, account 4411\n", "");
    let at = entry
        .file
        .text()
        .to_string()
        .find("monitoring.bell")
        .unwrap();
    expect![[r#"
        * unused: Take out this `use`
          - use "../shared/monitoring.bell"
    "#]]
    .assert_eq(&offered((view, entry, at)));
    check(
        "loop double\n",
        "loop double, accept head$0room \"no\"\n",
        expect![[r#"
        * accept-unused: Take out this `accept`
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
          - zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double, accept headroom "no"
    "#]],
    );
}

#[test]
fn findings_are_accepted_where_they_are() {
    check(
        "keypad   rear",
        "keypad   re$0ar",
        expect![[r#"
            * voltage-low: Use copper-4x16AWG for keys-a
                run keys-a : copper-4x16AWG {
            - voltage-low: Accept `voltage-low` here, with a reason
                keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13, accept voltage-low "reason"
        "#]],
    );
    check(
        "    battery : sealed-12V-7Ah, fitted 2025-03",
        "    battery : sealed-12V-7Ah, fitted 2001-0$03",
        expect![[r#"
            - battery-old: Accept `battery-old` here, with a reason
                battery : sealed-12V-7Ah, fitted 2001-03, accept battery-old "reason"
        "#]],
    );
}

#[test]
fn nothing_is_offered_where_nothing_is_wrong() {
    check(
        "zone 1 \"Shop door\"",
        "zone 1 \"Sh$0op door\"",
        expect![[r#""#]],
    );
}

#[test]
fn changes_are_offered_in_unfinished_plans_too() {
    let text = include_str!("../../fixture/harbour.bell");
    let ends = text.char_indices().map(|(at, _)| at).step_by(61);
    let mut offered = 0;
    for end in ends {
        let (view, entry, _) = fixture(&format!("//- sites/harbour.bell\n{}", &text[..end]));
        for fix in mends(&view, &entry, 0..end) {
            let after = applied(&entry.file, &fix.edits);
            assert_ne!(after.text().to_string(), text[..end], "{}", fix.title);
            offered += 1;
        }
    }
    assert!(offered > 20, "{offered}");
}

#[test]
fn of_many_findings_the_first_few_are_mended() {
    let lines: String = (0..100).map(|n| format!("  keypda k{n}\n")).collect();
    let (view, entry, _) = fixture(&format!("site a {{\n{lines}}}\n$0"));
    let whole = 0..entry.file.text().len();
    assert_eq!(mends(&view, &entry, whole).len(), 24);
    let last = entry.file.text().to_string().rfind("keypda");
    let last = last.map(|at| mends(&view, &entry, at..at).len());
    assert_eq!(last, Some(1));
}
