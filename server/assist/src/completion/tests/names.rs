use expect_test::expect;

use super::{BUS_END, check, complete, labels, list, on_bus, shown, taken};
use crate::fixture::{fixture, harbour};

#[test]
fn models_of_the_right_kind_are_offered_behind_the_colon() {
    check(
        BUS_END,
        &on_bus("keypad third : $0"),
        expect![[r#"
        K2 | Two-line keypad: standby 45 mA, alarm 110 mA
        K2R | Two-line keypad with receiver: standby 60 mA, alarm 125 mA, also receiver
    "#]],
    );
    // What the site has already comes first.
    let cables = list("run z9 : copper-2x22AWG", "run z9 : $0 ");
    assert!(
        cables.starts_with(
            "copper-2x22AWG | Two cores, 22 AWG, stranded copper: 2 cores, 54 ohm/km\n"
        ),
        "{cables}"
    );
    let batteries = list("battery : sealed-12V-7Ah", "battery : seal$0");
    assert!(
        batteries.contains("sealed-12V-7Ah | Sealed lead-acid, 12 V, 7 Ah\n"),
        "{batteries}"
    );
    check(
        "sounder  s1   \"Front elevation\" : S15",
        "sounder s1 $0",
        expect![[r#"
            : S15 | Outdoor sounder: alarm 350 mA
        "#]],
    );
}

#[test]
fn a_model_that_is_not_used_yet_brings_its_use_along() {
    let (view, entry, offset) = fixture(
        "//- sites/new.bell\n# A new branch.\nuse \"../shared/monitoring.bell\"\n\nsite new {\n  panel main : $0\n}\n//- catalog/merrow.bell\n",
    );
    let found = complete(&view, &entry, offset);
    let panel = found.iter().find(|found| found.label == "M8").unwrap();
    assert_eq!(panel.extra[0].text, "\nuse \"../catalog/merrow.bell\"");
    let before = entry.file.text().slice(0..panel.extra[0].range.start);
    assert!(before.ends_with("monitoring.bell\""), "{before}");

    let (view, entry, offset) =
        fixture("//- new.bell\nsite new {\r\n  panel main : $0\r\n}\r\n//- catalog/merrow.bell\n");
    let found = complete(&view, &entry, offset);
    let panel = found.iter().find(|found| found.label == "M8").unwrap();
    assert_eq!(panel.extra[0].text, "use \"catalog/merrow.bell\"\r\n\r\n");
    assert_eq!(panel.extra[0].range, 0..0);
}

#[test]
fn a_way_starts_where_power_comes_from_and_goes_on_to_what_is_not_wired() {
    check(
        "    front --8 m-- x1\n",
        "    main.$0\n",
        expect![[r#"
            aux | output 13.8 V, 600 mA
            siren | output 13.8 V, 1.2 A, in alarm
            keys | bus of Stock room
            3 | input of Stock room
            4 | input of Stock room
            5 | input of Stock room
            6 | input of Stock room
            7 | input of Stock room
            8 | input of Stock room
            1 | input of Stock room
            2 | input of Stock room
        "#]],
    );
    check(
        "front --8 m-- x1\n",
        "front --8 m-- $0\n",
        expect![[r#"
            x1 | Loft, not wired yet
            front | Shop door
            rear | Workshop door
            rc1 | Shop door
            pir1 | Shop floor
            rc2 | Workshop window
            s1 | Front elevation
            main.3 | input of Stock room
            main.4 | input of Stock room
            main.5 | input of Stock room
            main.6 | input of Stock room
            main.7 | input of Stock room
            main.8 | input of Stock room
            x1.2 | input of Loft
            x1.3 | input of Loft
            x1.4 | input of Loft
            x1.5 | input of Loft
            x1.6 | input of Loft
            x1.7 | input of Loft
            x1.8 | input of Loft
            main.aux | output 13.8 V, 600 mA
            main.siren | output 13.8 V, 1.2 A, in alarm
            main.keys | bus of Stock room
            main.1 | input of Stock room
            main.2 | input of Stock room
            x1.1 | input of Loft
        "#]],
    );
    let first = labels("    front --8 m-- x1\n", "    $0\n");
    assert_eq!(
        first[..4],
        ["main.aux", "main.siren", "main.keys", "doubled"]
    );
    let (_, snippet) = taken("front --8 m-- x1\n", "front --$0\n", "… m-- x1");
    assert_eq!(snippet.unwrap(), "${1:12} m-- x1");
    let (_, snippet) = taken("front --8 m-- x1\n", "front $0\n", "--… m-- x1");
    assert_eq!(snippet.unwrap(), "--${1:12} m-- x1");
    assert_eq!(
        labels(
            "main.aux + main.2 --22 m-- pir1",
            "main.aux + main.$0 --22 m-- pir1"
        )[0..2],
        ["2", "aux"]
    );
}

/// Some editors keep in the list what begins with the letters that are typed.
#[test]
fn the_next_point_is_found_by_its_name() {
    for typed in ["front x", "front --x", "front --8 m-- x"] {
        let (view, entry, offset) = harbour("front --8 m-- x1\n", &format!("{typed}$0\n"));
        let found = complete(&view, &entry, offset);
        let expander = found.iter().find(|found| found.insert.ends_with("x1"));
        let expander = expander.unwrap_or_else(|| panic!("{typed}: {}", shown(&found)));
        let filter = expander.filter.as_ref().unwrap_or(&expander.label);
        assert_eq!(filter, "x1", "{typed}");
        assert_eq!(entry.file.text().slice(expander.replace.clone()), "x");
    }
}

#[test]
fn inputs_partitions_loops_and_detectors_are_those_of_the_panel() {
    check(
        "input 2,    from pir1",
        "input $0, from pir1",
        expect![[r#"
        2 | input of Stock room, wired
        3 | input of Stock room
        4 | input of Stock room
        5 | input of Stock room
        6 | input of Stock room
        7 | input of Stock room
        8 | input of Stock room
        x1.2 | input of Loft
        x1.3 | input of Loft
        x1.4 | input of Loft
        x1.5 | input of Loft
        x1.6 | input of Loft
        x1.7 | input of Loft
        x1.8 | input of Loft
    "#]],
    );
    check(
        "input x1.1, from rc2",
        "input x1.$0, from rc2",
        expect![[r#"
        1 | input of Loft, wired
        2 | input of Loft
        3 | input of Loft
        4 | input of Loft
        5 | input of Loft
        6 | input of Loft
        7 | input of Loft
        8 | input of Loft
    "#]],
    );
    check(
        "from rc2,  partition 2",
        "from $0,  partition 2",
        expect![[r#"
        rc2 | Workshop window
        rc1 | Shop door, on another zone
        pir1 | Shop floor, on another zone
    "#]],
    );
    check(
        "loop double",
        "loop $0",
        expect![[r#"
        single | end 2.2 kohm
        double | end 1 kohm, contact 1 kohm
    "#]],
    );
    check(
        "address 1, partition 1",
        "address 1, partition $0",
        expect![[r#"
            1 | Shop
            2 | Workshop
        "#]],
    );
    assert_eq!(
        labels("address 1, partition 1", "address 1, partition 1 $0"),
        ["2"]
    );
    check(
        "sounds silent",
        "sounds $0",
        expect![[r#"
        all | as from the factory
        chime-off
        silent
    "#]],
    );
}

#[test]
fn names_from_other_files_are_offered() {
    let rules = list("rules   intruder-grade-2", "rules $0");
    assert!(
        rules.contains("intruder-grade-2 | standby 12 h, alarm 15 min\n"),
        "{rules}"
    );
    check(
        "report  northgate",
        "report $0",
        expect![[r#"
        northgate
    "#]],
    );
}

#[test]
fn paths_of_other_files_are_offered_as_seen_from_here() {
    let files = "\n//- catalog/merrow.bell\n//- shared/monitoring.bell\n//- sites/harbour.bell\n";
    let (view, entry, offset) = fixture(&format!("//- sites/new.bell\nuse \"../cat$0\"{files}"));
    let found = complete(&view, &entry, offset);
    expect![[r#"
        ../catalog/merrow.bell | 7 models
        ../shared/monitoring.bell | 1 declaration
    "#]]
    .assert_eq(&shown(&found));
    let replaced = entry.file.text().slice(found[0].replace.clone());
    assert_eq!(replaced, "../cat");
    let (view, entry, offset) = fixture(&format!(
        "//- sites/new.bell\nuse \"../catalog/merrow.bell\"\nuse \"$0{files}"
    ));
    assert_eq!(complete(&view, &entry, offset).len(), 1);
    // Before there are quotes, they come along.
    let (view, entry, offset) = fixture(&format!("//- sites/new.bell\nuse $0{files}"));
    let found = complete(&view, &entry, offset);
    assert_eq!(found[0].label, "../catalog/merrow.bell");
    assert_eq!(found[0].insert, "\"../catalog/merrow.bell\"");
}

#[test]
fn a_battery_may_be_fitted_this_month_or_today() {
    check(
        "fitted 2025-03",
        "fitted $0",
        expect![[r#"
        2026-05 | this month
        2026-05-04 | today
    "#]],
    );
    assert_eq!(
        taken("fitted 2025-03", "fitted 2026-$0", "2026-05").0,
        "battery : sealed-12V-7Ah, fitted 2026-05"
    );
}
