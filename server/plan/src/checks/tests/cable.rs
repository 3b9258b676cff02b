use expect_test::expect;

use super::*;
use Code::{BusCapacitance, BusTooLong, CoresShort, Layout};

const CABLES: &str = "
model cable c2, conductor 22 AWG
model cable c4, cores 4, conductor 22 AWG, capacitance 100 pF/m
model cable c6, cores 6, conductor 22 AWG
model cable c8, cores 8, conductor 22 AWG
";

#[test]
fn a_cable_needs_cores_for_all_that_it_carries() {
    check_plan(
        CABLES,
        "panel main : P { bus keys { keypad a : K, address 1 } }
keypad b : K
run one : c4 { main.keys + main.2 --10 m-- a }
run two : c4, doubled { main.keys --10 m-- a }
run three : c4 { main.aux + main.3 --10 m-- b }
run four : c4, doubled { main.aux --10 m-- b }
run five : c8 { main.keys + main.4 + main.5 + main.6 --10 m-- a }",
        &[CoresShort],
        expect![[r#"
            4:11 cores-short error: one carries the power of main.aux, the data of main.keys and the loop of main.2: 6 cores, and c4 has 4. Use c6 for one.
                4:16 on this path
                > Use c6 for one
            5:11 cores-short error: two carries the doubled power of main.aux and the data of main.keys: 6 cores, and c4 has 4. Use c6 for two.
                5:25 on this path
                > Use c6 for two
            8:12 cores-short error: five carries the power of main.aux, the data of main.keys, the loop of main.4, the loop of main.5 and the loop of main.6: 10 cores, and c8 has 8. Lay a second run, or a cable with more cores.
                8:17 on this path
        "#]],
    );
}

#[test]
fn cores_that_cannot_be_read_are_not_taken_for_too_few() {
    for cores in ["\"four\"", "0", "2.5"] {
        let site = "panel main : P
keypad b : K
run r : own { main.aux + main.3 --10 m-- b }";
        let own = format!("model cable own, cores {cores}, conductor 22 AWG\n");
        check_plan(&own, site, &[CoresShort], expect![""]);
    }
}

fn bus(rule: &str) -> String {
    format!(
        "{CABLES}
model panel L {{
  output aux 13.8 V
  bus keys {{
    power aux
    addresses 1 .. 9
    {rule}
  }}
}}
"
    )
}

const CHAIN: &str = "panel main : L { bus keys {
  keypad a : K, address 1
  keypad b : K, address 2
  keypad c : K, address 3
} }
";

