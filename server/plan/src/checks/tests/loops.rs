//! What inputs read, and what would make them read it right.

use expect_test::expect;

use super::*;
use Code::{InputMissing, InputTaken, LoopAmbiguous, LoopMisread};

pub(super) const LOOPS: &[Code] = &[InputMissing, InputTaken, LoopMisread, LoopAmbiguous];

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
fn power_beside_a_loop_is_no_second_way_of_the_loop() {
    let site = |second: &str| {
        format!(
            "panel main : P {{ zone 1, input 1, from d e, loop double }}
detector d : D
detector e : D
run l : quad {{ main.1 --10 m-- d --3 m-- e }}
run p : quad {{
  main.aux --10 m-- d
  {second} --3 m-- e
}}"
        )
    };
    check_clean(&site("d"), &[Code::WiredTwice]);
    // A cable that starts at the input is there for the loop.
    check_site(
        &site("main.1"),
        &[Code::WiredTwice],
        expect![[r#"
        5:42 wired-twice warning: the loop of main.1 reaches e over two routes, the second in l: a break in one of them goes unseen, and it is worked out over the shorter. Take one out, or name the other input, detector or joint that is meant.
    "#]],
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

/// It has a window for faults, and an alarm opens the loop as a break does.
#[test]
fn a_broken_core_is_no_alarm_to_a_loop_that_knows_tamper() {
    check_plan(
        "model panel T { inputs 1 .. 4 {
  loop l {
    end 1 kohm
    reads tamper 0 ohm .. 0.2 kohm
    reads normal 0.5 kohm .. 1.5 kohm
    reads alarm 3 kohm ..
  }
} }
",
        "panel main : T { zone 1, input 1, from c, loop l }
detector c : C
run r : pair { main.1 --10 m-- c }",
        LOOPS,
        expect![[r#"
            2:48 loop-misread error: zone 1 is open with a core broken, which reads as `alarm`; `tamper` is 0 ohm to 200 ohm. Check the resistors of loop `l`, its windows, and how many detectors it has.
                model the window for `tamper`
        "#]],
    );
}
