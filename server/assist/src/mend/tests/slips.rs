//! Slips of the hand, by themselves and all of a file at once.

use expect_test::expect;

use super::{check, offered};
use crate::edit::applied;
use crate::fixture::{fixture, harbour};
use crate::mend::{mend_slips, mends};

#[test]
fn a_missing_comma_or_colon_is_put_in() {
    check(
        ": K2R, address 2, partition 2",
        ": K2R, address 2 part$0ition 2",
        expect![[r#"
            * wrong-unit: Put a comma before `partition`
                keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
        "#]],
    );
    check(
        "\"Front elevation\" : S15",
        "\"Front elevation\" S1$05",
        expect![[r#"
            * misplaced: Put a colon before `S15`
                sounder  s1   "Front elevation" : S15
        "#]],
    );
}

#[test]
fn a_path_is_put_in_braces() {
    check(
        "run z1 : copper-2x22AWG { main.1 --14 m-- rc1 }",
        "run z1 : copper-2x22AWG main$0.1 --14 m-- rc1",
        expect![[r#"
            * syntax: Put the path in braces
                run z1 : copper-2x22AWG { main.1 --14 m-- rc1 }
        "#]],
    );
}

#[test]
fn a_comma_before_a_model_becomes_a_colon() {
    check(
        "\"Front elevation\" : S15",
        "\"Front elevation\", S1$05",
        expect![[r#"
            * syntax: Write a colon
                sounder  s1   "Front elevation" : S15
        "#]],
    );
}

#[test]
fn what_is_said_twice_is_said_in_one() {
    check(
        "from pir1, partition 1",
        "from pir1, $0from rc1, partition 1",
        expect![[r#"
            * repeated: Write one `from`
                zone 2 "Shop floor",      input 2,    from pir1 rc1, partition 1, loop double
              - zone 2 "Shop floor",      input 2,    from pir1, from rc1, partition 1, loop double
        "#]],
    );
    check(
        "K2R, address 2, partition 2",
        "K2R, partition 1, address 2, $0partition 2",
        expect![[r#"
            * repeated: Take out this `partition`
                keypad   rear  "Workshop door" : K2R, partition 1, address 2, sounds silent, receiver 13
              - keypad   rear  "Workshop door" : K2R, partition 1, address 2, partition 2, sounds silent, receiver 13
        "#]],
    );
}

#[test]
fn a_mark_at_the_end_of_a_line_is_taken_out() {
    check(
        "\"Front elevation\" : S15",
        "\"Front elevation\" : S15;$0",
        expect![[r#"
            * syntax: Take the `;` out
                sounder  s1   "Front elevation" : S15
              - sounder  s1   "Front elevation" : S15;
        "#]],
    );
}

#[test]
fn what_other_notations_write_is_written_as_here() {
    check(
        "loop double",
        "loop:$0 double",
        expect![[r#"
        * syntax: Take the colon out
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
          - zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop: double
    "#]],
    );
    check(
        "\"Front elevation\" : S15",
        "Front elev$0ation : S15",
        expect![[r#"
            * syntax: Put it in quotes
                sounder  s1   "Front elevation" : S15
        "#]],
    );
    check(
        "bus keys {",
        "bus keys\n    {$0",
        expect![[r#"
        * syntax: Move the `{` up
            bus keys {
          - bus keys
          - {
    "#]],
    );
    check(
        "bus keys {\n",
        "bus keys\n    {$0\n  kepyad third : K2, address 3\n",
        expect![[r#"
            * syntax: Move the `{` up
                bus keys {
              - bus keys
              - {
        "#]],
    );
    // The brace would be in the comment.
    check("bus keys {", "bus keys # two\n    {$0", expect![[r#""#]]);
}

#[test]
fn slips_of_the_hand_are_written_right() {
    check(
        "--12 m--",
        "--12$0,05 m--",
        expect![[r#"
        * syntax: Write a decimal point
            main.keys --12.05 m-- front --31 m-- rear
    "#]],
    );
    check(
        "\"Shop door\"     :",
        "$0“Shop door”     :",
        expect![[r#"
        * syntax: Write straight quotes
            keypad   front "Shop door"     : K2,  address 1, partition 1
          - keypad   front “Shop door”     : K2,  address 1, partition 1
    "#]],
    );
    check(
        "revision 4.2 {",
        "revision 4.2 { /$0/ here",
        expect![[r#"
        * syntax: Start the comment with `#`
            panel main "Stock room" : M8, revision 4.2 { # here
          - panel main "Stock room" : M8, revision 4.2 { // here
    "#]],
    );
    check(
        "fitted 2025-03",
        "fitted 2025/$003/04",
        expect![[r#"
        * syntax: Write the date with hyphens
            battery : sealed-12V-7Ah, fitted 2025-03-04
    "#]],
    );
    check(
        "entry 30 s",
        "entry 30$0,5 s",
        expect![[r#"
            * syntax: Write a decimal point
                zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30.5 s, loop single
        "#]],
    );
    check("fitted 2025-03", "fitted 04/$003/2025", expect![[""]]);
}

#[test]
fn a_comma_with_nothing_behind_it_is_taken_out() {
    check(
        "revision 4.2 {",
        "revision 4.2,$0 {",
        expect![[r#"
        * syntax: Take the comma out
            panel main "Stock room" : M8, revision 4.2 {
          - panel main "Stock room" : M8, revision 4.2, {
    "#]],
    );
    check(
        "fitted 2025-03",
        "fitted 2025-03,$0",
        expect![[r#"
        * syntax: Take the comma out
            battery : sealed-12V-7Ah, fitted 2025-03
          - battery : sealed-12V-7Ah, fitted 2025-03,
    "#]],
    );
    check(
        "fitted 2025-03",
        "fitted 2025-03,$0 # new",
        expect![[r#"
        * syntax: Take the comma out
            battery : sealed-12V-7Ah, fitted 2025-03 # new
          - battery : sealed-12V-7Ah, fitted 2025-03, # new
    "#]],
    );
    check(
        "partition 1, entry 30 s",
        "partition 1,$0, entry 30 s",
        expect![[r#"
            * syntax: Take the comma out
                zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 s, loop single
              - zone 1 "Shop door",       input 1,    from rc1,  partition 1,, entry 30 s, loop single
        "#]],
    );
    check(
        "silent, receiver 13",
        "silent,$0 , receiver 13",
        expect![[r#"
            * syntax: Take the comma out
                keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent , receiver 13
              - keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, , receiver 13
        "#]],
    );
    // What is meant for it may stand below.
    check(
        "K2R, address 2, partition 2, sounds silent, receiver 13",
        "K2R,$0 # below\n        address 2",
        expect![[""]],
    );
}

#[test]
fn all_slips_of_a_file_are_mended_at_once_and_nothing_else() {
    let (view, entry, _) = fixture(
        "\
site a {
  rules intruder-grade-2
  panel main : M8, revison 4.2 {
    battery sealed-12V-7Ah
    bus keys {
      keypad one “Hall” : K2 address 1
      keypad two : K2, adress 1
    }
  }
  run r : copper-4x22AWG { main.keys --2 m-- one --3 m-- tow }
}
siet b {
  pannel p : M8
}
",
    );
    let edits = mend_slips(&view, &entry).unwrap_or_default();
    expect![[r#"
        site a {
          rules intruder-grade-2
          panel main : M8, revision 4.2 {
            battery : sealed-12V-7Ah
            bus keys {
              keypad one "Hall" : K2, address 1
              keypad two : K2, address 1
            }
          }
          run r : copper-4x22AWG { main.keys --2 m-- one --3 m-- tow }
        }
        site b {
          panel p : M8
        }
    "#]]
    .assert_eq(&applied(&entry.file, &edits).text().to_string());
    let (view, entry, _) = fixture("//- sites/harbour.bell\n");
    assert_eq!(mend_slips(&view, &entry), None);
}

#[test]
fn no_use_is_added_for_what_a_mended_line_brings_in() {
    let all_mended = |text: &str| {
        let (view, entry, _) = fixture(&format!(
            "//- sites/plan.bell\n{text}//- catalog/merrow.bell\n//- shared/monitoring.bell\n//- sites/local.bell\n# Nothing.\n"
        ));
        let edits = mend_slips(&view, &entry).unwrap_or_default();
        applied(&entry.file, &edits).text().to_string()
    };
    let site = "site a {\n  panel main : M8\n}\n";
    let first = "use \"local.bell\"";
    let lines = [
        "import \"../catalog/merrow.bell\"",
        "use “../catalog/merrow.bell”",
        "import “../catalog/merrow.bell”",
        "import “../catalog/merrow.bell”;",
    ];
    for line in lines {
        assert_eq!(
            all_mended(&format!("{first}\n{line}\n{site}")),
            format!("{first}\nuse \"../catalog/merrow.bell\"\n{site}"),
        );
    }
    // One that brings in something else does not do.
    let other = format!("{first}\nimport \"../shared/monitoring.bell\"\n{site}");
    expect![[r#"
        use "local.bell"
        use "../shared/monitoring.bell"
        use "../catalog/merrow.bell"
        site a {
          panel main : M8
        }
    "#]]
    .assert_eq(&all_mended(&other));
}

#[test]
fn a_comma_is_put_before_what_a_list_goes_on_with() {
    let lines = [
        "model keypad K { sounds all silent$0 }\n",
        "model keypad K { sounds all standby$0 4 mA }\n",
        "model panel P {\n  bus b {\n    terminal negative 6 positive$0 7\n  }\n}\n",
    ];
    expect![[r#"
        * misplaced: Put a comma before `silent`
            model keypad K { sounds all, silent }
        * wrong-unit: Put a comma before `positive`
            terminal negative 6, positive 7
    "#]]
    .assert_eq(&lines.map(|line| offered(fixture(line))).concat());
}

#[test]
fn a_brace_below_its_line_is_moved_up_at_the_top_level_too() {
    let plans = [
        "site a \"Yard\"\n\n$0{\n  joint j\n  pannel p : M8\n}\n",
        "model keypad K, standby 4 mA\n  $0{\n  alarm 5 mA\n}\n",
        // No block belongs there, a comment would take the brace in, a block is there.
        "use \"../catalog/merrow.bell\"\n$0{\n  joint j\n}\n",
        "site a # here\n$0{\n  joint j\n}\n",
        "site a\n# here\n$0{\n  joint j\n}\n",
        "site a { joint j }\n$0{\n  joint k\n}\n",
        "$0{\n  joint j\n}\n",
    ];
    expect![[r#"
        * syntax: Move the `{` up
            site a "Yard" {
          - site a "Yard"
          - 
          - {
        * syntax: Move the `{` up
            model keypad K, standby 4 mA {
          - model keypad K, standby 4 mA
          - {
    "#]]
    .assert_eq(&plans.map(|plan| offered(fixture(plan))).concat());
}

#[test]
fn a_word_that_may_stand_once_is_not_written_once_more() {
    let text = "model panel P {\n  limit 1 A, ‸limit 2 A\n}\n";
    expect![""].assert_eq(&offered(fixture(text)));
}

/// The text after the one change that is offered at the cursor.
fn mended(text: &str) -> String {
    let (view, entry, offset) = fixture(text);
    let fixes = mends(&view, &entry, offset..offset);
    let titles: Vec<&str> = fixes.iter().map(|fix| &*fix.title).collect();
    assert_eq!(titles, ["Write each on a line of its own"]);
    applied(&entry.file, &fixes[0].edits).text().to_string()
}

#[test]
fn clauses_of_the_statement_around_get_lines_of_their_own() {
    expect![[r#"
        model detector D {
          standby 18 mA
          works 9 V .. 15 V
          contact alarm, closed
        }
    "#]]
    .assert_eq(&mended(
        "model detector D { standby 18 mA, work$0s 9 V .. 15 V, contact alarm, closed }\n",
    ));
    expect![[r#"
        model keypad K {
          standby 45 mA
          alarm 110 mA
          works 9 V .. 15 V
        }
    "#]]
    .assert_eq(&mended(
        "model keypad K {\n  standby 45 mA, $0alarm 110 mA\n  works 9 V .. 15 V\n}\n",
    ));
    assert_eq!(
        mended("model sounder S {standby 5 mA , $0alarm 0.4 A}\r\n"),
        "model sounder S {\r\n  standby 5 mA\r\n  alarm 0.4 A\r\n}\r\n"
    );
}

#[test]
fn legs_with_one_hyphen_or_a_dash_are_written_with_two() {
    for (open, close) in [("-", "-"), ("—", "—"), ("–", "--"), ("−", "-")] {
        let leg = format!("{{ main.1 {open}1$04 m{close} rc1 }}");
        let (view, entry, offset) = harbour("{ main.1 --14 m-- rc1 }", &leg);
        let fixes = mends(&view, &entry, offset..offset);
        let [fix] = fixes.as_slice() else {
            panic!("{leg}: {fixes:?}")
        };
        assert_eq!(fix.title, "Write `--14 m--`");
        assert!(fix.slip);
        let after = applied(&entry.file, &fix.edits).text().to_string();
        assert!(after.contains("{ main.1 --14 m-- rc1 }"), "{after}");
    }
}

#[test]
fn points_of_one_place_are_written_with_a_plus_between() {
    for points in [
        "main.aux main.2",
        "main.aux, main.2",
        "main.aux & main.2",
        "main.aux and main.2",
    ] {
        let start = format!("{{ {points}$0 --22 m--");
        let (view, entry, offset) = harbour("{ main.aux + main.2 --22 m--", &start);
        let fixes = mends(&view, &entry, offset..offset);
        let [fix] = fixes.as_slice() else {
            panic!("{points}: {fixes:?}")
        };
        assert_eq!(fix.title, "Write `main.aux + main.2`");
        let after = applied(&entry.file, &fix.edits).text().to_string();
        assert!(after.contains("{ main.aux + main.2 --22 m--"), "{after}");
    }
}

#[test]
fn a_cable_by_its_gauge_and_cores_is_one_of_the_library() {
    check(
        "run b1 : copper-4x22AWG",
        "run b1 : 18$0/4",
        expect![[r#"
        * syntax: Write `copper-4x18AWG`
            run b1 : copper-4x18AWG, doubled { main.siren --18 m-- s1 }
    "#]],
    );
    check("run b1 : copper-4x22AWG", "run b1 : 18$0/40", expect![[""]]);
    check("fitted 2025-03", "fitted 22$0/4", expect![[""]]);
    for (said, name) in [
        ("22 / 4", "copper-4x22AWG"),
        ("4x0.22", "copper-4x0-22mm2"),
        ("4 x 0.22 mm2", "copper-4x0-22mm2"),
        ("4×0.22mm²", "copper-4x0-22mm2"),
    ] {
        let (view, entry, _) = harbour("keys-a : copper-4x22AWG", &format!("keys-a : $0{said}"));
        let found = view.findings(&entry);
        let found: Vec<_> = found.iter().map(|at| &at.finding.message).collect();
        let message = format!("a cable is called by its model: {said} is `{name}`");
        assert!(found.contains(&&message), "{said}: {found:#?}");
    }
    // A device is no cable.
    check(": P5", ": 22$0/4", expect![[""]]);
}
