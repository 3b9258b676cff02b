//! Words and names that are spelt otherwise than what is meant.

use expect_test::expect;

use super::{check, offered};
use crate::fixture::fixture;
use crate::mend::mend_slips;

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
fn a_file_is_used_whatever_its_model_asks_of_the_plan() {
    // The other panel's bus has another name, and it leaves open how a loop is wired.
    expect![[r#"
        * unknown-name: Add use "../catalog/other.bell"
            use "../catalog/other.bell"
    "#]]
    .assert_eq(&offered(fixture(
        "\
//- sites/new.bell
site new {
  panel main : O8$0 {
    bus keys { keypad k : K, address 1 }
    zone 1, input 1, from d
  }
  detector d : D
}
model keypad K { standby 5 mA }
model detector D { contact alarm }
//- catalog/other.bell
model panel O8 {
  bus data { addresses 1 .. 4 }
  inputs 1 .. 2 {
    loop single { reads open 1 kohm .. }
    loop double { reads open 2 kohm .. }
  }
}
",
    )));
}

#[test]
fn a_bus_is_called_what_the_only_one_of_the_panel_is_called() {
    let plan = |more: &str| {
        offered(fixture(&format!(
            "\
model panel O8 {{
  bus data {{ addresses 1 .. 4 }}{more}
}}
model keypad K {{ standby 5 mA }}
site new {{
  panel main : O8 {{
    bus line$0 {{ keypad k : K, address 1 }}
  }}
}}
"
        )))
    };
    expect![[r#"
        * unknown-name: Change `line` to `data`
            bus data { keypad k : K, address 1 }
    "#]]
    .assert_eq(&plan(""));
    assert_eq!(plan("\n  bus other { addresses 1 .. 4 }"), "");
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
