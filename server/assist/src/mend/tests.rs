use expect_test::{Expect, expect};

use super::{mend_slips, mends};
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
fn misspelt_words_and_names_are_changed_to_the_nearest() {
    check(
        "keypad   rear",
        "keypda$0   rear",
        expect![[r#"
        * unknown-word: Change `keypda` to `keypad`
            keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
    "#]],
    );
    check(
        ": K2R,",
        ": K2S$0,",
        expect![[r#"
        - unknown-name: Change `K2S` to `K2R`
            keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
    "#]],
    );
    check(
        "from pir1,",
        "from pri1$0,",
        expect![[r#"
        * unknown-name: Change `pri1` to `pir1`
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
    "#]],
    );
    check(
        "sounds silent",
        "sounds silnt$0",
        expect![[r#"
        * unknown-name: Change `silnt` to `silent`
            keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
    "#]],
    );
    check(
        "entry 30 s",
        "entry 30 S$0",
        expect![[r#"
        * wrong-unit: Change `S` to `s`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 s, loop single
    "#]],
    );
    check(
        "main.siren --",
        "main.sirne$0 --",
        expect![[r#"
        * unknown-name: Change `sirne` to `siren`
            run b1 : copper-4x22AWG, doubled { main.siren --18 m-- s1 }
    "#]],
    );
    check(
        "loop double",
        "loop dbouble$0",
        expect![[r#"
        * unknown-name: Change `dbouble` to `double`
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
          - zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop dbouble
    "#]],
    );
}

#[test]
fn a_file_that_declares_the_name_is_used() {
    expect![[r#"
        * unknown-name: Add use "../catalog/merrow.bell"
            use "../catalog/merrow.bell"
    "#]]
    .assert_eq(&offered(fixture(
        "//- sites/new.bell\nsite new {\n  panel main : M8$0\n}\n//- catalog/merrow.bell\n",
    )));
}

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
fn the_name_of_a_model_is_changed_as_a_whole_with_what_is_left_of_a_point_in_it() {
    check(
        "run z1 : copper-2x22AWG",
        "run z1 : copper-2x0.5mm2$0",
        expect![[r#"
            * unknown-name: Change `copper-2x0.5mm2` to `copper-2x0-5mm2`
                run z1 : copper-2x0-5mm2 { main.1 --14 m-- rc1 }
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
fn a_detector_that_stands_twice_is_taken_out_once() {
    check(
        "from pir1,",
        "from pir1 pir1$0,",
        expect![[r#"
        * repeated: Take the second pir1 out
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
          - zone 2 "Shop floor",      input 2,    from pir1 pir1, partition 1, loop double
    "#]],
    );
}

#[test]
fn which_terminals_are_meant_is_not_guessed() {
    check("main.keys --12 m--", "main$0 --12 m--", expect![[r#""#]]);
}

#[test]
fn which_of_two_files_is_meant_is_no_slip() {
    let plan = "\
//- sites/new.bell
site new {
  panel main : M8$0
}
//- catalog/merrow.bell
//- catalog/other.bell
model panel M8 { output aux 13.8 V }
";
    expect![[r#"
        - unknown-name: Add use "../catalog/merrow.bell"
            use "../catalog/merrow.bell"
        - unknown-name: Add use "../catalog/other.bell"
            use "../catalog/other.bell"
    "#]]
    .assert_eq(&offered(fixture(plan)));
    let (view, entry, _) = fixture(plan);
    assert_eq!(mend_slips(&view, &entry), None);
}

#[test]
fn no_colon_is_put_before_a_number_where_a_model_is_missing() {
    check(
        "battery : sealed-12V-7Ah",
        "battery 7$0 Ah",
        expect![[r#""#]],
    );
}

#[test]
fn another_number_is_no_slip() {
    check(
        "sealed-12V-7Ah, fitted 2025-03",
        "sealed-12V-7Ah, fitted 2025-13$0",
        expect![[r#""#]],
    );
}

#[test]
fn the_unit_that_is_usual_behind_a_word_comes_first() {
    let rules = "rules house : intruder-grade-2 { standby 24$0 }\nsite harbour";
    check(
        "site harbour",
        rules,
        expect![[r#"
        * wrong-unit: Write `24 h`
            rules house : intruder-grade-2 { standby 24 h }
        - wrong-unit: Write `24 s`
            rules house : intruder-grade-2 { standby 24 s }
        - wrong-unit: Write `24 min`
            rules house : intruder-grade-2 { standby 24 min }
        - wrong-unit: Write `24 days`
            rules house : intruder-grade-2 { standby 24 days }
        - wrong-unit: Write `24 years`
            rules house : intruder-grade-2 { standby 24 years }
    "#]],
    );
}

#[test]
fn a_number_without_a_unit_gets_one_that_may_stand_there() {
    check(
        "entry 30 s",
        "entry 30$0",
        expect![[r#"
        * wrong-unit: Write `30 s`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 s, loop single
        - wrong-unit: Write `30 min`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 min, loop single
        - wrong-unit: Write `30 h`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 h, loop single
        - wrong-unit: Write `30 days`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 days, loop single
        - wrong-unit: Write `30 years`
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 years, loop single
    "#]],
    );
    check(
        "ambient 5 °C .. 35 °C",
        "ambient 5$0 .. 35",
        expect![[r#"
        * wrong-unit: Write `5 °C`
            ambient 5 °C .. 35
        - wrong-unit: Write `5 °F`
            ambient 5 °F .. 35
    "#]],
    );
    check(
        "--22 m--",
        "--22$0--",
        expect![[r#"
        * wrong-unit: Write `22 m`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 m-- pir1 }
        - wrong-unit: Write `22 mm`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 mm-- pir1 }
        - wrong-unit: Write `22 cm`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 cm-- pir1 }
        - wrong-unit: Write `22 km`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 km-- pir1 }
        - wrong-unit: Write `22 ft`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 ft-- pir1 }
        - wrong-unit: Write `22 yd`
            run z2 : copper-6x22AWG { main.aux + main.2 --22 yd-- pir1 }
    "#]],
    );
}

#[test]
fn addresses_are_changed_to_the_next_free_one() {
    check(
        "K2R, address 2",
        "K2R, address 1$0",
        expect![[r#"
            * address-taken: Give rear the address 2
                keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
            - address-taken: Accept `address-taken` here, with a reason
                keypad   rear  "Workshop door" : K2R, address 1, partition 2, sounds silent, receiver 13, accept address-taken "reason"
        "#]],
    );
    let (view, entry, _) = harbour("K2R, address 2,", "K2R,");
    let rear = entry.file.text().to_string().find("rear").unwrap();
    expect![[r#"
        * address-missing: Give rear the address 2
            keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
        - address-missing: Accept `address-missing` here, with a reason
            keypad   rear  "Workshop door" : K2R, partition 2, sounds silent, receiver 13, accept address-missing "reason"
        * voltage-low: Use copper-4x16AWG for keys-a
            run keys-a : copper-4x16AWG {
        - voltage-low: Accept `voltage-low` here, with a reason
            keypad   rear  "Workshop door" : K2R, partition 2, sounds silent, receiver 13, accept voltage-low "reason"
    "#]].assert_eq(&offered((view, entry, rear)));
}

#[test]
fn a_zone_is_put_into_a_partition() {
    check(
        "zone 2 \"Shop floor\",      input 2,    from pir1, partition 1,",
        "zone $02 \"Shop floor\", input 2, from pir1,",
        expect![[r#"
            - zone-missing-partition: Put it in partition 1, Shop
                zone 2 "Shop floor", input 2, from pir1, loop double, partition 1
            - zone-missing-partition: Put it in partition 2, Workshop
                zone 2 "Shop floor", input 2, from pir1, loop double, partition 2
            - zone-missing-partition: Accept `zone-missing-partition` here, with a reason
                zone 2 "Shop floor", input 2, from pir1, loop double, accept zone-missing-partition "reason"
        "#]],
    );
}

#[test]
fn a_device_that_nothing_triggers_gets_a_run_from_an_output_in_alarm() {
    let plan = "\
use \"../catalog/merrow.bell\"
model sounder B2, standby 25 mA, trigger 5 mA
site a {
  panel main : M8
  sounder s$01 : B2
  run b1 : copper-2x22AWG { main.aux --18 m-- s1 }
}
";
    expect![[r#"
        - not-wired: Add a run from main.siren to s1
            run to-s1 : copper-2x22AWG { main.siren -- -- s1 }
        - not-wired: Accept `not-wired` here, with a reason
            sounder s1 : B2, accept not-wired "reason"
    "#]]
    .assert_eq(&offered(fixture(plan)));
}

#[test]
fn a_device_that_is_not_wired_gets_a_run_to_fill_in() {
    check(
        "  run b1",
        "  sounder s$02 \"Rear\" : S15\n  run b1",
        expect![[r#"
            - not-wired: Add a run from main.siren to s2
                run to-s2 : copper-4x22AWG { main.siren -- -- s2 }
            - not-wired: Accept `not-wired` here, with a reason
                sounder s2 "Rear" : S15, accept not-wired "reason"
        "#]],
    );
}

#[test]
fn a_run_for_a_device_on_a_bus_has_cores_for_its_data() {
    let plan = "\
use \"../catalog/merrow.bell\"
site a {
  panel main : M8 {
    bus keys { keypad fr$0ont : K2, address 1 }
    zone 1, input 1, from rc1, loop single
  }
  detector rc1 : RC
  sounder s1 : S15
  run b1 : copper-4x22AWG { main.siren --18 m-- s1 }
  run z1 : copper-2x22AWG { main.1 --9 m-- rc1 }
}
";
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(plan)));
    // Where no run has as many.
    let plan = plan.replace("copper-4x22AWG", "copper-2x18AWG");
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&plan)));
}

#[test]
fn a_run_for_a_device_brings_only_what_it_lacks() {
    let plan = |runs: &str| {
        format!(
            "\
use \"../catalog/merrow.bell\"
model supply S {{ output out 13.8 V }}
site a {{
  panel main : M8 {{
    bus keys {{ keypad fr$0ont : K2, address 1 }}
  }}
  supply psu : S
  run n : copper-2x22AWG, carries data {{ main.aux --2 m-- psu.out }}
  {runs}
}}
"
        )
    };
    let fed = plan("run p : copper-4x22AWG { psu.out --9 m-- front }");
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG, carries data { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&fed)));
    let told = plan("run d : copper-4x22AWG, carries data { main.keys --9 m-- front }");
    expect![[r#"
        - not-wired: Add a run from main.aux to front
            run to-front : copper-2x22AWG { main.aux -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&told)));
}

#[test]
fn a_detector_on_two_loops_is_taken_out_of_one_alone() {
    check(
        "from rc2, ",
        "from rc2 rc$01, ",
        expect![[r#"
            - repeated: Take rc1 out
                zone 9 "Workshop window", input x1.1, from rc2,  partition 2, loop single
              - zone 9 "Workshop window", input x1.1, from rc2 rc1,  partition 2, loop single
        "#]],
    );
    check("from rc2, ", "from rc$01, ", expect![""]);
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
fn one_spelling_of_a_unit_is_preferred() {
    let (view, entry, offset) = fixture("model cable c, conductor 0.5 mmm$02\n");
    expect![[r#"
        * wrong-unit: Change `mmm2` to `mm2`
            model cable c, conductor 0.5 mm2
          - model cable c, conductor 0.5 mmm2
        - wrong-unit: Change `mmm2` to `mm²`
            model cable c, conductor 0.5 mm²
    "#]]
    .assert_eq(&offered((view, entry, offset)));
}

#[test]
fn a_number_without_its_range_is_not_given_another_unit() {
    let (view, entry, offset) =
        fixture("model panel P { inputs 1 .. 8 { loop a { reads open 0 oh$0m } } }\n");
    assert_eq!(offered((view, entry, offset)), "");
}

#[test]
fn a_name_that_something_has_is_not_changed_unasked() {
    // The contact that d2 has not is for its model to say, whatever else is called nearly so.
    expect![[r#"
        - wrong-kind: Change `d2` to `d20`
            zone 1, input 1, from d20, loop single
    "#]]
    .assert_eq(&offered(fixture(
        "\
use \"../catalog/merrow.bell\"
model detector N { standby 5 mA }
site a {
  panel main : M8 {
    zone 1, input 1, from d$02, loop single
  }
  detector d2 : N
  detector d20 : RC
}
",
    )));
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
    let text = include_str!("../fixture/harbour.bell");
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
fn a_part_of_a_name_is_completed() {
    check(
        "rules   intruder-grade-2",
        "rules   grade$0-2",
        expect![[r#"
            - unknown-name: Change `grade-2` to `intruder-grade-2`
                rules   intruder-grade-2
            - unknown-name: Change `grade-2` to `pd6662-grade-2`
                rules   pd6662-grade-2
        "#]],
    );
    check(
        "rules   intruder-grade-2",
        "rules   nfpa72-fir$0e-voic",
        expect![[r#"
        * unknown-name: Change `nfpa72-fire-voic` to `nfpa72-fire-voice`
            rules   nfpa72-fire-voice
    "#]],
    );
    check(
        "rules   intruder-grade-2",
        "rules   burgl$0ar",
        expect![[r#"
        * unknown-name: Change `burglar` to `ul1023-household-burglar`
            rules   ul1023-household-burglar
    "#]],
    );
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
        use "../catalog/merrow.bell"
        use "../shared/monitoring.bell"
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
fn of_many_findings_the_first_few_are_mended() {
    let lines: String = (0..100).map(|n| format!("  keypda k{n}\n")).collect();
    let (view, entry, _) = fixture(&format!("site a {{\n{lines}}}\n$0"));
    let whole = 0..entry.file.text().len();
    assert_eq!(mends(&view, &entry, whole).len(), 24);
    let last = entry.file.text().to_string().rfind("keypda");
    let last = last.map(|at| mends(&view, &entry, at..at).len());
    assert_eq!(last, Some(1));
}

#[test]
fn a_kind_is_mended_though_more_is_wrong_inside() {
    let (view, entry, offset) =
        fixture("model pannel$0 Q {\n  standby 0.09\n  charger 600 ma\n}\n");
    expect![[r#"
        * unknown-word: Change `pannel` to `panel`
            model panel Q {
          - model pannel Q {
    "#]]
    .assert_eq(&offered((view, entry, offset)));
}

#[test]
fn a_kind_or_a_word_is_not_changed_to_one_that_most_lines_inside_do_not_fit() {
    for text in [
        "model cy$0cle C { contact alarm, closed }\n",
        "imp$0ort detector C { contact alarm, closed }\n",
        "Hou$0se a {\n  rules intruder-grade-2\n  panel p : P\n}\n",
    ] {
        assert_eq!(offered(fixture(text)), "", "{text}");
    }
}

#[test]
fn what_is_spelt_right_is_not_changed_for_its_neighbour() {
    let (view, entry, offset) =
        fixture("site a {\n  panel main : M8 {\n    battery sealed-12V-7Ah$0\n  }\n}\n");
    expect![[r#"
        * misplaced: Put a colon before `sealed-12V-7Ah`
            battery : sealed-12V-7Ah
    "#]]
    .assert_eq(&offered((view, entry, offset)));
}

#[test]
fn what_people_say_for_units_and_words_is_changed_to_the_notation() {
    check(
        "5 °C .. 35 °C",
        "5 °C .. 35 C$0",
        expect![[r#"
            * wrong-unit: Change `C` to `°C`
                ambient 5 °C .. 35 °C
        "#]],
    );
    check(
        "5 °C .. 35 °C",
        "35$0 .. 5 °C",
        expect![[r#"
            * wrong-kind: Swap the ends
                ambient 5 .. 35 °C
        "#]],
    );
    check(
        "  run z9",
        "  siren$0 s9 : S15\n  run z9",
        expect![[r#"
            * unknown-word: Change `siren` to `sounder`
                sounder s9 : S15
        "#]],
    );
    let (view, entry, offset) = fixture(
        "model panel M {\n  inputs 1 .. 8 {\n    loop a, end 4k7$0 { reads normal 4 kohm .. 5 kohm }\n  }\n}\n",
    );
    expect![[r#"
        * wrong-unit: Write `4.7 kohm`
            loop a, end 4.7 kohm { reads normal 4 kohm .. 5 kohm }
    "#]]
    .assert_eq(&offered((view, entry, offset)));
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
fn of_several_names_that_may_be_meant_none_is_preferred() {
    check(
        "run z1 : copper-2x22AWG",
        "run z1 : 2x22AWG$0",
        expect![[r#"
            - wrong-kind: Change `2x22AWG` to `cca-2x22AWG`
                run z1 : cca-2x22AWG { main.1 --14 m-- rc1 }
            - wrong-kind: Change `2x22AWG` to `copper-2x22AWG`
                run z1 : copper-2x22AWG { main.1 --14 m-- rc1 }
        "#]],
    );
}

#[test]
fn the_thing_in_front_of_a_point_is_changed_by_itself() {
    check(
        "{ main.1 --14 m-- rc1 }",
        "{ Main$0.1 --14 m-- rc1 }",
        expect![[r#"
            * unknown-name: Change `Main` to `main`
                run z1 : copper-2x22AWG { main.1 --14 m-- rc1 }
        "#]],
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
fn the_same_unit_at_both_ends_of_a_range_is_changed_at_both() {
    check(
        "ambient 5 °C .. 35 °C",
        "ambient 5 C$0 .. 35 C",
        expect![[r#"
            * wrong-unit: Change `C` to `°C`
                ambient 5 °C .. 35 °C
        "#]],
    );
}
