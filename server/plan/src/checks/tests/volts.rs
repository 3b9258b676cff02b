//! Too few volts, and the cable that would bring enough.

use expect_test::expect;

use super::*;
use Code::{CannotBeFed, CoresShort, VoltageLow};

/// Cables to choose from.
pub(super) const CABLES: &str = "
model cable copper-2x22AWG, conductor 22 AWG, strands 7
model cable copper-4x22AWG, cores 4, conductor 22 AWG, strands 7
model cable copper-2x0-5mm2, conductor 0.5 mm2
model cable copper-4x0-5mm2, cores 4, conductor 0.5 mm2
model cable copper-4x1mm2, cores 4, conductor 1 mm2
model cable cca-4x0-75mm2, cores 4, conductor 0.75 mm2, metal cca
rules kept { headroom 20 % }
";

#[test]
fn too_little_voltage_is_mended_by_doubling_where_cores_are_spare() {
    check_plan(
        CABLES,
        "panel main : P
keypad a : K
keypad rear : K
run far : copper-4x22AWG {
  main.aux --12 m-- a --25 m-- rear
}",
        &[VoltageLow],
        expect![[r#"
            4:8 voltage-low error: rear gets 9.97 V with the battery at its end and the system in alarm; it works from 10 V. With its power cores doubled, far would give 10.2 V.
                > Double the power cores of far
        "#]],
    );
}

#[test]
fn doubling_counts_the_cores_of_loops_that_it_doubles() {
    // Cores for two feeds, but not for two doubled loops on a path without power.
    check_plan(
        CABLES,
        "panel main : P
keypad rear : K
detector c : C
detector d : C
run far : copper-4x22AWG {
  main.aux --50 m-- rear
  main.1 + main.2 --10 m-- c --5 m-- d
}",
        &[VoltageLow, CoresShort],
        expect![[r#"
            3:8 voltage-low error: rear gets 9.96 V with the battery at its end and the system in alarm; it works from 10 V. 0.5 mm² cable (copper-4x0-5mm2) for far would give 10.1 V.
                > Use copper-4x0-5mm2 for far
        "#]],
    );
    // The other way round: not doubled any more, the loops need half of theirs.
    check_plan(
        "model cable copper-8x22AWG, cores 8, conductor 22 AWG, strands 7
model cable copper-4x14AWG, cores 4, conductor 14 AWG, strands 7
",
        "panel main : P
sounder a : B
detector c : C
detector d : C
run far : copper-8x22AWG, doubled {
  main.siren --200 m-- a
  main.1 + main.2 --10 m-- c --5 m-- d
}",
        &[VoltageLow, CoresShort],
        expect![[r#"
            3:9 voltage-low error: a gets 6.2 V with the battery at its end and the system in alarm; it works from 9 V. 14 AWG cable (copper-4x14AWG) for far, not doubled, would give 9.1 V.
                > Use copper-4x14AWG for far, not doubled
        "#]],
    );
}

#[test]
fn too_little_voltage_is_mended_by_thicker_cable() {
    check_plan(
        CABLES,
        "panel main : P { bus keys { keypad rear : K, address 1 } }
run far : copper-4x22AWG {
  main.keys --48 m-- rear
}",
        &[VoltageLow],
        expect![[r#"
            2:36 voltage-low error: rear gets 9.98 V with the battery at its end and the system in alarm; it works from 10 V. 0.5 mm² cable (copper-4x0-5mm2) for far would give 10.2 V.
                > Use copper-4x0-5mm2 for far
        "#]],
    );
}

#[test]
fn another_cable_is_of_the_family_of_the_one_in_the_plan() {
    let cables = "
model cable strands-4x22, cores 4, conductor 22 AWG, strands 7
model cable solid-4x20, cores 4, conductor 20 AWG
model cable metric-4x0-5, cores 4, conductor 0.5 mm2, strands 16
model cable strands-4x18, cores 4, conductor 18 AWG, strands 7
model cable metric-4x1-5, cores 4, conductor 1.5 mm2, strands 30
model cable cca-4x22, cores 4, conductor 22 AWG, strands 7, metal cca
model cable cca-4x18, cores 4, conductor 18 AWG, strands 7, metal cca
model cable solid-6x22, cores 6, conductor 22 AWG
model cable strands-8x22, cores 8, conductor 22 AWG, strands 7
";
    // Of another where its own has none that is thick enough: the thinnest.
    for (site, proposed) in [
        (
            "run r : strands-4x22 { main.keys --48 m-- rear }",
            "strands-4x18",
        ),
        (
            "run r : strands-4x22 { main.keys --170 m-- rear }",
            "metric-4x1-5",
        ),
        ("run r : cca-4x22 { main.keys --48 m-- rear }", "cca-4x18"),
        (
            "run r : strands-4x22 { main.keys + main.1 --1 m-- rear }",
            "strands-8x22",
        ),
    ] {
        let panel = "panel main : P { bus keys { keypad rear : K, address 1 } }";
        let text = format!("{cables}{}site s {{\n{panel}\n{site}\n}}\n", models());
        let found = found(&text, &[VoltageLow, Code::CoresShort], 0);
        let wanted = format!("> Use {proposed} for r\n");
        assert!(found.contains(&wanted), "{site}\n{found}");
    }
}

#[test]
fn thicker_cable_leaves_a_run_its_spare_cores() {
    let cables = "
model cable c5x22, cores 5, conductor 22 AWG
model cable c4x20, cores 4, conductor 20 AWG
model cable c5x20, cores 5, conductor 20 AWG
model cable c8x20, cores 8, conductor 20 AWG
model cable c4x18, cores 4, conductor 18 AWG
";
    // Where none of the size that is enough has as many, one with fewer is.
    for (metres, proposed) in [(57, "c5x20"), (80, "c4x18")] {
        let text = format!(
            "{cables}{}site s {{
panel main : P {{ bus keys {{ keypad rear : K, address 1 }} }}
run r : c5x22 {{ main.keys --{metres} m-- rear }}
}}
",
            models()
        );
        let found = found(&text, &[VoltageLow], 0);
        let wanted = format!("> Use {proposed} for r\n");
        assert!(found.contains(&wanted), "{metres}: {found}");
    }
}

#[test]
fn where_no_cable_is_thick_enough_it_says_so() {
    check_plan(
        CABLES,
        "panel main : P { bus keys { keypad rear : K, address 1 } }
run far : copper-4x22AWG {
  main.keys --400 m-- rear
}",
        &[VoltageLow],
        expect![[r#"
            2:36 voltage-low error: rear gets 6.2 V with the battery at its end and the system in alarm; it works from 10 V. Even 1 mm² cable (copper-4x1mm2) for far would only give 9.1 V: feed rear from a supply nearer to it.
        "#]],
    );
}

#[test]
fn one_cable_is_proposed_for_all_that_a_run_feeds() {
    check_plan(
        CABLES,
        "panel main : P { bus keys {
  keypad near : K, address 1
  keypad far : K, address 2
} }
run r : copper-4x22AWG {
  main.keys --32 m-- near --25 m-- far
}",
        &[VoltageLow],
        expect![[r#"
            3:10 voltage-low error: near gets 9.81 V with the battery at its end and the system in alarm; it works from 10 V. 1 mm² cable (copper-4x1mm2) for r would give 10.3 V.
                > Use copper-4x1mm2 for r
            4:10 voltage-low error: far gets 9.5 V with the battery at its end and the system in alarm; it works from 10 V. 1 mm² cable (copper-4x1mm2) for r would give 10.2 V.
                > Use copper-4x1mm2 for r
        "#]],
    );
}

#[test]
fn one_cable_mends_a_run_in_all_states() {
    // On mains doubled cores would do, and with the battery at its end not.
    let check = |thick: &str, expected: Expect| {
        let models = format!(
            "{CABLES}
model sounder S, alarm 350 mA, works 9 V .. 15 V
model beacon W, alarm 2.4 W, works 10 V .. 15 V
model cable thin, cores 4, conductor 0.22 mm2
model cable thick, conductor {thick}
"
        );
        let site = "panel main : P
sounder a : S
sounder b : S
beacon w : W
run r : thin { main.siren --26 m-- a --12 m-- b --1 m-- w }";
        check_plan(&models, site, &[VoltageLow, CannotBeFed], expected);
    };
    check(
        "2.5 mm2",
        expect![[r#"
            4:9 voltage-low error: b gets 8.6 V on mains with the system in alarm; it works from 9 V. 2.5 mm² cable (thick) for r would give 13.4 V.
                > Use thick for r
            5:8 cannot-be-fed error: the cable cannot feed w: it asks for 2.4 W and can have 2 W at most, with the battery at its end and the system in alarm. All on this branch (a, b and w) could have 90 % of what they ask for, 1.23 A. Without w, too little still reaches a and b. 2.5 mm² cable (thick) for r would give 10.03 V.
                > Use thick for r
        "#]],
    );
    // Where none does, each device is told of its own, and what stands against it.
    check(
        "1.5 mm2",
        expect![[r#"
            4:9 voltage-low error: b gets 8.6 V on mains with the system in alarm; it works from 9 V. 1 mm² cable (copper-4x1mm2) for r would give 12.7 V.
                > Use copper-4x1mm2 for r
            5:8 cannot-be-fed error: the cable cannot feed w: it asks for 2.4 W and can have 2 W at most, with the battery at its end and the system in alarm. All on this branch (a, b and w) could have 90 % of what they ask for, 1.23 A. Without w, too little still reaches a and b. Even 1.5 mm² cable (thick) for r would only give 9.7 V: feed w from a supply nearer to it.
        "#]],
    );
}

#[test]
fn where_the_source_itself_is_too_low_no_cable_is_proposed() {
    check_plan(
        "model panel E {
  charger 1 A
  output aux 13.8 V
}
model keypad H, standby 45 mA, works 10.5 V .. 14.5 V
model cable thick, conductor 2.5 mm2
model cable thicker, conductor 4 mm2
",
        "panel main : E
keypad k : H
run r : thick { main.aux --1 m-- k }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: k gets 10.499 V with the battery at its end in standby; it works from 10.5 V. No cable helps: what feeds it ends at 10.5 V itself. Take a unit that cuts its battery off higher, a regulated supply, or a keypad that works from less.
        "#]],
    );
    // The thickest there is, and still too long.
    check_plan(
        "model cable thick, conductor 2.5 mm2\n",
        "panel main : P
sounder a : B
run r : thick { main.siren --900 m-- a }",
        &[VoltageLow, CannotBeFed],
        expect![[r#"
            3:9 voltage-low error: a gets 5.2 V with the battery at its end and the system in alarm; it works from 9 V. No thicker cable is at hand for r: feed a from a supply nearer to it.
        "#]],
    );
}

const TRIGGERED: &str = "model sounder G, standby 20 mA, alarm 60 mA, trigger 12 W\n";

#[test]
fn a_trigger_that_its_cable_cannot_feed_is_mended_as_a_feed_is() {
    // Cores to spare: doubled.
    check_plan(
        &format!("{CABLES}{TRIGGERED}"),
        "panel main : P
sounder s : G
run a : pair { main.aux --20 m-- s }
run b : copper-4x22AWG { main.siren --30 m-- s }",
        &[CannotBeFed],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed the trigger of s: it asks for 12 W and can have 8.5 W at most, with the battery at its end and the system in alarm. With its power cores doubled, b would give 8.1 V.
                > Double the power cores of b
        "#]],
    );
    // None to spare: thicker cable.
    check_plan(
        &format!("{CABLES}{TRIGGERED}"),
        "panel main : P
sounder s : G
run b : copper-4x22AWG { main.aux + main.siren --30 m-- s }",
        &[CannotBeFed],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed the trigger of s: it asks for 12 W and can have 8.5 W at most, with the battery at its end and the system in alarm. 0.5 mm² cable (copper-4x0-5mm2) for b would give 6.5 V.
                > Use copper-4x0-5mm2 for b
        "#]],
    );
    // No cable is enough.
    check_plan(
        &format!("{CABLES}{TRIGGERED}"),
        "panel main : P
sounder s : G
run a : pair { main.aux --20 m-- s }
run b : copper-4x22AWG { main.siren --900 m-- s }",
        &[CannotBeFed],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed the trigger of s: it asks for 12 W and can have 0.283 W at most, with the battery at its end and the system in alarm. Even 1 mm² cable (copper-4x1mm2) for b would not be enough: feed the trigger of s from a supply nearer to it.
        "#]],
    );
}

#[test]
fn a_doubled_run_is_mended_by_thicker_cable_that_is_not_doubled() {
    let cables = "
model cable copper-2x22AWG, conductor 22 AWG, strands 7
model cable copper-4x22AWG, cores 4, conductor 22 AWG, strands 7
model cable copper-4x20AWG, cores 4, conductor 20 AWG, strands 7
model cable copper-2x14AWG, conductor 14 AWG, strands 7
";
    // Doubled as it is, where that is enough.
    check_plan(
        cables,
        "panel main : P
sounder a : B
run r : copper-4x22AWG, doubled { main.siren --110 m-- a }",
        &[VoltageLow, CannotBeFed],
        expect![[r#"
            3:9 voltage-low error: a gets 8.1 V with the battery at its end and the system in alarm; it works from 9 V. 20 AWG cable (copper-4x20AWG) for r would give 9.005 V.
                > Use copper-4x20AWG for r
        "#]],
    );
    check_plan(
        cables,
        "panel main : P
sounder a : B
run r : copper-4x22AWG, doubled { main.siren --200 m-- a }",
        &[VoltageLow, CannotBeFed],
        expect![[r#"
            3:9 voltage-low error: a gets 6.2 V with the battery at its end and the system in alarm; it works from 9 V. 14 AWG cable (copper-2x14AWG) for r, not doubled, would give 9.1 V.
                > Use copper-2x14AWG for r, not doubled
        "#]],
    );
    // On a line of its own; and what comes nearest where nothing is enough.
    check_plan(
        cables,
        "panel main : P
sounder a : B
run r : copper-4x22AWG {
  doubled
  main.siren --200 m-- a
}",
        &[VoltageLow, CannotBeFed],
        expect![[r#"
            3:9 voltage-low error: a gets 6.2 V with the battery at its end and the system in alarm; it works from 9 V. 14 AWG cable (copper-2x14AWG) for r, not doubled, would give 9.1 V.
                > Use copper-2x14AWG for r, not doubled
        "#]],
    );
    check_plan(
        cables,
        "panel main : P
sounder a : B
run r : copper-4x22AWG, doubled { main.siren --600 m-- a }",
        &[VoltageLow, CannotBeFed],
        expect![[r#"
            3:9 cannot-be-fed error: the cable cannot feed a: it asks for 400 mA and can have 324 mA at most, with the battery at its end and the system in alarm. Even 14 AWG cable (copper-2x14AWG) for r, not doubled, would only give 6.4 V: feed a from a supply nearer to it.
        "#]],
    );
}

#[test]
fn more_than_twenty_runs_are_not_laid_anew() {
    let proposed = |runs: usize| {
        let mut site = "panel main : P\nkeypad k : K\n".to_string();
        let mut from = "main.aux".to_string();
        for run in 1..=runs {
            let to = match run == runs {
                true => "k".to_string(),
                false => format!("j{run}"),
            };
            let metres = 250.0 / runs as f64;
            site += &format!("joint j{run}\nrun r{run} : pair {{ {from} --{metres} m-- {to} }}\n");
            from = to;
        }
        let text = format!("{CABLES}{}site s {{\n{site}}}\n", models());
        found(&text, &[VoltageLow], 0).contains(&format!("for {runs} runs on the way"))
    };
    assert_eq!([20, 21].map(proposed), [true, false]);
}

#[test]
fn where_no_cable_for_one_run_is_enough_the_same_is_laid_all_the_way() {
    let own = "model cable copper-2x22AWG, cores 2, conductor 22 AWG, strands 7
model cable copper-2x18AWG, cores 2, conductor 18 AWG, strands 7
model cable copper-2x16AWG, cores 2, conductor 16 AWG, strands 7
model cable copper-2x12AWG, cores 2, conductor 12 AWG, strands 7
model panel O, cutoff 10.5 V {
  charger 1 A
  output d 13.8 V
  inputs 1 .. 2
}
model keypad E, standby 20 mA, works 9.5 V ..
model keypad F, standby 130 mA, works 9.8 V ..
";
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad e : E
keypad k : F
run a : copper-2x22AWG { main.d --60 m-- e }
run b : copper-2x22AWG { e --60 m-- k }",
        &[VoltageLow],
        expect![[r#"
            4:8 voltage-low error: k gets 8.7 V with the battery at its end in standby; it works from 9.8 V. 16 AWG cable (copper-2x16AWG) for a and b would give 10.0 V.
                > Use copper-2x16AWG for a and b
        "#]],
    );
    // What is thick already stays.
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad e : E
keypad k : F
run a : copper-2x22AWG { main.d --60 m-- e }
run b : copper-2x12AWG { e --5 m-- j }
run c : copper-2x22AWG { j --60 m-- k }
joint j",
        &[VoltageLow],
        expect![[r#"
            4:8 voltage-low error: k gets 8.7 V with the battery at its end in standby; it works from 9.8 V. 16 AWG cable (copper-2x16AWG) for a and c would give 10.0 V.
                > Use copper-2x16AWG for a and c
        "#]],
    );
    // Many are counted.
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad k : F
joint h
joint i
joint j
run a : copper-2x22AWG { main.d --40 m-- h }
run b : copper-2x22AWG { h --40 m-- i }
run c : copper-2x22AWG { i --40 m-- j }
run d : copper-2x22AWG { j --40 m-- k }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: k gets 8.3 V with the battery at its end in standby; it works from 9.8 V. 16 AWG cable (copper-2x16AWG) for 4 runs on the way would give 9.9 V.
                > Use copper-2x16AWG for 4 runs on the way
        "#]],
    );
    // Those that take more cores than thick cable has stay as they are.
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad e : E
keypad h : E
keypad k : F
run a : quad { main.d + main.1 --10 m-- h }
run b : copper-2x22AWG { h --50 m-- e }
run c : copper-2x22AWG { e --50 m-- k }",
        &[VoltageLow],
        expect![[r#"
            5:8 voltage-low error: k gets 8.8 V with the battery at its end in standby; it works from 9.8 V. 16 AWG cable (copper-2x16AWG) for b and c would give 10.0 V.
                > Use copper-2x16AWG for b and c
        "#]],
    );
    // The way may come back to a run: another path of it.
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad k : F
joint j
joint l
run a : copper-2x22AWG {
  main.d --50 m-- j
  l --50 m-- k
}
run b : copper-2x22AWG { j --60 m-- l }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: k gets 8.3 V with the battery at its end in standby; it works from 9.8 V. 16 AWG cable (copper-2x16AWG) for a and b would give 9.9 V.
                > Use copper-2x16AWG for a and b
        "#]],
    );
    // The message tells of all of them where not even that is enough.
    check_plan(
        own,
        "panel main : O { battery : pack }
keypad k : F
joint j
run a : copper-2x22AWG { main.d --260 m-- j }
run b : copper-2x22AWG { j --260 m-- k }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: k gets 3.2 V with the battery at its end in standby; it works from 9.8 V. Even 12 AWG cable (copper-2x12AWG) for a and b would only give 9.781 V: feed k from a supply nearer to it.
        "#]],
    );
}

#[test]
fn what_no_output_gives_on_mains_either_is_asked_of_a_higher_one() {
    check_plan(
        "model sounder L, standby 100 mA, works 21 V .. 28 V\n",
        "panel main : P { battery : pack }
sounder l : L
run r : pair { main.aux --5 m-- l }",
        &[VoltageLow],
        expect![[r#"
            3:9 voltage-low error: l gets 10.4 V with the battery at its end in standby; it works from 21 V. No cable helps: what feeds it gives 13.8 V on mains. Feed it from an output of higher voltage.
        "#]],
    );
}

/// 30 m are 3 ohm; the joint's 1.5 ohm in either core 3 more. Of 100 mA they take 0.6 V of the 10.5 V
/// of the battery; with every core doubled, in the joint too, 0.3 V.
#[test]
fn doubled_cores_are_joined_twice() {
    check_site(
        "panel main : P
keypad rear : K
joint j { resistance 1.5 ohm }
run far : quad { main.aux --20 m-- j --10 m-- rear }",
        &[VoltageLow],
        expect![[r#"
            3:8 voltage-low error: rear gets 9.9 V with the battery at its end and the system in alarm; it works from 10 V. With its power cores doubled, far would give 10.2 V.
                > Double the power cores of far
        "#]],
    );
}