#[test]
fn a_bus_drives_so_much_cable() {
    let site = format!(
        "{CHAIN}run r : c4 {{\n main.keys --100 m-- a --50 m-- b\n main.keys --60 m-- c\n}}"
    );
    let only = &[BusTooLong, BusCapacitance];
    check_plan(
        &bus("length 200 m"),
        &site,
        only,
        expect![[r#"
            2:22 bus-too-long error: main.keys has 210 m of cable on it; it drives 200 m. Shorten the cable, or move a branch to another bus.
                model what the bus allows
        "#]],
    );
    check_plan(
        &bus("longest 140 m"),
        &site,
        only,
        expect![[r#"
            2:22 bus-too-long error: the farthest device on main.keys is 150 m away along the cable; it may be 140 m. Lead the cable there by a shorter way, or move the panel.
                model what the bus allows
        "#]],
    );
    check_plan(
        &bus("capacitance 20 nF"),
        &site,
        only,
        expect![[r#"
        2:22 bus-capacitance error: the cable on main.keys has 21 nF between its cores; the bus drives 20 nF. Shorten it, or use cable of less capacitance.
            model what the bus allows
    "#]],
    );
    check_plan(&bus("length 210 m"), &site, only, expect![[""]]);
    check_plan(&bus("longest 150 m"), &site, only, expect![[""]]);
    check_plan(&bus("capacitance 21 nF"), &site, only, expect![[""]]);
}

#[test]
fn capacitance_that_cables_do_not_say_is_told_as_unchecked() {
    let site = |cable: &str| {
        format!(
            "rules r\n{CHAIN}run r : {cable} {{ main.keys --250 m-- a }}
run q : c4 {{ main.keys --50 m-- b --50 m-- c }}"
        )
    };
    let mut own = bus("capacitance 20 nF") + "model cable silent, cores 4, conductor 1 mm2\n";
    own += "rules r { standby 12 h }\n";
    own += "model cable misread, cores 4, conductor 1 mm2, capacitance none\n";
    let only = &[Code::Unchecked, BusCapacitance];
    check_plan(
        &own,
        &site("silent"),
        only,
        expect![[r#"
        3:7 unchecked information: what main itself draws is in no battery sum: say in the model L its `standby`.
            model the model
        8:9 unchecked information: the capacitance on main.keys is not checked: say in the model silent its `capacitance`.
            model the model
    "#]],
    );
    check_plan(
        &own,
        &site("misread"),
        only,
        expect![[r#"
        3:7 unchecked information: what main itself draws is in no battery sum: say in the model L its `standby`.
            model the model
    "#]],
    );
    check_plan(
        &own.replace("20 nF", "50 nF"),
        &site("c4"),
        only,
        expect![[r#"
        3:7 unchecked information: what main itself draws is in no battery sum: say in the model L its `standby`.
            model the model
    "#]],
    );
}

#[test]
fn a_bus_may_have_certain_shapes() {
    let shapes = [
        ("chain", "main.keys --1 m-- a --1 m-- b --1 m-- c"),
        (
            "star",
            "main.keys --1 m-- a\nmain.keys --1 m-- b\nmain.keys --1 m-- c",
        ),
        ("tree", "main.keys --1 m-- a --1 m-- b\na --1 m-- c"),
        (
            "ring",
            "main.keys --1 m-- a --1 m-- b --1 m-- c --1 m-- main.keys",
        ),
    ];
    let fits = |layout: &str, way: &str| {
        let site = format!("{CHAIN}run r : c4 {{\n{way}\n}}");
        let text = format!(
            "{}{}site s {{\n{site}\n}}\n",
            bus(&format!("layout {layout}")),
            models()
        );
        found(&text, &[Layout], 0).is_empty()
    };
    let table: Vec<Vec<bool>> = shapes
        .iter()
        .map(|(layout, _)| shapes.iter().map(|(_, way)| fits(layout, way)).collect())
        .collect();
    // A row for each layout, a column for each shape. A chain or a star is a tree.
    assert_eq!(
        table,
        [
            [true, false, false, false],
            [false, true, false, false],
            [true, true, true, false],
            [false, false, false, true],
        ]
    );
    // The panel may stand in the middle of a chain.
    let middle = "main.keys --1 m-- a\nmain.keys --1 m-- b --1 m-- c";
    assert!(fits("chain", middle) && !fits("star", middle));
    // Which shape was meant by what is none is not known.
    assert!(fits("chain rnig", shapes[2].1));
    let tree = format!("{CHAIN}run r : c4 {{\nmain.keys --1 m-- a --1 m-- b\na --1 m-- c\n}}");
    check_plan(
        &bus("layout chain star"),
        &tree,
        &[Layout],
        expect![[r#"
            9:1 layout error: the cable of main.keys branches at a; its layout may be chain or star: lead it from one device to the next, in one line.
                model what the bus allows
                2:22 the bus
        "#]],
    );
}

#[test]
fn a_bus_with_resistors_at_its_ends_has_two() {
    let own = "model panel T {
  output aux 13.8 V
  bus doors, power aux, addresses 1 .. 8, terminated 120 ohm
}
model reader A { standby 50 mA }
";
    let site = |ways: &str| {
        format!(
            "panel main : T {{ bus doors {{
  reader a : A, address 1
  reader b : A, address 2
  reader c : A, address 3
}} }}
run r : quad {{
{ways}
}}"
        )
    };
    let line = site("  main.doors --5 m-- a --5 m-- b --5 m-- c");
    check_plan(own, &line, &[Code::Layout], expect![[""]]);
    let middle = site("  main.doors --5 m-- a\n  main.doors --5 m-- b --5 m-- c");
    check_plan(own, &middle, &[Code::Layout], expect![[""]]);
    let branch = site("  main.doors --5 m-- a --5 m-- b\n  a --5 m-- c");
    check_plan(
        own,
        &branch,
        &[Code::Layout],
        expect![[r#"
        9:3 layout warning: main.doors wants 120 ohm at both ends of its cable, which has 3, at main.doors, b and c: lead it from one device to the next, in one line.
    "#]],
    );
    let ring = site("  main.doors --5 m-- a --5 m-- b --5 m-- c --5 m-- main.doors");
    check_plan(
        own,
        &ring,
        &[Code::Layout],
        expect![[r#"
        2:22 layout warning: main.doors wants 120 ohm at both ends of its cable, which comes back to where it was and has none: lead it from one device to the next, in one line.
    "#]],
    );
}

#[test]
fn a_limit_that_is_just_met_is_met() {
    // The sum of the legs is above 0.6 m in its sixteenth digit.
    let site = format!("{CHAIN}run r : c4 {{ main.keys --0.1 m-- a --0.2 m-- b --0.3 m-- c }}");
    let wrong = &[BusTooLong, BusCapacitance];
    for rule in ["length 0.6 m", "longest 0.6 m", "capacitance 0.06 nF"] {
        check_plan(&bus(rule), &site, wrong, expect![""]);
    }
}

#[test]
fn devices_at_one_point_are_at_one_distance_and_no_branch() {
    let site = format!(
        "{CHAIN}run r : c4 {{
  main.keys --10 m-- a + b
  b --20 m-- c
}}"
    );
    check_plan(
        &bus("longest 29 m"),
        &site,
        &[BusTooLong],
        expect![[r#"
            2:22 bus-too-long error: the farthest device on main.keys is 30 m away along the cable; it may be 29 m. Lead the cable there by a shorter way, or move the panel.
                model what the bus allows
        "#]],
    );
    check_plan(&bus("layout chain"), &site, &[Layout], expect![""]);
    check_plan(&bus("terminated 120 ohm"), &site, &[Layout], expect![""]);
}

#[test]
fn a_ring_with_a_branch_says_that_it_branches_where_a_ring_would_do() {
    let own = "model panel R {
  output aux 13.8 V, limit 600 mA
  bus keys, power aux, addresses 1 .. 8, layout chain ring
}
";
    let site = |paths: &str| {
        format!(
            "panel main : R {{
  bus keys {{
    keypad a : K, address 1
    keypad b : K, address 2
    keypad c : K, address 3
  }}
}}
run r : quad {{
{paths}
}}"
        )
    };
    let ring = "main.keys --5 m-- a --5 m-- b --5 m-- main.keys";
    let spur = format!("{ring}\na --5 m-- c");
    check_plan(
        own,
        &site(&spur),
        &[Layout],
        expect![[r#"
        11:1 layout error: the cable of main.keys comes back to where it was and branches at a; its layout may be chain or ring: lead it on from the last device back to the panel, in one path.
            model what the bus allows
            3:7 the bus
    "#]],
    );
    let twice = format!("{ring}\nmain.keys --5 m-- c --5 m-- main.keys");
    check_plan(
        own,
        &site(&twice),
        &[Layout],
        expect![[r#"
        10:19 layout error: the cable of main.keys comes back to where it was more than once; its layout may be chain or ring: lead it on from the last device back to the panel, in one path.
            model what the bus allows
            3:7 the bus
    "#]],
    );
}
