use expect_test::expect;

use super::*;
use Code::{
    InputMissing, InputTaken, LoopAmbiguous, LoopMisread, PartitionUnknown, TooManyPartitions,
    ZoneMissingPartition,
};

const LOOPS: &[Code] = &[InputMissing, InputTaken, LoopMisread, LoopAmbiguous];

#[test]
fn zones_that_read_right_are_quiet() {
    check_clean(
        "panel main : P {
  bus keys { expander x : X, address 9 }
  zone 1, input 1, from c, loop single
  zone 2, input 2, from d, loop double
  zone 3, input x.4, from e, loop single
}
detector c : C
detector d : D
detector e : C
run k : quad { main.keys --10 m-- x }
run r : quad {
  main.1 --10 m-- c
  main.2 --10 m-- d
  x.4 --10 m-- e
}",
        LOOPS,
    );
}

#[test]
fn a_loop_without_resistors_is_not_asked_to_tell_touching_cores_from_closed_contacts() {
    let plain = |windows: &str| {
        format!(
            "model panel T {{ inputs 1 .. 4 {{
  loop plain {{
    {windows}
  }}
}} }}
model detector O {{ contact alarm, open }}
"
        )
    };
    let site = |detector| {
        format!(
            "panel main : T {{ zone 1, input 1, from d }}
detector d : {detector}
run r : pair {{ main.1 --10 m-- d }}"
        )
    };
    for (detector, windows) in [
        (
            "C",
            "reads normal 0 ohm .. 0.5 kohm\n    reads open 5 kohm ..",
        ),
        (
            "O",
            "reads short 0 ohm .. 0.5 kohm\n    reads normal 5 kohm ..",
        ),
    ] {
        check_plan(&plain(windows), &site(detector), LOOPS, expect![[""]]);
    }
    // What it is said to tell, it must tell.
    let told = "reads short 0 ohm .. 0.1 ohm\n    reads normal 0.2 ohm .. 1 kohm\n    reads open 5 kohm ..";
    check_plan(
        &plain(told),
        &site("C"),
        LOOPS,
        expect![[r#"
        2:32 loop-misread error: zone 1 is 0 ohm to 1 ohm with its cores touching, which falls in no window wholly; `short` is 0 ohm to 0.1 ohm. Of that 1 ohm are cable. Check the resistors of loop `plain`, its windows, and how many detectors it has.
            model the window for `short`
    "#]],
    );
}

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
fn a_loop_that_reads_as_something_else_is_misread() {
    // 5000 m of the pair are 500 ohm; the double loop is quiet up to 1.4 kohm.
    check_site(
        "panel main : P {
  zone 1, input 1, from d, loop double
  zone 2, input 2, from c e, loop double
}
detector c : C
detector d : C
detector e : C
run r : pair { main.1 --5000 m-- d }
run q : pair { main.2 --10 m-- c --10 m-- e }",
        LOOPS,
        expect![[r#"
            3:33 loop-misread error: zone 1 is 1.49 kohm to 1.51 kohm when all is quiet, which falls in no window wholly; `normal` is 700 ohm to 1.4 kohm. Of that 500 ohm are cable. With 560 ohm at the end of loop `double` all would read right.
                model the window for `normal`
            4:35 loop-misread error: zone 2 is 2.97 kohm to 3.03 kohm with all its contacts in alarm, which falls in no window wholly; `alarm` is 1.6 kohm to 2.6 kohm. Of that 2 ohm are cable. With 680 ohm at each contact of loop `double` all would read right.
                model the window for `alarm`
        "#]],
    );
}

#[test]
fn a_loop_must_tell_an_alarm_from_a_cut() {
    check_plan(
        "model panel A {
  inputs 1 .. 4 {
    loop coarse {
      end 1 kohm
      contact 4.7 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads open 4 kohm ..
    }
    loop plain {
      end 1 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads open 4 kohm ..
    }
  }
}
",
        "panel main : A {
  zone 1, input 1, from c, loop coarse
  zone 2, input 2, from d, loop plain
}
detector c : C
detector d : C
run r : quad {
  main.1 --10 m-- c
  main.2 --10 m-- d
}",
        LOOPS,
        expect![[r#"
            3:33 loop-ambiguous error: zone 1 reads `open` both with c in alarm (5.64 kohm to 5.76 kohm) and with a core broken (open): the input cannot tell them apart. Check the resistors of loop `coarse`, its windows, and how many detectors it has.
        "#]],
    );
}

#[test]
fn a_loop_must_tell_an_alarm_from_quiet() {
    check_plan(
        "model panel A {
  inputs 1 .. 4 {
    loop weak {
      end 2.2 kohm
      contact 300 ohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 1.6 kohm .. 2.9 kohm
      reads open 5 kohm ..
    }
  }
}
",
        "panel main : A {
  zone 1, input 1, from c, loop weak
}
detector c : C
run r : pair { main.1 --10 m-- c }",
        LOOPS,
        expect![[r#"
            3:33 loop-ambiguous error: zone 1 reads `normal` both when all is quiet (2.18 kohm to 2.22 kohm) and with c in alarm (2.48 kohm to 2.53 kohm): the input cannot tell them apart. Check the resistors of loop `weak`, its windows, and how many detectors it has.
        "#]],
    );
}

const PARTITIONS: &[Code] = &[ZoneMissingPartition, PartitionUnknown, TooManyPartitions];

#[test]
fn zones_are_in_partitions_that_there_are() {
    check_site(
        "panel main : P {
  partition 1 \"Shop\"
  zone 1, input 1, from c, loop single
  zone 2, input 2, from c, loop single, partition 2
  zone 3, input 3, from c, loop single, partition 1
  bus keys { keypad k : K, address 1, partition 3 }
}
panel other : P {
  zone 1, input 1, from c, loop single
}
detector c : C",
        PARTITIONS,
        expect![[r#"
            4:8 zone-missing-partition warning: zone 1 is in no partition, so nobody sets it: main has partition 1.
                > Put zone 1 in partition 1
            5:51 partition-unknown error: zone 2 is in partition 2, and main has only partition 1; add `partition 2` to it.
                > Add partition 2 to main
            7:49 partition-unknown error: k is in partition 3, and main has only partition 1; add `partition 3` to it.
                > Add partition 3 to main
        "#]],
    );
}

#[test]
fn a_partition_is_added_among_the_others_in_the_order_of_numbers() {
    let mended = |panel: &str| {
        let plan = format!("{panel}\nkeypad k : K, partition 3");
        let (text, left) = all_mended(&plan, &[PartitionUnknown]);
        assert_eq!(left, Vec::<String>::new());
        let end = text.find("\nkeypad").expect("the keypad");
        text.get(9..end).expect("the panel").to_string()
    };
    let lines = |numbers: [&str; 2]| numbers.map(|own| format!("  partition {own}\n")).concat();
    // Behind the last one, and what is noted there.
    assert_eq!(
        mended(&format!(
            "panel main : P {{\n{}}}",
            lines(["1", "2 \"Flat\" # upstairs"])
        )),
        "panel main : P {\n  partition 1\n  partition 2 \"Flat\" # upstairs\n  partition 3\n}",
    );
    assert_eq!(
        mended("panel main : P {\r\n\tpartition 2\r\n\tpartition 4\r\n}"),
        "panel main : P {\r\n\tpartition 2\r\n\tpartition 3\r\n\tpartition 4\r\n}",
    );
    assert_eq!(
        mended("panel main : P {\n  # The last.\n  partition 4\n}"),
        "panel main : P {\n  # The last.\n  partition 3\n  partition 4\n}",
    );
    // As clauses, where the others are.
    assert_eq!(
        mended("panel main : P, partition 1 \"Shop\", partition 4, revision 4"),
        "panel main : P, partition 1 \"Shop\", partition 3, partition 4, revision 4",
    );
    // A block of one line has no room for another.
    assert_eq!(
        mended("panel main : P { partition 1 }"),
        "panel main : P, partition 3 { partition 1 }",
    );
    assert_eq!(mended("panel main : P"), "panel main : P, partition 3");
}

#[test]
fn a_panel_has_so_many_partitions() {
    check_plan(
        "model panel T { partitions 2 }
",
        "panel main : T {
  partition 1
  partition 2
  partition 3
}
panel other : T {
  partition 1
  partition 4
}
panel fine : T {
  partition 1
  partition 2
}",
        PARTITIONS,
        expect![[r#"
            5:13 too-many-partitions error: main can have 2 partitions, so there is no partition 3: put what is in it in another, or take a panel that has more.
                model how many it can have
            9:13 too-many-partitions error: other can have 2 partitions, so there is no partition 4: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
    check_plan(
        "model panel T { partitions 1 }
",
        "panel main : T, partition 1, partition 2",
        &[TooManyPartitions],
        expect![[r#"
            2:40 too-many-partitions error: main can have 1 partition, so there is no partition 2: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
}

/// A maker's own windows, and copper that is laid.
const FINER: &str = "
model cable copper-2x24AWG, conductor 24 AWG
model cable copper-2x22AWG, conductor 22 AWG
model cable strands-2x22AWG, conductor 22 AWG, strands 7
model cable copper-2x0-5mm2, conductor 0.5 mm2
model panel A {
  inputs 1 .. 4 {
    loop low {
      end 470 ohm
      reads short 0 ohm .. 300 ohm
      reads normal 400 ohm .. 550 ohm
      reads open 2 kohm ..
    }
    loop high {
      end 2.2 kohm
      reads short 0 ohm .. 1 kohm
      reads normal 1.6 kohm .. 2.9 kohm
      reads open 5 kohm ..
    }
  }
}
model panel O {
  inputs 1 .. 4 {
    loop only {
      end 470 ohm
      reads short 0 ohm .. 300 ohm
      reads normal 400 ohm .. 550 ohm
      reads open 2 kohm ..
    }
  }
}
model panel R {
  inputs 1 .. 4 {
    loop wrong {
      end 4.7 kohm
      reads short 0 ohm .. 1 kohm
      reads normal 1.6 kohm .. 2.9 kohm
      reads open 4 kohm ..
    }
  }
}
";

#[test]
fn another_loop_may_read_right() {
    check_plan(
        FINER,
        "panel main : A { zone 1, input 1, from c, loop low }
detector c : C
run r : copper-2x24AWG { main.1 --600 m-- c }",
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is 566 ohm to 576 ohm when all is quiet, which falls in no window wholly; `normal` is 400 ohm to 550 ohm. Of that 101 ohm are cable. Wired as loop `high` all would read right.
                model the window for `normal`
                > Wire zone 1 as loop `high`
        "#]],
    );
}

#[test]
fn a_thicker_cable_may_read_right() {
    check_plan(
        FINER,
        "panel main : O { zone 1, input 1, from c, loop only }
detector c : C
run r : copper-2x24AWG { main.1 --600 m-- c }",
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is 566 ohm to 576 ohm when all is quiet, which falls in no window wholly; `normal` is 400 ohm to 550 ohm. Of that 101 ohm are cable. With 22 AWG cable (copper-2x22AWG) for r all would read right.
                model the window for `normal`
                > Use copper-2x22AWG for r
        "#]],
    );
    check_plan(
        FINER,
        "panel main : O { zone 1, input 1, from c, loop only }
detector c : C
run r : copper-2x22AWG { main.1 --600 m-- c }",
        LOOPS,
        expect![[""]],
    );
}

#[test]
fn a_wrong_resistor_is_told_with_the_right_one() {
    check_plan(
        FINER,
        "panel main : R { zone 1, input 1, from c, loop wrong }
detector c : C
run r : copper-2x24AWG { main.1 --60 m-- c }",
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is 4.66 kohm to 4.76 kohm when all is quiet, which reads as `open`; `normal` is 1.6 kohm to 2.9 kohm. Of that 10.1 ohm are cable. With 2.2 kohm at the end of loop `wrong` all would read right.
                model the window for `normal`
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
fn a_loop_that_could_not_be_read_is_not_judged() {
    let models = |end: &str| {
        format!(
            "model panel L {{ inputs 1 .. 2 {{ loop odd {{
  end {end}
  reads normal 900 ohm .. 1.1 kohm
}} }} }}
"
        )
    };
    let site = "panel main : L {
  zone 1, input 1, from c, loop odd
}
detector c : C
run r : pair { main.1 --10 m-- c }";
    check_plan(&models("1 V"), site, &[LoopMisread], expect![[""]]);
    check_plan(
        &models("2 kohm"),
        site,
        &[LoopMisread],
        expect![[r#"
        3:33 loop-misread error: zone 1 is 1.98 kohm to 2.02 kohm when all is quiet, which falls in no window wholly; `normal` is 900 ohm to 1.1 kohm. Of that 1 ohm are cable. Check the resistors of loop `odd`, its windows, and how many detectors it has.
            model the window for `normal`
    "#]],
    );
}

#[test]
fn detectors_at_one_point_are_all_on_the_loop() {
    check_clean(
        "panel main : P { zone 1, input 1, from c d e, loop single }
detector c : C
detector d : C
detector e : C
run r : quad {
  main.1 --10 m-- c + d
  d --20 m-- e
}",
        LOOPS,
    );
}

const EDGES: &str = "
model panel E {
  output aux 13.8 V
  inputs 1 .. 2 {
    loop met {
      end 5.6 kohm
      tolerance 10 %
      reads short 0 ohm .. 1 kohm
      reads normal 5040 ohm .. 6160 ohm
      reads open 7 kohm ..
    }
  }
}
";

#[test]
fn a_window_that_is_just_met_holds_the_loop_and_one_that_is_missed_is_told_apart() {
    let site = |metres: &str| {
        format!(
            "panel main : E {{ zone 1, input 1, from c, loop met }}
detector c : C
run r : pair {{ main.1 --{metres}-- c }}"
        )
    };
    // 5.6 kohm and 10 % are above 6160 ohm in the sixteenth digit.
    check_plan(EDGES, &site("0 m"), LOOPS, expect![""]);
    check_plan(
        EDGES,
        &site("3 mm"),
        LOOPS,
        expect![[r#"
        2:48 loop-misread error: zone 1 is 5.04 kohm to 6.1600003 kohm when all is quiet, which falls in no window wholly; `normal` is 5.04 kohm to 6.16 kohm. Of that 0.0003 ohm are cable. Check the resistors of loop `met`, its windows, and how many detectors it has.
            model the window for `normal`
    "#]],
    );
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
fn a_second_contact_is_told_as_its_detectors() {
    // Closing across the end gives half of the end's 1 kohm.
    let site = "panel main : P { zone 1, input 1, from c t, loop double }
detector c : C
detector t : TT
run r : pair { main.1 --10 m-- c --10 m-- t }";
    check_plan(
        "model detector TT {
  contact alarm, closed
  contact tamper, closed
  contact alarm, open
}
",
        site,
        LOOPS,
        expect![[r#"
            2:50 loop-misread error: zone 1 is 497 ohm to 507 ohm with t in alarm at alarm contact 2, which falls in no window wholly; `alarm` is 1.6 kohm to 2.6 kohm. Of that 2 ohm are cable. Check the resistors of loop `double`, its windows, and how many detectors it has.
                model the window for `alarm`
        "#]],
    );
    // With 3 kohm across it, the end is as good as quiet.
    check_plan(
        "model detector TT {
  contact tamper, closed
  contact alarm, closed
  contact tamper, open, resistance 3 kohm
}
",
        site,
        LOOPS,
        expect![[r#"
            2:50 loop-ambiguous error: zone 1 reads `normal` both when all is quiet (992 ohm to 1.01 kohm) and with the housing of t open at tamper contact 2 (746 ohm to 758 ohm): the input cannot tell them apart. Check the resistors of loop `double`, its windows, and how many detectors it has.
        "#]],
    );
}

/// A panel with loops on which only an opened housing can read wrong.
fn tampered(windows: &str) -> String {
    windowed(&format!("reads short 0 ohm .. 0.5 kohm\n      {windows}"))
}

/// A panel with loops that have these windows beside `normal` and `alarm`.
fn windowed(windows: &str) -> String {
    format!(
        "model panel A {{
  inputs 1 .. 4 {{
    loop own {{
      end 1 kohm
      contact 1 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads alarm 1.6 kohm .. 2.6 kohm
      {windows}
    }}
  }}
}}
"
    )
}

const TAMPERED: &str = "panel main : A { zone 1, input 1, from d, loop own }
detector d : D
run r : pair { main.1 --10 m-- d }";

#[test]
fn an_open_housing_that_reads_wrong_is_not_blamed_on_resistors() {
    // The input says nothing of a loop that is open.
    check_plan(
        &tampered(""),
        TAMPERED,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is open with the housing of d open, which falls in no window wholly. Say in loop `own` what its input makes of an open loop, `reads open 2.6 kohm ..` for one.
        "#]],
    );
    // It expects a resistor where the contact has none.
    check_plan(
        &tampered("reads tamper 4 kohm .. 8 kohm"),
        TAMPERED,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is open with the housing of d open, which falls in no window wholly; `tamper` is 4 kohm to 8 kohm. Say in loop `own` what its input makes of an open loop, `reads tamper 8 kohm ..` for one.
                model the window for `tamper`
        "#]],
    );
    check_plan(
        &tampered("reads tamper 4 kohm .. 8 kohm\n      reads open 9 kohm .."),
        TAMPERED,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is open with the housing of d open, which reads as `open`; `tamper` is 4 kohm to 8 kohm. No resistor changes that: lead the tamper contact of d to an input of its own, and give d a model without it.
                model the window for `tamper`
        "#]],
    );
    // It reads an open loop as its sheet says.
    check_plan(
        &tampered("reads open 2.6 kohm .."),
        TAMPERED,
        LOOPS,
        expect![[""]],
    );
}

#[test]
fn resistors_are_to_be_checked_where_more_than_the_housing_reads_wrong() {
    check_plan(
        &tampered("").replace("alarm 1.6", "alarm 2.5"),
        TAMPERED,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is 1.98 kohm to 2.02 kohm with d in alarm, which falls in no window wholly; `alarm` is 2.5 kohm to 2.6 kohm. Of that 1 ohm are cable. Check the resistors of loop `own`, its windows, and how many detectors it has.
                model the window for `alarm`
        "#]],
    );
}

#[test]
fn a_condition_that_no_window_holds_is_misread() {
    check_plan(
        &windowed("reads open 4 kohm .."),
        TAMPERED,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is 0 ohm to 1 ohm with its cores touching, which falls in no window wholly. Of that 1 ohm are cable. Say in loop `own` what its input makes of a shorted loop, `reads short 0 ohm .. 700 ohm` for one.
        "#]],
    );
    let site = TAMPERED.replace("detector d : D", "detector d : C");
    check_plan(
        &windowed("reads short 0 ohm .. 0.5 kohm"),
        &site,
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is open with a core broken, which falls in no window wholly. Say in loop `own` what its input makes of an open loop, `reads open 2.6 kohm ..` for one.
        "#]],
    );
    check_plan(
        &windowed("reads short 0 ohm .. 0.5 kohm\n      reads tamper 4 kohm .."),
        &site,
        LOOPS,
        expect![[""]],
    );
}

#[test]
fn a_condition_in_two_windows_that_mean_the_same_is_misread() {
    check_plan(
        "model panel O {
  charger 1 A
  output aux 13.8 V
  inputs 1 .. 8 {
    loop double {
      end 1 kohm
      contact 1 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads tamper 1.5 kohm .. 2.2 kohm
      reads tamper 1.8 kohm .. 2.6 kohm
      reads alarm 3 kohm .. 4 kohm
      reads open 20 kohm ..
    }
  }
}
",
        "panel main : O {
  zone 1, input 1, from c, loop double
}
detector c : C
run r : pair { main.1 --10 m-- c }",
        LOOPS,
        expect![[r#"
            3:33 loop-misread error: zone 1 is 1.98 kohm to 2.02 kohm with c in alarm, which reads as `tamper`; `alarm` is 3 kohm to 4 kohm. Of that 1 ohm are cable. Check the resistors of loop `double`, its windows, and how many detectors it has.
                model the window for `alarm`
        "#]],
    );
}

#[test]
fn a_condition_in_two_windows_is_told_in_the_model_alone() {
    check_plan(
        "model panel O {
  charger 1 A
  output aux 13.8 V
  inputs 1 .. 8 {
    loop double {
      end 1 kohm
      contact 1 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads alarm 1.6 kohm .. 2.6 kohm
      reads tamper 20 kohm ..
      reads open 20 kohm ..
    }
  }
}
",
        "panel main : O {
  zone 1, input 1, from d, loop double
}
detector d : D
run r : pair { main.1 --5 m-- d }",
        &[LoopMisread, LoopAmbiguous],
        expect![[r#"
            model loop-ambiguous error: loop `double` reads 20 kohm and more as `tamper` and as `open` alike: let one window end where the other begins.
                model the window for `tamper`
        "#]],
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
fn a_keypad_says_its_partition_where_there_are_several() {
    let found = |partitions: &str| {
        let site =
            format!("panel main : P, {partitions} {{ bus keys {{ keypad k : K, address 1 }} }}");
        let text = format!("{}site s {{\n{site}\n}}\n", models());
        found(&text, &[Code::KeypadMissingPartition], 0)
    };
    assert_eq!(found("partition 1"), "");
    assert!(found("partition 1, partition 2").contains("main has partitions 1 and 2"));
}

/// Each number is one that it may have, and there are three of them.
#[test]
fn a_panel_of_two_partitions_has_no_third_of_whatever_number() {
    check_plan(
        "model panel T { partitions 2 }
",
        "panel main : T, partition 0, partition 1, partition 2",
        &[TooManyPartitions],
        expect![[r#"
            2:53 too-many-partitions error: main can have 2 partitions, so there is no partition 2: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
}
