//! What cable brings to devices and joints.

use expect_test::expect;

use super::*;
use Code::{NegativesApart, NotWired, Unused, WiredTwice};

#[test]
fn every_device_that_is_fed_needs_a_cable() {
    check_site(
        "panel main : P { bus keys {
  keypad a : K, address 1
  keypad b : K, address 2
} }
supply psu : S
keypad c : K
detector d : C
run r : pair { psu.out --10 m-- b }",
        &[NotWired],
        expect![[r#"
            3:10 not-wired error: no cable reaches a: add it to a run from main.keys, `main.keys --10 m-- a` for one.
            4:10 not-wired error: no cable brings b the data of main.keys: add it to a run from there, or write one that `carries data`.
            7:8 not-wired error: no cable brings c power: add it to a run from an output, and say how long the cable is.
        "#]],
    );
    check_clean(
        "panel main : P { bus keys { keypad a : K, address 1 } }
run r : quad { main.keys --10 m-- a }",
        &[NotWired],
    );
}

#[test]
fn a_cable_that_starts_at_the_power_of_a_bus_is_to_start_at_the_bus() {
    let site = |run: &str| {
        format!(
            "panel main : P {{ bus keys {{
  keypad a : K, address 1
  keypad b : K, address 2
}} }}
run r : {run} --10 m-- a --5 m-- b }}"
        )
    };
    check_site(
        &site("quad { main.aux"),
        &[NotWired, WiredTwice],
        expect![[r#"
            3:10 not-wired error: no cable brings a the data of main.keys: r starts at main.aux, which is power alone. Start it at main.keys.
                > Start r at main.keys
            4:10 not-wired error: no cable brings b the data of main.keys: r starts at main.aux, which is power alone. Start it at main.keys.
                > Start r at main.keys
        "#]],
    );
    // Without cores for the data, or from another output, it is not said what to do with it.
    for run in [
        "pair { main.aux",
        "quad { main.siren",
        "quad { main.aux + main.1",
    ] {
        let text = format!("{}site s {{\n{}\n}}\n", models(), site(run));
        let told = found(&text, &[NotWired], 0);
        assert!(
            told.contains("no cable brings a the data of main.keys: add it"),
            "{told}"
        );
    }
}

#[test]
fn a_joint_that_a_cable_meets_in_is_used() {
    check_clean(
        "panel main : P
joint j
keypad a : K
run r : pair { main.aux --1 m-- j }
run q : pair { j --1 m-- a }",
        &[Unused],
    );
}

#[test]
fn a_joint_that_no_cable_meets_in_is_unused() {
    check_site(
        "panel main : P
joint j
joint k
keypad a : K
run r : pair { main.aux --1 m-- k --1 m-- a }",
        &[Unused],
        expect![[r#"
            3:7 unused information: no cable meets in j: name it in a run, or take it out.
        "#]],
    );
}

#[test]
fn a_device_lies_on_the_cable_of_its_own_bus() {
    check_site(
        "panel one : P { bus keys { keypad a : K, address 1 } }
panel two : P { bus keys { keypad b : K, address 1 } }
run r : quad { one.keys --10 m-- a --10 m-- b }",
        &[NotWired],
        expect![[r#"
            3:35 not-wired error: b is on two.keys and lies on the cable of one.keys: bring it the cable of two.keys, or declare it in `bus keys` of one.
        "#]],
    );
}

#[test]
fn a_device_with_an_address_is_in_a_bus() {
    check_site(
        "panel main : P
supply psu : S
keypad a : K, address 1
keypad b : K
sounder c : B
keypad d : K
sounder e : B, address 3
run r : quad { main.keys --10 m-- b --10 m-- c }
run s : quad { main.aux --10 m-- d }",
        &[Code::AddressMissing, Code::Misplaced],
        expect![[r#"
            4:23 misplaced error: a has an address and is in no bus, where it counts for nothing: move a into `bus keys` of main.
            5:8 address-missing error: b lies on the cable of main.keys but is in no bus, so it has no address: declare it in `bus keys` of main.
            8:24 misplaced error: e has an address and is in no bus, where it counts for nothing: take it out.
        "#]],
    );
    // A detector may take its power from the cable of a bus.
    check_plan(
        "model panel A {
  output aux 13.8 V
  inputs 1 .. 4
  bus keys {
    power aux
    addresses 1 .. 8
    place keypad 1 .. 4
    place detector 5 .. 8
  }
}
",
        "panel main : A {
  zone 1, input 1, from c
}
detector c : C
run r : quad { main.keys + main.1 --10 m-- c }",
        &[Code::AddressMissing, Code::Misplaced],
        expect![[""]],
    );
}

#[test]
fn a_device_with_a_trigger_needs_both_outputs() {
    check_site(
        "panel main : P { battery : pack }
supply psu : S { battery : pack }
sounder a : TR
sounder b : TR
sounder c : TR
sounder d : TR
run a : pair { main.aux --10 m-- a }
run b : pair { main.siren --10 m-- b }
run d : pair { psu.out --10 m-- d }",
        &[NotWired, WiredTwice],
        expect![[r#"
            4:9 not-wired error: main.aux feeds a and nothing triggers it, but its model has a `trigger`: bring it an output that is `in alarm` too, `main.aux + main.siren` in one cable, or main.siren over a run of its own.
            5:9 not-wired error: main.siren triggers b and nothing feeds it, but its model has a `trigger`: bring it an output that is on at all times too, `main.aux + main.siren` in one cable, or main.aux over a run of its own.
            6:9 not-wired error: no cable brings c power: add it to a run from an output, and say how long the cable is.
            7:9 not-wired error: psu.out feeds d and nothing triggers it, but its model has a `trigger`: bring it an output that is `in alarm` too, main.siren over a run of its own.
        "#]],
    );
    check_clean(
        "panel main : P { battery : pack }
supply psu : S { battery : pack }
sounder a : TR
sounder b : TR
run a : quad { main.aux + main.siren --10 m-- a }
run b : pair { psu.out --10 m-- b }
run c : pair { main.siren --10 m-- b }",
        &[NotWired, WiredTwice, NegativesApart, Code::VoltageLow],
    );
}

#[test]
fn a_bus_whose_model_names_no_power_is_told_of_as_that() {
    check_plan(
        "model panel O {
  charger 1 A
  output bell 13.8 V, in alarm
  output aux 13.8 V
  bus k {
    addresses 1 .. 8
    place keypad 1 .. 8
  }
}
",
        "panel main : O {
  battery : pack
  bus k {
    keypad k1 : K, address 1
  }
}
run r : quad { main.k --5 m-- k1 }",
        &[NotWired],
        expect![[r#"
            5:12 not-wired error: no cable brings k1 power: bus `k` of the model O brings it data alone. If the bus has power, say there from which output, `power aux` for one; if not, add k1 to a run from an output.
        "#]],
    );
}

#[test]
fn a_run_that_carries_data_alone_brings_no_power() {
    check_site(
        "panel main : P
sounder b : B
run r : pair, carries data { main.siren --1 m-- b }",
        &[Code::NotWired],
        expect![[r#"
            3:9 not-wired error: no cable brings b power: r comes from main.siren, and says that it `carries data` alone. Take that out, or add b to another run from an output.
        "#]],
    );
}

#[test]
fn what_sounds_on_a_bus_is_switched_over_it() {
    check_clean(
        "panel main : P { bus keys { sounder b : B } }
run r : quad { main.keys --10 m-- b }",
        &[Code::NotSwitched],
    );
}
