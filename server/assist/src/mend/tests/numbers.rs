//! Numbers, their units, and addresses.

use expect_test::expect;

use super::{check, offered};
use crate::fixture::{fixture, harbour, harbour_in_feet};

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
fn the_unit_that_the_plan_is_written_in_comes_first() {
    let first = |from: &str, to: &str| {
        let offered = offered(harbour_in_feet(from, to));
        offered.lines().next().unwrap_or_default().to_string()
    };
    assert_eq!(
        first("--220 ft--", "--220$0--"),
        "* wrong-unit: Write `220 ft`"
    );
    assert_eq!(
        first("40 °F .. 95 °F", "40$0 .. 95"),
        "* wrong-unit: Write `40 °F`"
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

#[test]
fn a_number_that_is_taken_is_changed_to_the_next_free_one() {
    check(
        "zone 2 \"Shop floor\"",
        "zone 1$0 \"Shop floor\"",
        expect![[r#"
            * name-taken: Give this zone the number 2
                zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
            - name-taken: Accept `name-taken` here, with a reason
                zone 1 "Shop floor",      input 2,    from pir1, partition 1, loop double, accept name-taken "reason"
        "#]],
    );
    check(
        "partition 2 \"Workshop\"",
        "partition 1$0 \"Workshop\"",
        expect![[r#"
            * name-taken: Give this partition the number 2
                partition 2 "Workshop"
            - name-taken: Accept `name-taken` here, with a reason
                accept name-taken "reason"
        "#]],
    );
}

#[test]
fn what_stands_in_a_list_twice_is_taken_out() {
    check(
        "address 1, partition 1",
        "address 1, partition 1 1$0",
        expect![[r#"
            - repeated: Take 1 out
                keypad   front "Shop door"     : K2,  address 1, partition 1
              - keypad   front "Shop door"     : K2,  address 1, partition 1 1
        "#]],
    );
    check(
        "{ main.1 --14 m-- rc1 }",
        "{ main.1 --14 m-- rc1 --3 m-- rc1$0 }",
        expect![[r#"
            * repeated: Take the leg out
                run z1 : copper-2x22AWG { main.1 --14 m-- rc1 }
              - run z1 : copper-2x22AWG { main.1 --14 m-- rc1 --3 m-- rc1 }
        "#]],
    );
    check(
        "{ main.1 --14 m-- rc1 }",
        "{ main.1 --14 m-- main.1$0 }",
        expect![[""]],
    );
}

#[test]
fn a_sounder_is_fed_from_what_is_on_in_alarm_only() {
    check(
        "sounder  s1   \"Front elevation\" : S15",
        "sounder  s1   \"Front elevation\" : S15\n  sounder  s2$0 \"Hall\" : S15\n  run b2 : copper-2x22AWG { main.aux --5 m-- s2 }",
        expect![[r#"
            * not-switched: Feed s2 from main.siren
                run b2 : copper-2x22AWG { main.siren --5 m-- s2 }
            - not-switched: Accept `not-switched` here, with a reason
                sounder  s2 "Hall" : S15, accept not-switched "reason"
        "#]],
    );
}

#[test]
fn the_cable_goes_along_to_another_input() {
    let plan = "\
use \"../catalog/merrow.bell\"
site a {
  panel main : M8 {
    partition 1
    zone 9, input $09, from rc1, partition 1, loop single
  }
  detector rc1 : RC
  run z9 : copper-2x22AWG { main.9 --9 m-- rc1 }
}
";
    expect![[r#"
        * input-missing: Put zone 9 on input 1
            zone 9, input 1, from rc1, partition 1, loop single
            run z9 : copper-2x22AWG { main.1 --9 m-- rc1 }
        - input-missing: Accept `input-missing` here, with a reason
            zone 9, input 9, from rc1, partition 1, loop single, accept input-missing "reason"
    "#]]
    .assert_eq(&offered(fixture(plan)));
}
