//! What devices get, what the cable cannot feed, and what switches them.

use expect_test::expect;

use super::volts::CABLES;
use super::*;
use Code::{CannotBeFed, NotSwitched, OutputOverloaded, ReferenceShift, VoltageHigh, VoltageLow};

#[test]
fn an_output_that_is_off_leaves_no_voltage_too_low() {
    check_clean(
        "panel main : P
sounder a : B
run r : pair { main.siren --10 m-- a }",
        &[VoltageLow],
    );
}

#[test]
fn too_much_voltage_is_too_much() {
    check_plan(
        "model sounder L, alarm 10 mA, works 5 V .. 12 V
",
        "panel main : P
sounder l : L
run r : pair { main.aux --10 m-- l }",
        &[VoltageHigh, VoltageLow],
        expect![[r#"
            3:9 voltage-high error: l gets 13.8 V on mains in standby; it works up to 12 V. Feed it from an output of lower voltage.
        "#]],
    );
}

#[test]
fn voltage_up_to_the_highest_is_fine() {
    let models = "model sounder L, alarm 10 mA, works 5 V .. 13.8 V
";
    let site = "panel main : P
sounder l : L
run r : pair { main.aux --0 m-- l }";
    check_plan(models, site, &[VoltageHigh, VoltageLow], expect![[""]]);
}

#[test]
fn what_cannot_be_fed_is_told_once_for_a_network() {
    check_plan(
        CABLES,
        "panel main : P
sounder h : H
keypad k : K
run r : copper-2x22AWG { main.aux --20 m-- k --20 m-- h }",
        &[CannotBeFed, VoltageLow],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed h: it asks for 200 W and can have 6.12 W at most, with the battery at its end and the system in alarm. All on this branch (h and k) could have 3 % of what they ask for, 1.22 A. Without h, the rest of the branch gets what it needs. Even 1 mm² cable (copper-4x1mm2) for r would not be enough: feed h from a supply nearer to it.
        "#]],
    );
}

/// What hangs on an output over one way is told of apart from the rest.
#[test]
fn what_cannot_be_fed_hides_nothing_of_other_branches() {
    check_plan(
        CABLES,
        "panel main : P
sounder h : H
sounder i : H
keypad far : K
keypad near : K
run r : copper-2x22AWG { main.aux --20 m-- near --20 m-- h }
run q : copper-2x22AWG { main.aux --20 m-- i }
run f : copper-2x22AWG { main.aux --90 m-- far }",
        &[CannotBeFed, VoltageLow],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed h: it asks for 200 W and can have 6.12 W at most, with the battery at its end and the system in alarm. All on this branch (h and near) could have 3 % of what they ask for, 1.22 A. Without h, the rest of the branch gets what it needs. Even 1 mm² cable (copper-4x1mm2) for r would not be enough: feed h from a supply nearer to it.
            4:9 cannot-be-fed error: the cable cannot feed i: it asks for 200 W and can have 12.8 W at most, with the battery at its end in standby. Even 1 mm² cable (copper-4x1mm2) for q would not be enough: feed i from a supply nearer to it.
            5:8 voltage-low error: far gets 9.5 V with the battery at its end and the system in alarm; it works from 10 V. 1 mm² cable (copper-4x1mm2) for f would give 10.2 V.
                > Use copper-4x1mm2 for f
        "#]],
    );
}

#[test]
fn without_what_cannot_be_fed_others_may_lack_too() {
    check_plan(
        CABLES,
        "panel main : P
sounder h : H
keypad far : K
keypad near : K
run r : copper-2x22AWG { main.aux --20 m-- near --20 m-- h --50 m-- far }",
        &[CannotBeFed, VoltageLow],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed h: it asks for 200 W and can have 5.61 W at most, with the battery at its end and the system in alarm. All on this branch (h, far and near) could have 3 % of what they ask for, 1.22 A. Without h, too little still reaches far; the rest of the branch gets what it needs. Even 1 mm² cable (copper-4x1mm2) for r would not be enough: feed h from a supply nearer to it.
        "#]],
    );
}

/// A length that is not typed yet is no reason to hide what is known.
#[test]
fn a_branch_of_unknown_length_hides_nothing_of_others() {
    check_plan(
        CABLES,
        "panel main : P
keypad far : K
keypad b : K
run r : copper-2x22AWG { main.aux -- b }
run f : copper-2x22AWG { main.aux --90 m-- far }",
        &[CannotBeFed, VoltageLow],
        expect![[r#"
            3:8 voltage-low error: far gets 9.5 V with the battery at its end and the system in alarm; it works from 10 V. 1 mm² cable (copper-4x1mm2) for f would give 10.2 V.
                > Use copper-4x1mm2 for f
        "#]],
    );
}

#[test]
fn outputs_of_different_voltage_are_told_apart() {
    check_site(
        "panel main : P
supply psu : V
run r : pair { main.aux --0 m-- psu.out }",
        &[CannotBeFed, Code::WiredTwice],
        expect![[r#"
            3:8 wired-twice error: main.aux (13.8 V) and psu.out (9 V) are joined with no cable between them: the higher one would drive all it has into the lower. Feed each device from one of them.
                2:7 the other one
        "#]],
    );
}

#[test]
fn what_draws_in_standby_is_fed_in_standby() {
    check_site(
        "panel main : P { battery : pack }
keypad a : K
sounder b : B
run r : pair { main.siren --10 m-- a --10 m-- b }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: a gets nothing in standby: main.siren is on in alarm only. Feed it from an output that is always on.
        "#]],
    );
    check_clean(
        "panel main : P
keypad a : K
run r : pair { main.aux --10 m-- a }
run q : pair { main.siren --10 m-- a }",
        &[VoltageLow],
    );
}

#[test]
fn what_sounds_whenever_it_is_fed_is_switched_by_something() {
    let models = "model relay L { standby 20 mA }
model sounder Z { standby 5 mA, alarm 60 mA }
model beacon N { alarm 60 mA }
";
    check_plan(
        models,
        "panel main : P
supply psu : S
sounder s : B
beacon n : N
sounder right : B
sounder triggered : TR
sounder own : Z
run a : pair { main.aux --5 m-- s }
run b : pair { psu.out --5 m-- n }
run c : pair { main.siren --5 m-- right }
run d : quad { main.aux + main.siren --5 m-- triggered }
run e : pair { main.aux --5 m-- own }",
        &[NotSwitched],
        expect![[r#"
            4:9 not-switched warning: nothing switches s, which draws in alarm only: main.aux is always on. Feed it from main.siren (common practice).
                > Feed s from main.siren
            5:8 not-switched warning: nothing switches n, which draws in alarm only: psu.out is always on. Feed it from an output that is on in alarm only (common practice).
        "#]],
    );
    // What cannot be read may be a draw at all times, or the way to what switches it.
    check_plan(
        "model sounder U { standby 5 mX, alarm 60 mA }
model relay L { standby 20 mA }
",
        "panel main : P
supply psu : S
relay l : L
sounder u : U
run a : pair { main.aux --5 m-- u }",
        &[NotSwitched],
        expect![[r#""#]],
    );
    check_plan(
        models,
        "panel main : P
supply psu : S
relay l : L
beacon n : N
run b : pair {
  psu.out --5 m-- n
  leads psu.out 5 m l
}",
        &[NotSwitched],
        expect![[r#""#]],
    );
    // What is told to stand in another place.
    check_plan(
        "model panel Y {
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 15
    place sounder 1 .. 4
  }
}
",
        "panel main : Y
sounder s : B
run a : quad { main.keys --5 m-- s }",
        &[],
        expect![[r#"
            3:9 address-missing error: s lies on the cable of main.keys but is in no bus, so it has no address: declare it in `bus keys` of main.
        "#]],
    );
    // Over its bus, or by a relay.
    check_plan(
        models,
        "panel main : P { bus keys { sounder s : B, address 1 } }
supply psu : S
relay l : L
beacon n : N
run a : quad { main.keys --5 m-- s }
run b : pair { psu.out --5 m-- l --5 m-- n }",
        &[NotSwitched],
        expect![[r#""#]],
    );
    // By none that hangs on the same output alone.
    check_plan(
        models,
        "panel main : P
relay l : L
beacon n : N
beacon m : N
run a : pair { main.aux --5 m-- n --5 m-- l }
run b : pair { l --5 m-- m }",
        &[NotSwitched],
        expect![[r#"
            4:8 not-switched warning: nothing switches n, which draws in alarm only: main.aux is always on. Feed it from main.siren (common practice).
        "#]],
    );
}

#[test]
fn what_an_output_can_deliver_in_all_is_told() {
    // 200 m of 50 ohm/km are 20 ohm both ways: three of 400 mA would lose 24 V.
    check_site(
        "supply u : U
sounder a : B
sounder b : B
sounder c : B
run r : pair {
  u.out --200 m-- a --1 m-- b
  a --1 m-- c
}",
        &[CannotBeFed],
        expect![[r#"
            4:9 cannot-be-fed error: the cable cannot feed b: it asks for 400 mA and can have nothing while the others draw what they ask for, on mains with the system in alarm. All on this branch (a, b and c) could have 57 % of what they ask for, 689 mA. Without b, too little still reaches a and c. No thicker cable is at hand for r: feed b from a supply nearer to it.
        "#]],
    );
}

#[test]
fn a_device_that_cannot_be_fed_is_told_of_once() {
    check_plan(
        "model cable copper-4x22AWG, cores 4, conductor 22 AWG, strands 7
model panel O, cutoff 10.5 V {
  charger 1 A
  output aux 13.8 V
  bus k {
    power aux
    addresses 1 .. 8
    place keypad 1 .. 8
    shift 1 V
  }
}
model keypad E, standby 20 mA, alarm 120 mA, works 9.5 V ..
",
        "panel main : O {
  battery : pack
  bus k {
    keypad k1 : E, address 1
    keypad k2 : E, address 2
  }
}
run r : copper-4x22AWG { main.k --5 m-- k1 --2000 m-- k2 }",
        &[VoltageLow, CannotBeFed, ReferenceShift],
        expect![[r#"
            6:12 cannot-be-fed error: the cable cannot feed k2: it asks for 120 mA and can have 48.2 mA at most, with the battery at its end and the system in alarm. All on this branch (k1 and k2) could have 40 % of what they ask for, 96.7 mA. Without k2, the rest of the branch gets what it needs. No thicker cable is at hand for r: feed k2 from a supply nearer to it.
        "#]],
    );
}

#[test]
fn what_a_device_can_have_never_looks_like_what_it_asks_for() {
    // Over 22 ohm, both conductors, 10.5 V can give (10.5 V)² / (4 · 22 ohm) = 1.2528 W.
    let asks = "model relay W, standby 1.253 W\nmodel cable c, resistance 1.1 ohm/m\n";
    check_plan(
        asks,
        "panel main : P
relay w : W
run r : c { main.aux --10 m-- w }",
        &[CannotBeFed],
        expect![[r#"
            3:7 cannot-be-fed error: the cable cannot feed w: it asks for 1.253 W and can have 1.2528 W at most, with the battery at its end in standby. No thicker cable is at hand for r: feed w from a supply nearer to it.
        "#]],
    );
}

/// 4.2 W are 365 mA at the 11.5 V of the mains and 400 mA at the 10.5 V of the battery's end.
#[test]
fn what_draws_watts_weighs_most_on_a_battery_at_its_end() {
    let own = |limit: &str| {
        format!(
            "model supply A {{
  charger 1 A
  cutoff 10.5 V
  output out 11.5 V, limit {limit}
}}
model keypad F {{ standby 4.2 W }}
"
        )
    };
    let site = "supply psu : A
keypad f : F
run r : pair { psu.out --0 m-- f }";
    check_plan(
        &own("380 mA"),
        site,
        &[OutputOverloaded],
        expect![[r#"
        2:8 output-overloaded error: psu.out carries 400 mA with the battery at its end and the system in alarm; the limit is 380 mA. f draws the most, 400 mA. Move a device to another output or supply.
            model the limit
    "#]],
    );
    check_plan(&own("400 mA"), site, &[OutputOverloaded], expect![[""]]);
}

#[test]
fn what_one_output_feeds_at_all_times_is_not_silent_for_another_that_is_off() {
    check_plan(
        "model panel Z {
  charger 1 A
  output siren 13.8 V, in alarm
  output aux 13.8 V
}
",
        "panel main : Z
keypad a : K
run r : pair { main.siren --10 m-- a }
run q : pair { main.aux --10 m-- a }",
        &[VoltageLow],
        expect![[""]],
    );
}
