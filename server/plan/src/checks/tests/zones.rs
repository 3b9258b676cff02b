//! Zones: their inputs, their detectors, and the cable between.

use expect_test::expect;

use super::loops::LOOPS;
use super::*;
use Code::{InputMissing, InputTaken};

#[test]
fn two_zones_on_one_input_are_told_at_both_ends() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
  zone 2, input 1, from d, loop single
}
detector c : C
detector d : C
run r : quad { main.1 --10 m-- c --10 m-- d }",
        LOOPS,
        expect![[r#"
            3:17 input-taken error: zones 1 and 2 are both read by main.1.
                4:17 zone 2 has it
            4:17 input-taken error: zones 2 and 1 are both read by main.1. Put zone 2 on input 2.
                3:17 zone 1 has it
                > Put zone 2 on input 2
        "#]],
    );
}

#[test]
fn an_input_must_be_there_and_have_a_cable() {
    check_site(
        "panel main : P {
  bus keys { expander x : X, address 9 }
  zone 1, input 9, from c, loop single
  zone 2, input 2, from c, loop single
  zone 3, input x.12, from c, loop single
}
detector c : C
run k : quad { main.keys --10 m-- x }
run r : pair { main.1 --10 m-- c }
run q : pair { x.1 --10 m-- c }",
        &[InputMissing],
        expect![[r#"
            4:17 input-missing error: zone 1 is read by main.9, and main has inputs 1 to 8. Its cable lies on main.1 and x.1: put it on one of them.
                model the inputs that there are
            5:17 input-missing error: no cable leads from main.2 to c, which zone 2 reads: add a run, `main.2 --10 m-- c` for one.
            6:17 input-missing error: zone 3 is read by x.12, and x has inputs 1 to 8. Its cable lies on main.1 and x.1: put it on one of them.
                model the inputs that there are
        "#]],
    );
}

#[test]
fn zones_on_each_others_cable_are_told_once() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
  zone 2, input 2, from d, loop single
}
detector c : C
detector d : C
run r : pair { main.2 --10 m-- c }
run q : pair { main.1 --10 m-- d }",
        &[InputMissing],
        expect![[r#"
            3:17 input-missing error: zones 1 and 2 are on each other's cable: c lies on the cable of main.2, which zone 2 is read by. Exchange their inputs, or the cables at the terminals.
                4:17 the other one
                > Exchange the inputs of zones 1 and 2
        "#]],
    );
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
}
detector c : C
run r : pair { main.2 --10 m-- c }",
        &[InputMissing],
        expect![[r#"
            3:17 input-missing error: c lies on the cable of main.2, and zone 1 is read by main.1: put the zone on that input, or lead the cable to this one.
                > Put zone 1 on input 2
        "#]],
    );
}

#[test]
fn a_zone_watches_what_has_a_contact() {
    check_site(
        "panel main : P {
  bus keys { keypad k : K, address 1 }
  zone 1, input 1, from k, loop single
  zone 2, input 2, from s c, loop single
}
sounder s : B
detector c : C
run r : quad { main.keys --10 m-- k }",
        &[InputMissing, Code::WrongKind],
        expect![[r#"
            4:25 wrong-kind error: k has no contact, so zone 1 never sees an alarm from it: name the detector on the loop, or give the model its `contact`.
            5:17 input-missing error: no cable leads from main.2 to c, which zone 2 reads: add a run, `main.2 --10 m-- c` for one.
            5:25 wrong-kind error: s has no contact, so zone 2 never sees an alarm from it: name the detector on the loop, or give the model its `contact`.
        "#]],
    );
}

#[test]
fn a_detector_is_in_a_zone() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
}
detector c : C
detector d : D
run r : pair { main.1 --10 m-- c }",
        &[InputMissing],
        expect![[r#"
            6:10 input-missing error: d is in no zone, so no input reads it: name it in one, `from d`.
        "#]],
    );
    // Where nothing reads inputs, there is nothing to say.
    check_clean("supply psu : S\ndetector d : D", &[InputMissing]);
}

#[test]
fn an_input_that_no_loop_is_known_of_is_told_once_for_its_model() {
    let models = "
model panel B {
  output aux 13.8 V
  inputs 1 .. 4
}
rules night { standby 12 h }
";
    let site = "rules night
panel main : B {
  zone 1, input 1, from c
  zone 2, input 2, from d
}
detector c : C
detector d : C
run r : pair {
  main.1 --10 m-- c
  main.2 --10 m-- d
}";
    let expect = expect![[r#"
        3:7 unchecked information: what main itself draws is in no battery sum: say in the model B its `standby`.
            model the model
        4:8 unchecked information: what zone 1 reads is not checked: say in the model B which loops its inputs read, a `loop` for each.
            model the model
    "#]];
    check_plan(models, site, &[Code::Unchecked], expect);
    let read = models.replace(
        "1 .. 4",
        "1 .. 4 { loop l { reads normal 0 ohm .. 1 kohm } }",
    );
    let text = format!(
        "{read}{}\nsite s {{\n{site}\n}}\n",
        crate::figures::tests::power::MODELS
    );
    assert!(!found(&text, &[Code::Unchecked], 0).contains("what zone"));
}

#[test]
fn a_detector_on_two_loops_is_told() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
  zone 2, input 2, from d, loop single
  zone 3, input 3, from c d, loop single
  zone 4, input 3, from c, loop single
}
detector c : C
detector d : D",
        &[Code::Repeated, Code::Unchecked],
        expect![[r#"
            5:25 repeated error: c is on the loops of zones 1 and 3, and its one contact can be on one of them only.
                3:8 the other zone
            5:27 unchecked information: d is on the loops of zones 2 and 3, and which of its contacts is on which is not in the plan, so both are worked out with all of them: declare a detector for each loop, of a model that has the contacts on it.
                4:8 the other zone
            6:25 repeated error: c is on the loops of zones 1 and 4, and its one contact can be on one of them only.
                3:8 the other zone
        "#]],
    );
    check_clean(
        "panel main : P {
  zone 1, input 1, from c d, loop single
  zone 2, input 1, from c d, loop single
}
detector c : C
detector d : D",
        &[Code::Repeated, Code::Unchecked],
    );
    // Which contact is on which loop is not known, so no loop is judged by both.
    check_plan(
        "model panel T {
  output aux 13.8 V
  inputs 1 .. 2 {
    loop alarms {
      reads normal 0 ohm .. 100 ohm
      reads alarm  10 kohm ..
    }
    loop tampers {
      reads normal 0 ohm .. 100 ohm
      reads tamper 10 kohm ..
    }
  }
}
",
        "panel main : T {
  zone 1, input 1, from d, loop alarms
  zone 2, input 2, from d, loop tampers
}
detector d : D
run r : quad { main.1 + main.2 --10 m-- d }",
        LOOPS,
        expect![[""]],
    );
}

