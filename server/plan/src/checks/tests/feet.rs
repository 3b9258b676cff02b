//! What is told of a site that is written in feet and °F.

use expect_test::expect;

use super::*;
use Code::{BatteryShort, BusTooLong, Missing, NotWired, Syntax, WrongKind, WrongUnit};

const LIMITED: &str = "model panel L {
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 9
    length 30 m
    longest 25 m
  }
}
model cable c4, cores 4, conductor 22 AWG
";

#[test]
fn sums_of_legs_and_their_limits_are_in_feet() {
    check_plan(
        LIMITED,
        "panel main : L { bus keys {
keypad a : K, address 1
keypad b : K, address 2
} }
run r : c4 { main.keys --80 ft-- a --18.4253 ft-- b }",
        &[BusTooLong],
        expect![[r#"
            2:22 bus-too-long error: main.keys has 98.4253 ft of cable on it; it drives 98.4252 ft. Shorten the cable, or move a branch to another bus.
                model what the bus allows
            2:22 bus-too-long error: the farthest device on main.keys is 98 ft away along the cable; it may be 82 ft. Lead the cable there by a shorter way, or move the panel.
                model what the bus allows
        "#]],
    );
}

#[test]
fn where_units_are_mixed_most_lengths_decide() {
    check_plan(
        LIMITED,
        "ambient 5 °C .. 35 °C
panel main : L { bus keys {
keypad a : K, address 1
keypad b : K, address 2
keypad c : K, address 3
} }
run r : c4 { main.keys --24 m-- a --10 ft-- b --20 ft-- c }",
        &[BusTooLong],
        expect![[r#"
            3:22 bus-too-long error: main.keys has 109 ft of cable on it; it drives 98 ft. Shorten the cable, or move a branch to another bus.
                model what the bus allows
            3:22 bus-too-long error: the farthest device on main.keys is 109 ft away along the cable; it may be 82 ft. Lead the cable there by a shorter way, or move the panel.
                model what the bus allows
        "#]],
    );
}

#[test]
fn legs_to_write_are_in_feet() {
    check_plan(
        LIMITED,
        "panel main : L { bus keys {
keypad a : K, address 1
keypad b : K, address 2
} }
run r : c4 { main.keys --80 ft-- a }",
        &[NotWired],
        expect![[r#"
            4:8 not-wired error: no cable reaches b: add it to a run from main.keys, `main.keys --30 ft-- b` for one.
        "#]],
    );
    check_plan(
        LIMITED,
        "ambient 40 .. 95
panel main : L { bus keys { keypad a : K, address 1 } }
run r : c4 {
main.keys --80 ft-- a
main.keys ---- a
main.keys --30-- a
main.keys -30- a
main.keys --30 A-- a
main.keys a
main.keys -30 a
}",
        &[Missing, Syntax, WrongUnit],
        expect![[r#"
            2:9 wrong-unit error: the unit is missing: `40 °F`, for example
            6:11 missing error: the length is missing: `--40 ft--`
            7:13 wrong-unit error: the unit is missing: `30 ft`, for example
            8:11 syntax error: a leg is written `--30--`
                > Write `--30--`
            9:13 wrong-unit error: `30 A` is a current, but a length belongs here: write it in ft, for example
            10:1 syntax error: this is no path: a leg is written `--40 ft--`, as in `main.keys --40 ft-- front`
            11:1 syntax error: this is no path: a leg is written `--40 ft--`, as in `main.keys --40 ft-- front`
        "#]],
    );
}

#[test]
fn temperatures_are_in_fahrenheit() {
    check_site(
        "ambient -500 °F .. 95 °F",
        &[WrongKind],
        expect![[r#"
        2:9 wrong-kind error: there is no temperature below -459.67 °F
    "#]],
    );
    check_site(
        "ambient 40 °F .. 300 °F",
        &[WrongKind],
        expect![[r#"
        2:9 wrong-kind warning: no site is at 300 °F: is the unit right? All cable and every battery is worked out at that.
    "#]],
    );
    check_plan(
        "rules day, standby 24 h, alarm 30 min
model battery small, capacity 2 Ah
",
        "rules day
ambient -20 °F .. 95 °F
panel main : P { battery : small }",
        &[BatteryShort],
        expect![[r#"
            4:28 battery-short error: the battery of main lasts 6.07 h in standby; day asks for 24 h in standby and 30 min of alarm after that. That needs 7.2 Ah, and 2 Ah are fitted. 2 of pack would do. -20 °F is colder than IEEE 485's table goes, so the factor for it is an estimate.
                > Fit 2 of pack to main
        "#]],
    );
}

#[test]
fn feet_by_their_sign_are_written_out() {
    let site = |leg: &str| {
        format!("panel main : P\nkeypad a : K\nkeypad b : K\nrun r : pair {{ main.aux {leg} }}")
    };
    check_site(
        &site("--40'-- a --30 ft-- b"),
        &[Syntax],
        expect![[r#"
        5:27 syntax error: a leg is written `--40 ft--`
            > Write `--40 ft--`
    "#]],
    );
    check_site(
        &site("--40 ′ -- a --30’-- b"),
        &[Syntax],
        expect![[r#"
        5:27 syntax error: a leg is written `--40 ft--`
            > Write `--40 ft--`
    "#]],
    );
    check_site(
        &site("--40 ft.-- a"),
        &[Syntax],
        expect![[r#"
        5:27 syntax error: a leg is written `--40 ft--`
            > Write `--40 ft--`
    "#]],
    );
    // With inches it is no number of feet.
    check_site(
        &site("--40'6-- a"),
        &[Syntax],
        expect![[r#"
        5:29 syntax error: `'6` is no part of a cable's path: `main.keys --12 m-- front`
    "#]],
    );
}
