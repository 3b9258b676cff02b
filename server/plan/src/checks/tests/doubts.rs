use expect_test::expect;

use super::*;

/// What is doubted in models, with the change that mends it, which is tried.
fn doubted(models: &str, expect: Expect) {
    expect.assert_eq(&found(models, &[Code::WrongKind, Code::Missing], 0));
}

#[test]
fn a_draw_that_is_less_in_alarm_is_swapped() {
    doubted(
        "model keypad K {
  standby 110 mA
  alarm 45 mA
}
model panel P { standby 1.2 W, alarm 900 mW }
model sounder S {
  standby 30 ohm
  alarm 300 ohm
}
",
        expect![[r#"
            3:9 wrong-kind warning: it draws less in alarm, 45 mA, than in standby, 110 mA: are the two swapped?
                > Swap standby and alarm
            5:38 wrong-kind warning: it draws less in alarm, 900 mW, than in standby, 1.2 W: are the two swapped?
                > Swap standby and alarm
            8:9 wrong-kind warning: it draws less in alarm, 300 ohm, than in standby, 30 ohm: are the two swapped? If it works from a battery of its own then, say what its trigger draws, `trigger 5 mA` for one.
                > Swap standby and alarm
        "#]],
    );
}

#[test]
fn a_thousand_times_too_much_is_doubted_for_its_unit() {
    doubted(
        "model keypad K {
  standby 32 A
  alarm 70 mA
}
model panel P {
  standby 90 mA
  charger 500A
  battery-max 9 Ah
}
model supply S {
  charger 5 A
  battery-max 1.2 Ah
}
",
        expect![[r#"
            2:11 wrong-kind warning: it draws less in alarm, 70 mA, than in standby, 32 A: is the unit right?
                > Write `32 mA`
            7:11 wrong-kind warning: nothing charges a battery of up to 9 Ah with 500A: is the unit right?
                > Write `500 mA`
        "#]],
    );
}

#[test]
fn a_mains_side_in_volt_amperes_is_doubted() {
    doubted(
        "model panel P { mains 16 VA }
model panel Q { mains 24 W }
model supply S { mains 16.5VA }
model supply R { mains 1.7 A }
",
        expect![[r#"
            1:23 wrong-kind warning: a transformer's VA are of alternating current: behind the rectifier about 9.6 W of 16 VA can be drawn (common practice; the maker's own figure rules): say that instead
                > Write `9.6 W`
            3:24 wrong-kind warning: a transformer's VA are of alternating current: behind the rectifier about 9.9 W of 16.5 VA can be drawn (common practice; the maker's own figure rules): say that instead
                > Write `9.9 W`
        "#]],
    );
}

#[test]
fn a_draw_that_may_be_less_in_alarm_is_not_doubted() {
    doubted(
        "model detector D {
  standby 12 mA
  alarm 9 mA
}
model relay R {
  standby 25 mA
  alarm 5 mA
}
model sounder S {
  standby 30 mA
  alarm 0 mA
  trigger 5 mA
}
model keypad K {
  standby 45 mA
  alarm 45 mA
}
model keypad Z {
  standby 45 mA
  alarm 0 mA
}
model panel P {
  standby 100 mA
  alarm 1 W
}
",
        expect![[""]],
    );
}

#[test]
fn a_number_alone_does_not_say_how_many_there_are() {
    doubted(
        "model panel P {
  bus keys { addresses 15 }
  inputs 8 { loop l { reads normal 1 kohm .. 3 kohm } }
}
model expander E { inputs 4, as panel }
",
        expect![[r#"
            2:24 wrong-kind error: the first and the last address belong here: write `1 .. 15` for 15 of them, or `15 .. 15` if there is only number 15
                > Write `1 .. 15`
            3:10 wrong-kind error: the first and the last input belong here: write `1 .. 8` for 8 of them, or `8 .. 8` if there is only number 8
                > Write `1 .. 8`
            5:27 wrong-kind error: the first and the last input belong here: write `1 .. 4` for 4 of them, or `4 .. 4` if there is only number 4
                > Write `1 .. 4`
        "#]],
    );
}

#[test]
fn a_single_input_or_the_last_of_several_is_not_doubted() {
    doubted(
        "model panel P {
  bus keys { addresses 15 .. 15 }
  inputs 1 .. 7, as panel
  inputs 8, as panel
}
model expander E { inputs 1, as panel }
model expander F { inputs 9 .. 9, as panel }
",
        expect![[""]],
    );
}

#[test]
fn no_bus_is_fed_by_what_is_off_in_standby() {
    doubted(
        "model panel P {
  output aux 13.8 V
  output siren 13.8 V, in alarm
  bus keys { power siren }
}
",
        expect![[r#"
            4:3 missing error: `addresses` is missing here, as in `addresses 1 .. 15`
            4:20 wrong-kind error: siren is on in alarm only, and what hangs on a bus works at all times: name an output that is always on
                > Feed it from aux
        "#]],
    );
}

#[test]
fn the_farthest_device_is_no_farther_than_all_cable() {
    doubted(
        "model panel P {
  bus a {
    length 200 m
    longest 350 m
  }
  bus b {
    length 200 m
    longest 200 m
  }
}
",
        expect![[r#"
            2:3 missing error: `addresses` is missing here, as in `addresses 1 .. 15`
            6:3 missing error: `addresses` is missing here, as in `addresses 1 .. 15`
            4:13 wrong-kind warning: no device is 350 m away where 200 m of cable is all that the bus drives: are the two swapped?
                > Swap length and longest
        "#]],
    );
}

#[test]
fn a_colour_names_each_core() {
    doubted(
        "model cable few {
  cores 4
  conductor 22 AWG
  colours black red green
}
model cable unsaid {
  conductor 22 AWG
  colours black red green yellow
}
model cable pair, conductor 22 AWG, colours black red
model cable pairs, cores 4, conductor 22 AWG, colours white blue white orange
model cable one, conductor 22 AWG, colours black
",
        expect![[r#"
            4:3 wrong-kind warning: few has 4 cores and names 3 colours: name one for each core
            8:3 missing error: unsaid names 4 colours and does not say how many cores it has: say so, `cores 4`
                > Give it 4 cores
            12:34 wrong-kind warning: one has 2 cores and names 1 colour: name one for each core
        "#]],
    );
}

#[test]
fn a_resistance_is_that_of_one_conductor() {
    doubted(
        "model cable both, conductor 22 AWG, resistance 106 ohm/km
model cable clad, conductor 22 AWG, resistance 86 ohm/km
model cable metres, conductor 0.5 mm2, resistance 36 ohm/m
model cable right, conductor 22 AWG, resistance 53 ohm/km
model cable warm, conductor 0.5 mm2, resistance 41 ohm/km
model cable said, metal cca, conductor 22 AWG, resistance 86 ohm/km
model cable alone, resistance 106 ohm/km
",
        expect![[r#"
            1:48 wrong-kind warning: 106 ohm/km is 2 times what such a conductor resists, 53 ohm/km: a sheet's loop resistance counts both conductors, and that of one belongs here
                > Write `53 ohm/km`
            2:48 wrong-kind warning: 86 ohm/km is 1.62 times what such a conductor resists, 53 ohm/km: is the unit right, the size, or the metal?
            3:51 wrong-kind warning: 36000 ohm/km is 1000 times what such a conductor resists, 36 ohm/km: is the unit right, the size, or the metal?
        "#]],
    );
}
