//! What outputs carry against what they may.

use expect_test::expect;

use super::volts::CABLES;
use super::*;
use Code::{Headroom, OutputOverloaded};

#[test]
fn an_output_carries_no_more_than_its_limit() {
    check_site(
        "panel main : P
sounder a : B
sounder b : B
sounder c : B
run r : pair {
  main.siren --1 m-- a --1 m-- b
  main.siren --1 m-- c
}",
        &[OutputOverloaded, Headroom],
        expect![[r#"
            2:7 output-overloaded error: main.siren carries 1.2 A with the system in alarm; the limit is 1 A. a draws the most, 400 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
}

#[test]
fn the_rules_keep_part_of_the_limit_free() {
    check_plan(
        CABLES,
        "rules kept
panel main : P
sounder a : B
sounder b : B
keypad k : K
run r : pair {
  main.siren --1 m-- a --1 m-- b --1 m-- k
}",
        &[OutputOverloaded, Headroom],
        expect![[r#"
            3:7 headroom warning: main.siren carries 900 mA with the system in alarm; with the 20 % that kept keeps free, 800 mA of 1 A are left to use. a draws the most, 400 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
    check_plan(
        CABLES,
        "rules kept
panel main : P
sounder a : B
sounder b : B
run r : pair {
  main.siren --1 m-- a --1 m-- b
}",
        &[OutputOverloaded, Headroom],
        expect![[""]],
    );
}

#[test]
fn the_outputs_of_a_unit_may_have_a_limit_together() {
    check_plan(
        "model supply T {
  limit 700 mA
  output one 13.8 V, limit 500 mA
  output two 13.8 V, limit 500 mA
}
",
        "supply psu : T
sounder a : B
sounder b : B
run r : pair {
  psu.one --1 m-- a
  psu.two --1 m-- b
}",
        &[OutputOverloaded],
        expect![[r#"
            2:8 output-overloaded error: all outputs of psu together carry 800 mA on mains with the system in alarm; the limit is 700 mA. a draws the most, 400 mA. Move a device to another supply.
                model the limit
        "#]],
    );
}

#[test]
fn what_an_output_carries_is_judged_over_cable_that_is_not_known() {
    check_plan(
        "model cable OLD { cores 4 }\nrules r {\n standby 12 h\n alarm 4 h\n}\n",
        "rules r
panel main : P { battery : pack }
sounder a : B
sounder b : B
sounder c : B
run r : OLD { main.siren --10 m-- a --5 m-- b --5 m-- c }",
        &[Code::Missing, OutputOverloaded, Code::BatteryShort],
        expect![[r#"
            model missing error: nothing says what OLD resists, so neither volts nor loops over it can be worked out: say its `conductor`, or its `resistance`.
            3:7 output-overloaded error: main.siren carries 1.2 A with the system in alarm; the limit is 1 A. Move a device to another output or supply.
                model the limit
            3:28 battery-short error: the battery of main lasts 0 s in standby; r asks for 12 h in standby and 4 h of alarm after that. That needs 10.2 Ah, and 7 Ah are fitted. 2 of pack would do.
                > Fit 2 of them to main
        "#]],
    );
}

/// 2 × 0.4 A and 2 × 0.1 A are the limit itself: it is met, and nothing of it kept free.
#[test]
fn what_is_just_the_limit_lacks_headroom_and_is_no_overload() {
    check_plan(
        CABLES,
        "rules kept
panel main : P
sounder a : B
sounder b : B
keypad k : K
keypad l : K
run r : pair {
  main.siren --1 m-- a --1 m-- b --1 m-- k --1 m-- l
}",
        &[OutputOverloaded, Headroom],
        expect![[r#"
            3:7 headroom warning: main.siren carries 1000 mA with the system in alarm; with the 20 % that kept keeps free, 800 mA of 1 A are left to use. a draws the most, 400 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
}
