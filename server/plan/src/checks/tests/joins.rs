//! Power over two routes, and which of them is taken out.

use expect_test::expect;

use super::negatives::SHIFT;
use super::*;
use Code::{NotWired, ReferenceShift, WiredTwice};

#[test]
fn two_runs_that_make_a_ring_are_both_named() {
    check_site(
        "panel main : P
keypad a : K
keypad b : K
joint j
run out : pair { main.aux --10 m-- a --10 m-- b }
run back : pair { b --10 m-- main.aux }
run one : pair { main.siren --10 m-- j }
run two : pair { main.siren --10 m-- j }",
        &[Code::WiredTwice],
        expect![[r#"
            7:19 wired-twice warning: power reaches b over two routes, so out and back together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out back: what it feeds still works.
                6:47 power arrives here too
                > Take out back
            9:38 wired-twice warning: power reaches j over two routes, so one and two together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. If j is two joints, give each a name of its own. Take out two: what it feeds still works.
                > Take out two
        "#]],
    );
}

#[test]
fn power_over_two_ways_is_told_where_it_arrives() {
    check_site(
        "panel main : P
keypad a : K
keypad b : K
run r : pair { main.aux --10 m-- a --10 m-- b }
run q : pair { main.aux --10 m-- b }",
        &[WiredTwice],
        expect![[r#"
            6:34 wired-twice warning: power reaches b over two routes, so r and q together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out q: what it feeds still works.
                5:45 power arrives here too
                > Take out q
        "#]],
    );
    check_site(
        "panel main : P
supply psu : S
keypad a : K
run r : pair { main.aux --10 m-- a }
run q : pair { psu.out --10 m-- a }",
        &[WiredTwice],
        expect![[r#"
            6:33 wired-twice warning: a is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one. Take out q: what it feeds still works.
                5:34 power arrives here too
                > Take out q
        "#]],
    );
}

#[test]
fn one_of_two_ways_is_taken_out() {
    // The second cable brings data that is needed: it keeps its data.
    check_site(
        "panel main : P { bus keys { keypad a : K, address 1 } }
supply psu : S { battery : pack }
run n : pair, carries data { main.aux --1 m-- psu.out }
run p : pair { psu.out --10 m-- a }
run k : quad { main.keys --10 m-- a }",
        &[WiredTwice],
        expect![[r#"
            6:35 wired-twice warning: a is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one. Let k carry data only: what it feeds still works.
                5:33 power arrives here too
                > Let k carry data only
        "#]],
    );
    // The last leg of a way, and one way of a run.
    check_site(
        "panel main : P { battery : pack }
keypad a : K
keypad b : K
keypad c : K
run r : pair { main.aux --10 m-- a --10 m-- b }
run q : pair {
  main.aux --10 m-- c --10 m-- b
}
run p : pair { a --10 m-- c }",
        &[WiredTwice],
        expect![[r#"
            8:32 wired-twice warning: power reaches b over two routes, so r and q together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out the last leg of q: what it feeds still works.
                6:45 power arrives here too
                > Take out the last leg of q
            10:27 wired-twice warning: power reaches c over two routes, so q and p together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out p: what it feeds still works.
                8:21 power arrives here too
                > Take out p
        "#]],
    );
}

#[test]
fn nothing_is_taken_out_that_something_needs() {
    // Without the second way, b has too little voltage.
    check_site(
        "panel main : P { battery : pack }
keypad a : K
keypad b : K
run r : pair { main.aux --50 m-- a --50 m-- b }
run q : pair { main.aux --10 m-- b }",
        &[WiredTwice],
        expect![[r#"
            6:34 wired-twice warning: power reaches b over two routes, so r and q together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal.
                5:45 power arrives here too
        "#]],
    );
}

#[test]
fn outputs_that_a_cable_joins_are_told() {
    let site = |supply: &str, metres: u32| {
        format!(
            "panel main : P {{ battery : pack }}
supply psu : {supply} {{ battery : pack }}
keypad a : K
keypad b : K
run r : pair {{ main.aux --1 m-- a }}
run p : pair {{ psu.out --1 m-- b }}
run n : pair {{ main.aux --{metres} m-- psu.out }}"
        )
    };
    check_site(
        &site("S", 6),
        &[WiredTwice],
        expect![[r#"
        8:33 wired-twice warning: n joins the positives of main.aux and psu.out: write `carries data` if only the negative is meant, or feed each device from one. Let n join the negatives only: what it feeds still works.
            > Let n join the negatives only
    "#]],
    );
    // Different voltages weigh more; without cable there is no solution at all.
    check_site(
        &site("V", 6),
        &[WiredTwice],
        expect![[r#"
            8:33 wired-twice error: n joins the positives of main.aux (13.8 V) and psu.out (9.0 V): write `carries data` if only the negative is meant, or feed each device from one.
        "#]],
    );
    check_site(
        &site("V", 0),
        &[WiredTwice],
        expect![[r#"
        3:8 wired-twice error: main.aux (13.8 V) and psu.out (9 V) are joined with no cable between them: the higher one would drive all it has into the lower. Feed each device from one of them.
            2:7 the other one
    "#]],
    );
    // Two outputs of one unit, and two that meet along a ring.
    let models = "model supply T {
  output one 13.8 V
  output two 13.8 V
}
";
    check_plan(
        models,
        "supply psu : T
keypad a : K
run r : pair { psu.one --10 m-- a --10 m-- psu.two }",
        &[WiredTwice],
        expect![[r#"
            4:33 wired-twice warning: a is fed by psu.one and psu.two together, which joins them: take the power out of one route, or feed it from one. Take out the last leg of r: what it feeds still works.
                > Take out the last leg of r
        "#]],
    );
    // One unit has one negative, which no core joins.
    check_plan(
        models,
        "supply psu : T
keypad a : K
keypad b : K
run r : pair { psu.one --10 m-- a }
run p : pair { psu.two --10 m-- b }
run n : pair { psu.one --1 m-- psu.two }",
        &[WiredTwice],
        expect![[r#"
            7:32 wired-twice warning: n joins the positives of psu.one and psu.two: feed each device from one. Take out n: what it feeds still works.
                > Take out n
        "#]],
    );
}

#[test]
fn what_another_unit_pushes_in_is_no_charge() {
    let models = "rules quick { recharge 1 h, to 80 % }
model supply L {
  charger 500 mA
  output out 13 V
}
";
    let site = "rules quick
supply psu : L { battery : pack }
panel main : P { battery : pack }
run n : pair { main.aux --6 m-- psu.out }";
    let text = format!("{}{models}site s {{\n{site}\n}}\n", super::models());
    let (_, figures) = crate::figures::tests::solved(&text);
    let [psu, main] = [0, 1].map(|unit| figures.battery(unit).and_then(|of| of.recharge_hours));
    assert_eq!(psu.map(f64::round), Some(12.0));
    assert_eq!(main, Some(f64::INFINITY), "the outputs take all of it");
}

#[test]
fn outputs_that_are_joined_once_more_make_no_ring() {
    check_site(
        "panel main : P
supply psu : S
joint j
keypad a : K
keypad b : K
keypad c : K
run o : pair { main.aux --5 m-- j }
run p : pair { psu.out --5 m-- j }
run q : quad { j --10 m-- a }
run r : quad { j --10 m-- b }
run s : quad { j --10 m-- c --5 m-- j }",
        &[WiredTwice],
        expect![[r#"
            10:27 wired-twice warning: a is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one.
            11:27 wired-twice warning: b is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one.
            12:27 wired-twice warning: power reaches c over two routes, so s makes a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out the last leg of s: what it feeds still works.
                > Take out the last leg of s
            12:27 wired-twice warning: c is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one.
        "#]],
    );
}

#[test]
fn a_ring_that_comes_back_is_meant() {
    check_clean(
        "panel main : P
keypad a : K
keypad b : K
run r : pair { main.aux --10 m-- a --10 m-- b --10 m-- main.aux }",
        &[WiredTwice],
    );
}

#[test]
fn nothing_is_taken_out_that_alone_feeds_a_device() {
    check_site(
        "panel main : P
supply u : V
joint j
keypad g : K
run a : pair { u.out --20 m-- j }
run b : pair { main.aux --5 m-- j }
run c : pair { j --5 m-- g }",
        &[Code::WiredTwice],
        expect![[r#"
            8:26 wired-twice error: g is fed by main.aux (13.8 V) and u.out (9.0 V) together, which joins them: take the power out of one route (`carries data`), or feed it from one.
        "#]],
    );
}

#[test]
fn no_feed_is_taken_out_that_alone_has_a_battery() {
    // The supply is made for a battery and has none, so it gives nothing without mains.
    check_site(
        "panel main : P { battery : pack }
supply old : S
keypad m : K
run z : pair { old.out --15 m-- m }
run extra : pair { main.aux --25 m-- m }",
        &[Code::WiredTwice],
        expect![[r#"
            6:38 wired-twice warning: m is fed by main.aux and old.out together, which joins them: take the power out of one route (`carries data`), or feed it from one.
                5:33 power arrives here too
        "#]],
    );
}

#[test]
fn two_pairs_of_one_cable_are_no_ring() {
    // In a joint outputs stay apart, so both go on to the first device, which joins them.
    check_site(
        "panel main : P
supply psu : U
joint j
keypad a : K
keypad b : K
run one : pair { main.aux --5 m-- j }
run two : pair { psu.out --5 m-- j }
run on : quad { j --5 m-- a --5 m-- b }",
        &[Code::WiredTwice],
        expect![[r#"
            9:27 wired-twice warning: a is fed by main.aux and psu.out together, which joins them: take the power out of one route (`carries data`), or feed it from one.
        "#]],
    );
}

#[test]
fn a_ring_beside_joined_outputs_is_told_as_a_ring() {
    check_site(
        "panel main : P
keypad a : K
keypad b : K
run one : pair { main.aux --5 m-- a }
run two : pair { main.aux --5 m-- a }
run three : pair { main.aux --5 m-- b }
run four : pair { main.siren --5 m-- b }",
        &[WiredTwice],
        expect![[r#"
            6:35 wired-twice warning: power reaches a over two routes, so one and two together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out two: what it feeds still works.
                5:35 power arrives here too
                > Take out two
            8:38 wired-twice warning: b is fed by main.aux and main.siren together, which joins them: take the power out of one route, or feed it from one. If main.siren only triggers it, say in its model what the trigger draws, `trigger 5 mA` for one. Take out four: what it feeds still works.
                7:37 power arrives here too
                > Take out four
        "#]],
    );
}

#[test]
fn two_outputs_for_one_end_of_a_triggered_device_are_wired_twice() {
    const OWN: &str = "model panel Q {
  output aux 13.8 V
  output more 13.8 V
  output siren 13.8 V, in alarm
  output strobe 13.8 V, in alarm
}
";
    check_plan(
        OWN,
        "panel main : Q
sounder a : TR
sounder b : TR
run a : quad { main.aux + main.siren --10 m-- a }
run c : pair { main.more --10 m-- a }
run b : quad { main.aux + main.siren --10 m-- b }
run d : pair { main.strobe --10 m-- b }",
        &[NotWired, WiredTwice],
        expect![[r#"
            6:35 wired-twice warning: a is fed by main.aux and main.more together, which joins them: take the power out of one route, or feed it from one. Take out c: what it feeds still works.
                5:47 power arrives here too
                > Take out c
            8:37 wired-twice warning: b is triggered by main.siren and main.strobe together, which joins them: take the power out of one route, or trigger it from one. Take out d: what it feeds still works.
                7:47 power arrives here too
                > Take out d
        "#]],
    );
    // A ring of what triggers it is told of the runs that make it.
    check_plan(
        OWN,
        "panel main : Q
sounder a : TR
run a : pair { main.aux --10 m-- a }
run b : pair { main.siren --10 m-- a }
run c : pair { main.siren --10 m-- a }",
        &[NotWired, WiredTwice],
        expect![[r#"
            6:36 wired-twice warning: power reaches a over two routes, so b and c together make a ring: take one out, or, if a ring is meant, write it as one path that comes back to its terminal. Take out c: what it feeds still works.
                5:36 power arrives here too
                > Take out c
        "#]],
    );
}

#[test]
fn a_hold_off_and_a_trigger_without_a_word_in_the_model_are_told_how_to_say_it() {
    check_site(
        "panel main : P { battery : pack }
sounder a : B
run a : quad { main.aux + main.siren --10 m-- a }",
        &[NotWired, WiredTwice],
        expect![[r#"
            4:47 wired-twice warning: a is fed by main.aux and main.siren together, which joins them: take the power out of one route, or feed it from one. If main.siren only triggers it, say in its model what the trigger draws, `trigger 5 mA` for one.
        "#]],
    );
}

#[test]
fn of_two_outputs_of_one_unit_only_a_route_with_data_may_carry_data_alone() {
    let told = |second: &str| {
        let site = format!(
            "panel main : P {{ bus keys {{ keypad a : K, address 1 }} }}
keypad b : K
run r : quad {{ main.keys --10 m-- a }}
run q : quad {{ main.aux --10 m-- b }}
run p : pair {{ {second} }}"
        );
        let text = format!("{}site s {{\n{site}\n}}\n", models());
        found(&text, &[WiredTwice], 0)
    };
    for (second, carries) in [
        ("main.siren --10 m-- a", true),
        ("main.siren --10 m-- b", false),
        ("main.siren --10 m-- main.aux", false),
    ] {
        let told = told(second);
        assert!(told.contains("joins"), "{told}");
        assert_eq!(told.contains("`carries data`"), carries, "{told}");
    }
}

#[test]
fn no_route_is_taken_out_that_leaves_a_device_out_of_its_range() {
    // Over the route that is left it would get 27.6 V.
    check_plan(
        "model supply Z { output lock 27.6 V, limit 2 A }\n",
        "panel main : P { battery : pack }
supply l : Z
keypad p : K
run s : pair { l.lock --5 m-- p }
run r : pair { main.aux --5 m-- p }",
        &[WiredTwice],
        expect![[r#"
            6:33 wired-twice error: p is fed by main.aux (13.8 V) and l.lock (27.6 V) together, which joins them: take the power out of one route (`carries data`), or feed it from one.
                5:31 power arrives here too
        "#]],
    );
}

#[test]
fn no_route_is_taken_out_that_alone_is_on_in_standby_or_alone_is_off() {
    // On the route that is left the keypad would be off in standby.
    check_site(
        "panel main : P { battery : pack }
keypad k : K
run b : pair { main.siren --5 m-- k }
run r : pair { main.aux --5 m-- k }",
        &[WiredTwice],
        expect![[r#"
            5:33 wired-twice warning: k is fed by main.aux and main.siren together, which joins them: take the power out of one route, or feed it from one. If main.siren only triggers it, say in its model what the trigger draws, `trigger 5 mA` for one.
                4:35 power arrives here too
        "#]],
    );
    // And the sounder would sound at all times.
    check_site(
        "panel main : P { battery : pack }
sounder s : B
run r : pair { main.aux --5 m-- s }
run b : pair { main.siren --5 m-- s }",
        &[WiredTwice],
        expect![[r#"
            5:35 wired-twice warning: s is fed by main.aux and main.siren together, which joins them: take the power out of one route, or feed it from one. If main.siren only triggers it, say in its model what the trigger draws, `trigger 5 mA` for one.
                4:33 power arrives here too
        "#]],
    );
}

/// What has a trigger keeps its outputs apart: what it shares its place with does not.
#[test]
fn what_joins_outputs_beside_a_trigger_is_named() {
    for way in ["t + b", "b + t", "t --1 m-- b", "b --1 m-- t"] {
        let site = format!(
            "panel main : P {{ battery : pack }}
sounder t : TR
sounder b : B
run r : pair {{ main.aux + main.siren --5 m-- {way} }}"
        );
        let told = found(
            &(models().to_string() + &format!("site s {{\n{site}\n}}\n")),
            &[WiredTwice],
            0,
        );
        assert!(
            told.contains("b is fed by main.aux and main.siren together"),
            "{way}: {told}"
        );
        assert_eq!(told.matches("wired-twice").count(), 1, "{way}: {told}");
    }
}

#[test]
fn what_follows_from_outputs_of_different_voltage_that_are_joined_is_not_told() {
    check_plan(
        "rules night, standby 12 h, recharge 24 h
model supply Z, standby 50 mA, charger 2 A, cutoff 21 V, mains 100 W {
  output lock 27.6 V, limit 2 A
}
model battery b-7, capacity 7 Ah
",
        "rules night
panel main : P { battery : b-7 }
supply l : Z { battery : b-7, in-series 2 }
keypad p : K
run r : pair { main.aux --5 m-- p }
run s : pair { l.lock --5 m-- p }",
        &[],
        expect![[r#"
            7:31 wired-twice error: p is fed by main.aux (13.8 V) and l.lock (27.6 V) together, which joins them: take the power out of one route (`carries data`), or feed it from one. Take out s: what it feeds still works.
                6:33 power arrives here too
                > Take out s
        "#]],
    );
    let models = format!("model supply Z {{ output lock 27.6 V }}\n{SHIFT}");
    check_plan(
        &models,
        "panel main : Q { bus keys {
  keypad near : K, address 1
  keypad far : K, address 2
} }
supply l : Z
run r : quad { main.keys --45 m-- near --20 m-- far }
run s : pair { l.lock --60 m-- far }",
        &[ReferenceShift, Code::WiredTwice],
        expect![[r#"
            8:32 wired-twice error: far is fed by main.aux (13.8 V) and l.lock (27.6 V) together, which joins them: take the power out of one route (`carries data`), or feed it from one.
                7:49 power arrives here too
        "#]],
    );
}