#[test]
fn a_zone_is_put_on_the_input_on_whose_cable_its_detectors_lie() {
    let site = |first: &str, second: &str| {
        format!(
            "panel main : P {{
  bus keys {{ expander x1 : X, address 9 }}
  zone 1, input {first}, from a, loop single
  zone 2, input {second}, from b, loop single
}}
detector a : C
detector b : C
run q : pair {{ main.1 --5 m-- a }}
run r : pair {{ x1.1 --5 m-- b }}"
        )
    };
    let check = |first, second, expected| {
        check_site(&site(first, second), &[InputMissing, InputTaken], expected);
    };
    check(
        "1",
        "17",
        expect![[r#"
            5:17 input-missing error: zone 2 is read by main.17, and main has inputs 1 to 8. Put zone 2 on input x1.1, where its cable lies.
                model the inputs that there are
                > Put zone 2 on input x1.1
        "#]],
    );
    check(
        "1",
        "1",
        expect![[r#"
            4:17 input-taken error: zones 1 and 2 are both read by main.1.
                5:17 zone 2 has it
            5:17 input-taken error: zones 2 and 1 are both read by main.1. Put zone 2 on input x1.1, where its cable lies.
                4:17 zone 1 has it
                > Put zone 2 on input x1.1
        "#]],
    );
    check(
        "1",
        "x1.2",
        expect![[r#"
        5:17 input-missing error: b lies on the cable of x1.1, and zone 2 is read by x1.2: put the zone on that input, or lead the cable to this one.
            > Put zone 2 on input x1.1
    "#]],
    );
    check("1", "x1.1", expect![[""]]);
    // Whichever of two is on the other's cable moves.
    check(
        "x1.1",
        "x1.1",
        expect![[r#"
            4:17 input-taken error: zones 1 and 2 are both read by x1.1. Put zone 1 on input 1, where its cable lies.
                5:17 zone 2 has it
                > Put zone 1 on input 1
            5:17 input-taken error: zones 2 and 1 are both read by x1.1.
                4:17 zone 1 has it
        "#]],
    );
    // Not onto what another zone has.
    check(
        "x1.1",
        "17",
        expect![[r#"
            4:17 input-missing error: a lies on the cable of main.1, and zone 1 is read by x1.1: put the zone on that input, or lead the cable to this one.
                > Put zone 1 on input 1
            5:17 input-missing error: zone 2 is read by main.17, and main has inputs 1 to 8. Its cable lies on x1.1.
                model the inputs that there are
        "#]],
    );
}

#[test]
fn where_a_cable_carries_several_inputs_a_zone_is_put_on_the_one_that_is_free() {
    let check = |zones: &str, expected| {
        let site = format!(
            "panel main : P {{
{zones}
}}
detector a : C
detector b : C
run r : quad {{ main.1 + main.2 --5 m-- a --5 m-- b }}"
        );
        check_site(&site, &[InputMissing], expected);
    };
    check(
        "zone 1, input 1, from a, loop single
zone 2, input 17, from b, loop single",
        expect![[r#"
            4:15 input-missing error: zone 2 is read by main.17, and main has inputs 1 to 8. Put zone 2 on input 2, where its cable lies.
                model the inputs that there are
                > Put zone 2 on input 2
        "#]],
    );
    check(
        "zone 2, input 17, from b, loop single",
        expect![[r#"
        3:15 input-missing error: zone 2 is read by main.17, and main has inputs 1 to 8. Its cable lies on main.1 and main.2: put it on one of them.
            model the inputs that there are
        5:10 input-missing error: a is in no zone, so no input reads it: name it in one, `from a`.
    "#]],
    );
}

#[test]
fn a_panel_reads_its_own_inputs_and_those_of_its_expanders() {
    check_site(
        "panel main : P {
  zone 1, input x.1, from c, loop single
  zone 2, input two.2, from e, loop single
}
panel two : P {
  bus keys { expander x : X, address 9 }
  zone 1, input x.3, from f, loop single
}
detector c : C
detector e : C
detector f : C
run k : quad { two.keys --1 m-- x }
run r : quad {
  x.1 --1 m-- c
  two.2 --1 m-- e
  x.3 --1 m-- f
}",
        &[InputMissing],
        expect![[r#"
            3:17 input-missing error: zone 1 is one of main, and x.1 is read by two: write the zone in two, or give it an input of main.
                6:7 the panel that reads it
            4:17 input-missing error: zone 2 is one of main, and two.2 is read by two: write the zone in two, or give it an input of main.
                6:7 the panel that reads it
        "#]],
    );
}
