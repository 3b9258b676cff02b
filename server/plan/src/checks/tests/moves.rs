//! Findings that are mended by feeding a run from elsewhere. Every mend is
//! tried: the finding must be gone in the changed text.

use expect_test::expect;

use super::*;
use Code::{
    BatteryShort, BatteryTooLarge, CannotBeFed, Headroom, OutputOverloaded, RechargeSlow,
    ReferenceShift, VoltageHigh, VoltageLow,
};

const MORE: &str = "
rules kept { headroom 20 % }
model battery big { capacity 17 Ah }
model panel Q {
  charger 1 A
  output aux 13.8 V, limit 500 mA
  output two 13.8 V, limit 500 mA
  output five 5 V
  output bell 13.8 V, limit 500 mA, in alarm
}
model sounder L, alarm 10 mA, works 4 V .. 6 V
model keypad N, standby 200 mA, alarm 350 mA, works 9 V .. 15 V
";

#[test]
fn the_run_that_carries_least_and_suffices_is_moved() {
    check_plan(
        MORE,
        "panel main : Q { battery : big }
keypad a : N
keypad b : N
keypad c : K
run r : pair { main.aux --1 m-- a }
run p : pair { main.aux --1 m-- b }
run q : pair { main.aux --1 m-- c }",
        &[OutputOverloaded],
        expect![[r#"
            2:7 output-overloaded error: main.aux carries 800 mA with the system in alarm; the limit is 500 mA. a draws the most, 350 mA. Feed a from main.two: main.aux then carries 450 mA.
                model the limit
                > Feed a from main.two
        "#]],
    );
    check_plan(
        MORE,
        "rules kept
panel main : Q { battery : big }
keypad a : N
keypad c : K
run r : pair { main.aux --1 m-- a }
run q : pair { main.aux --1 m-- c }",
        &[Headroom, OutputOverloaded],
        expect![[r#"
            3:7 headroom warning: main.aux carries 450 mA with the system in alarm; with the 20 % that kept keeps free, 400 mA of 500 mA are left to use. a draws the most, 350 mA. Feed c from main.two: main.aux then carries 350 mA.
                model the limit
                > Feed c from main.two
        "#]],
    );
}

#[test]
fn load_is_moved_on_a_unit_that_has_no_battery() {
    check_plan(
        "model supply L {
  output one 13.8 V, limit 500 mA
  output two 13.8 V, limit 500 mA
}
model keypad N, standby 350 mA
",
        "supply u : L
keypad a : N
keypad b : N
run r : pair { u.one --1 m-- a }
run p : pair { u.one --1 m-- b }",
        &[OutputOverloaded],
        expect![[r#"
            2:8 output-overloaded error: u.one carries 700 mA on mains with the system in alarm; the limit is 500 mA. a draws the most, 350 mA. Feed a from u.two: u.one then carries 350 mA.
                model the limit
                > Feed a from u.two
        "#]],
    );
}

#[test]
fn load_is_not_moved_where_it_would_be_too_much() {
    // The only other output that is on in standby has 5 V.
    check_plan(
        MORE,
        "panel main : Q { battery : big }
keypad a : N
keypad b : N
keypad c : N
keypad d : N
run r : pair {
  main.aux --1 m-- a
  main.aux --1 m-- b
}
run p : pair {
  main.two --1 m-- c
}",
        &[OutputOverloaded],
        expect![[r#"
            2:7 output-overloaded error: main.aux carries 700 mA with the system in alarm; the limit is 500 mA. a draws the most, 350 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
}

#[test]
fn too_much_voltage_is_mended_by_a_lower_output() {
    check_plan(
        MORE,
        "panel main : Q { battery : big }
sounder l : L
run r : pair { main.aux --10 m-- l }",
        &[VoltageHigh, VoltageLow],
        expect![[r#"
            3:9 voltage-high error: l gets 13.8 V on mains in standby; it works up to 6 V. l, fed from main.five over the same cable, would get 5.0 V.
                > Feed l from main.five
        "#]],
    );
    check_plan(
        MORE,
        "panel main : Q { battery : big }
sounder l : L
run r : pair { main.five --10 m-- l }",
        &[VoltageHigh, VoltageLow],
        expect![[""]],
    );
}

#[test]
fn what_no_move_mends_takes_no_try_from_what_one_does() {
    let own = "model panel T {
  charger 1 A
  output aux 13.8 V
  output five 5 V
  output bell 13.8 V, in alarm
  output strobe 13.8 V, in alarm
}
model sounder L, alarm 10 mA, works 4 V .. 6 V
";
    // As many as changes are solved for one site.
    let silent: String = (0..12)
        .map(|number| {
            format!(
                "keypad k{number} : K
run s{number} : pair {{ main.bell --1 m-- k{number} }}\n"
            )
        })
        .collect();
    let site = format!(
        "panel main : T {{ battery : pack }}
{silent}sounder l : L
run r : pair {{ main.aux --1 m-- l }}"
    );
    check_plan(
        own,
        &site,
        &[VoltageHigh],
        expect![[r#"
        27:9 voltage-high error: l gets 13.8 V on mains in standby; it works up to 6 V. l, fed from main.five over the same cable, would get 5.0 V.
            > Feed l from main.five
    "#]],
    );
}

#[test]
fn where_no_cable_helps_another_output_may() {
    check_plan(
        "model panel O {
  charger 1 A
  output low 9.5 V
  output aux 13.8 V
}
",
        "panel main : O
keypad a : K
run r : pair { main.low --10 m-- a }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: a gets 9.4 V on mains with the system in alarm; it works from 10 V. a, fed from main.aux over the same cable, would get 13.7 V.
                > Feed a from main.aux
        "#]],
    );
    check_plan(
        "model panel O {
  charger 1 A
  output low 5 V
  output aux 13.8 V
}
model keypad F, standby 6 W, works 8 V .. 15 V
",
        "panel main : O
keypad a : F
run r : pair { main.low --20 m-- a }",
        &[CannotBeFed, VoltageLow],
        expect![[r#"
            3:8 cannot-be-fed error: the cable cannot feed a: it asks for 6 W and can have 3.13 W at most, on mains in standby. a, fed from main.aux over the same cable, would get 12.9 V.
                > Feed a from main.aux
        "#]],
    );
}

const BATTERIES: &str = "
model battery b-2, capacity 2 Ah
model battery b-7, capacity 7 Ah
model battery b-15, capacity 15 Ah
model battery b-30, capacity 30 Ah
rules night {
  standby 12 h
  alarm 15 min
  recharge 24 h, to 80 %
}
model panel B {
  standby 100 mA
  charger 500 mA
  battery-max 8 Ah
  output aux 13.8 V
}
model panel A {
  standby 100 mA
  charger 300 mA
  battery-max 14 Ah
  output aux 13.8 V
}
model panel D {
  standby 100 mA
  charger 600 mA
  output aux 13.8 V
}
model supply Z {
  charger 2 A
  output out 13.8 V
}
model keypad T, standby 300 mA
model keypad F, standby 200 mA
";

#[test]
fn a_battery_is_mended_by_several_but_not_by_load_moved_who_knows_how_far() {
    check_plan(
        BATTERIES,
        "rules night
panel main : A { battery : b-7 }
keypad t : T
keypad f : F
run r : pair { main.aux --1 m-- t --1 m-- f }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 7.9 h in standby; night asks for 12 h in standby and 15 min of alarm after that. That needs 10 Ah, and 7 Ah are fitted. 2 of b-7 would do.
                > Fit 2 of them to main
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-7 }
supply psu : Z { battery : b-30 }
keypad t : T
keypad f : F
run r : pair { main.aux --1 m-- t }
run q : pair { main.aux --1 m-- f }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 7.9 h in standby; night asks for 12 h in standby and 15 min of alarm after that. That needs 10 Ah, and 7 Ah are fitted. No battery that main may charge (up to 8 Ah) does: move load to a supply with a battery of its own.
        "#]],
    );
}

#[test]
fn a_smaller_battery_charges_in_time() {
    check_plan(
        BATTERIES,
        "rules night
panel main : A { battery : b-15 }
keypad f : F
run q : pair { main.aux --1 m-- f }",
        &[RechargeSlow, BatteryShort],
        expect![[r#"
            3:28 recharge-slow warning: the charger of main takes 132 h to bring the battery to 80 %; night asks for 24 h. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules night
panel main : D { battery : b-30 }",
        &[RechargeSlow, BatteryShort],
        expect![[r#"
            3:28 recharge-slow warning: the charger of main takes 44 h to bring the battery to 80 %; night asks for 24 h. b-15 still lasts, and charges in time.
                model the charger
                > Fit b-15 to main
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules night
panel main : A { battery : b-2, count 4 }
supply psu : Z { battery : b-30 }
keypad f : F
run q : pair { main.aux --1 m-- f }",
        &[RechargeSlow],
        expect![[r#"
            3:28 recharge-slow warning: the charger of main takes 70 h to bring the battery to 80 %; night asks for 24 h. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
}

#[test]
fn a_battery_that_is_too_large_is_mended_by_one_that_lasts() {
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-30 }",
        &[BatteryTooLarge],
        expect![[r#"
            3:28 battery-too-large error: main may charge a battery of up to 8 Ah, and 30 Ah are fitted. b-7 would do.
                model the largest that it may charge
                > Fit b-7 to main
        "#]],
    );
}

#[test]
fn a_negative_is_brought_down_by_thicker_or_doubled_cable() {
    let models = "model panel S {
  charger 1 A
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 6
    shift 500 mV
  }
}
model cable six, cores 6, resistance 50 ohm/km
";
    let site = |cable: &str, far: u32| {
        format!(
            "panel main : S {{ bus keys {{
  keypad near : K, address 1
  keypad far : K, address 2
}} }}
run r : {cable} {{ main.keys --45 m-- near --{far} m-- far }}"
        )
    };
    check_plan(
        models,
        &site("six", 20),
        &[ReferenceShift],
        expect![[r#"
            4:10 reference-shift warning: the negative of far lies 550 mV above that of main with the battery at its end and the system in alarm; main.keys is read up to 500 mV. With its power cores doubled, r would leave 275 mV.
                model what the bus allows
                > Double the power cores of r
        "#]],
    );
    check_plan(models, &site("quad", 9), &[ReferenceShift], expect![[""]]);
}

#[test]
fn nothing_is_fed_from_a_unit_whose_distance_is_not_in_the_plan() {
    // main.aux would do, but nobody knows how far it is from there.
    check_plan(
        "model supply V {
  charger 1 A
  output out 9.5 V
}
",
        "panel main : P
supply psu : V
keypad a : K
run r : pair { psu.out --3 m-- a }",
        &[VoltageLow],
        expect![[r#"
            4:8 voltage-low error: a gets 9.5 V on mains with the system in alarm; it works from 10 V. No cable helps: what feeds it gives 9.5 V on mains. Feed it from an output of higher voltage.
        "#]],
    );
}

#[test]
fn load_is_moved_to_no_output_that_it_overloads_though_that_has_a_finding_already() {
    let own = "rules kept { headroom 20 % }
model panel R {
  charger 1 A
  output aux 13.8 V, limit 750 mA
  output hold 13.8 V, limit 500 mA
  output spare 13.8 V, limit 750 mA
}
model keypad G, standby 280 mA
model keypad T, standby 700 mA
";
    for battery in ["{ battery : big }", ""] {
        let site = format!(
            "rules kept
panel main : R {battery}
keypad a : G
keypad b : G
keypad t : T
run x : pair {{ main.hold --5 m-- a }}
run y : pair {{ main.hold --5 m-- b }}
run z : pair {{ main.aux --5 m-- t }}"
        );
        check_plan(
            &format!("model battery big {{ capacity 17 Ah }}\n{own}"),
            &site,
            &[Headroom, OutputOverloaded],
            expect![[r#"
                3:7 output-overloaded error: main.hold carries 560 mA with the system in alarm; the limit is 500 mA. a draws the most, 280 mA. Feed a from main.spare: main.hold then carries 280 mA.
                    model the limit
                    > Feed a from main.spare
                3:7 headroom warning: main.aux carries 700 mA with the system in alarm; with the 20 % that kept keeps free, 600 mA of 750 mA are left to use. t draws the most, 700 mA. Move a device to another output or supply.
                    model the limit
            "#]],
        );
    }
}

#[test]
fn load_is_moved_to_no_output_whose_own_load_is_not_known() {
    // What draws watts over cable that nobody knows draws nobody knows how much.
    check_plan(
        "model panel R {
  charger 1 A
  output aux 13.8 V, limit 1 A
  output two 13.8 V, limit 1 A
}
model cable old, cores 4
model relay W, standby 9 W
model keypad G, standby 500 mA
model keypad T, standby 700 mA
",
        "panel main : R { battery : pack }
relay w : W
keypad g : G
keypad t : T
run q : old { main.aux --5 m-- w }
run x : pair { main.two --5 m-- g }
run y : pair { main.two --5 m-- t }",
        &[OutputOverloaded],
        expect![[r#"
            2:7 output-overloaded error: main.two carries 1.2 A with the system in alarm; the limit is 1 A. t draws the most, 700 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
}

#[test]
fn nothing_is_moved_to_an_output_that_stands_beside_the_one_it_has() {
    check_plan(
        MORE,
        "panel main : Q { battery : big }
keypad a : N
keypad b : N
run r : quad { main.aux + main.two --1 m-- a }
run p : pair { main.aux --1 m-- b }
keypad c : N
run q : pair { main.two --1 m-- c }",
        &[OutputOverloaded],
        expect![[r#"
            2:7 output-overloaded error: main.aux carries 525 mA with the system in alarm; the limit is 500 mA. a draws the most, 350 mA. Move a device to another output or supply.
                model the limit
            2:7 output-overloaded error: main.two carries 525 mA with the system in alarm; the limit is 500 mA. a draws the most, 350 mA. Move a device to another output or supply.
                model the limit
        "#]],
    );
}
