use expect_test::expect;

use super::*;
use Code::{InputMissing, Repeated, Unused, WiredTwice, WrongKind};

#[test]
fn cables_meet_in_a_joint() {
    check_site(
        "panel main : P
detector d : D
joint none
joint end
joint through
joint star
run r : pair { main.aux --1 m-- through --2 m-- d --3 m-- end }
run s : pair {
  main.siren --1 m-- star
  star --2 m-- b
}
sounder b : B",
        &[Unused],
        expect![[r#"
            4:7 unused information: no cable meets in none: name it in a run, or take it out.
            5:7 unused information: only one cable comes to end, and none goes on: name it in another path, or take it out.
        "#]],
    );
}

#[test]
fn something_hangs_on_a_supply() {
    check_site(
        "panel main : P
supply idle : S
supply used : S
detector d : D
run r : pair { used.out --1 m-- d }",
        &[Unused],
        expect![[r#"
            3:8 unused information: nothing hangs on idle: name one of its outputs in a run, or take it out.
        "#]],
    );
}

#[test]
fn a_run_carries_something() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single
  zone 2, input 2, from e, loop single
}
detector c : C
detector e : C
run r : pair { main.1 --1 m-- c }
run s : pair { main.2 --1 m-- e }
run idle : pair { c --2 m-- e }",
        &[Unused, InputMissing],
        expect![[r#"
            10:5 unused information: idle carries nothing: no power, data or loop that its ends need comes to it. Start it at a terminal, or take it out.
        "#]],
    );
    // Where what is on it is not reached, that is told.
    check_site(
        "panel main : P { zone 1, input 1, from c e, loop single }
detector c : C
detector e : C
run r : pair { c --2 m-- e }",
        &[Unused, InputMissing],
        expect![[r#"
            2:32 input-missing error: no cable leads from main.1 to c and e, which zone 1 reads: add a run, `main.1 --10 m-- c` for one.
        "#]],
    );
    check_clean(
        "panel main : P
supply psu : S
run tie : pair, carries data { main.aux --2 m-- psu.out }",
        &[Unused],
    );
}

#[test]
fn something_is_in_each_partition() {
    let site = |zone: &str| {
        format!(
            "panel main : P {{
  partition 1
  partition 2
  partition 3
  zone 1, input 1, from c, loop single{zone}
  bus keys {{ keypad k : K, address 1, partition 2 }}
}}
detector c : C"
        )
    };
    check_site(
        &site(", partition 1"),
        &[Unused],
        expect![[r#"
        5:13 unused information: nothing of main is in partition 3: name it at a zone or a keypad, or take it out.
    "#]],
    );
    // It may be in any.
    check_clean(&site(", partition one"), &[Unused]);
    check_clean(
        "panel main : P {
  partition 1
  partition 2
}",
        &[Unused],
    );
}

#[test]
fn one_thing_stands_once() {
    check_site(
        "panel main : P {
  partition 1
  partition 2
  zone 1, input 1, from c, loop single, partition 2 1 2
  bus keys { keypad k : K, address 1, partition 1 1 }
}
detector c : C",
        &[Repeated],
        expect![[r#"
            5:55 repeated error: partition 2 stands here twice: take one out
                5:51 the first one
            6:51 repeated error: partition 1 stands here twice: take one out
                6:49 the first one
        "#]],
    );
}

#[test]
fn a_leg_leads_to_something_else() {
    check_site(
        "panel main : P { bus keys { keypad k : K, address 1 } }
run r : quad { main.keys --1 m-- k --2 m-- k }",
        &[Repeated],
        expect![[r#"
            3:44 repeated error: this leg leads from k to k itself: name what is at its other end, or take it out
                3:34 its other end
                > Take the leg out
        "#]],
    );
    check_site(
        "joint j
run r : quad { j --1 m-- j }",
        &[Repeated],
        expect![[r#"
            3:26 repeated error: this leg leads from j to j itself: name what is at its other end, or take it out
                3:16 its other end
        "#]],
    );
}

#[test]
fn the_way_to_a_keypad_takes_seconds() {
    check_site(
        "panel main : P {
  zone 1, input 1, from c, loop single, entry 30 min, exit 45 s
  zone 2, input 2, from e, loop single, entry 4 min, exit 45 h
}
detector c : C
detector e : C",
        &[WrongKind],
        expect![[r#"
            3:47 wrong-kind warning: nobody takes 30 min between the door and the keypad, and until then there is no alarm: is the unit right?
            4:59 wrong-kind warning: nobody takes 45 h between the door and the keypad, and until then there is no alarm: is the unit right?
        "#]],
    );
}

#[test]
fn a_loop_comes_to_a_detector_once() {
    let zone = "panel main : P { zone 1, input 1, from c e, loop single }
detector c : C
detector e : C
";
    for (runs, told) in [
        ("run r : pair { main.1 --1 m-- c --2 m-- e }", false),
        // Two cables to different detectors are joined in the panel.
        (
            "run r : pair { main.1 --1 m-- c }
run s : pair { main.1 --2 m-- e }",
            false,
        ),
        // A ring that is meant.
        (
            "run r : pair { main.1 --1 m-- c --2 m-- e --3 m-- main.1 }",
            false,
        ),
        (
            "run r : pair { main.1 --1 m-- c --2 m-- e }
run s : pair { main.1 --9 m-- e }",
            true,
        ),
        (
            "run r : pair {
  main.1 --1 m-- c --2 m-- e
  main.1 --1 m-- c
}",
            true,
        ),
    ] {
        let text = format!("{}site s {{\n{zone}{runs}\n}}\n", models());
        let findings = findings_of(&text).1;
        let found = findings.iter().any(|(_, of)| of.code == WiredTwice);
        assert_eq!(found, told, "{runs}");
    }
}

#[test]
fn a_site_reports_over_an_account_once() {
    let own = "monitoring m { accounts 1 .. 9 }\n";
    check_plan(
        own,
        "report m, account 4
report m, account 5
report m, account 4",
        &[Repeated],
        expect![[r#"
            4:8 repeated error: the site reports to m with account 4 already: take one of the two out
                2:8 the first one
        "#]],
    );
}
