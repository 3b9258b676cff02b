use super::*;
use crate::fixture::{fixture, harbour};
use expect_test::expect;

/// The lines that have hints, with the hints in them.
fn show(entry: &Entry, hints: &[Hint]) -> String {
    let text = entry.file.text();
    let mut shown = String::new();
    for line in 0..text.lines() {
        let range = text.line(line);
        let mut line = text.slice(range.clone());
        let own = hints
            .iter()
            .filter(|hint| range.start <= hint.offset && hint.offset <= range.end);
        let own: Vec<_> = own.collect();
        for hint in own.iter().rev() {
            line.insert_str(hint.offset - range.start, &format!("‹{}›", hint.label));
        }
        if !own.is_empty() {
            shown += &format!("{}\n", line.trim());
        }
    }
    shown
}

/// What a hint is of, told by its unit.
fn what(hint: &Hint) -> &'static str {
    match &hint.label {
        label if label.ends_with("ohm") => "zone",
        label if label.ends_with("mA") => "device",
        _ => "leg",
    }
}

fn all(entry: &Entry) -> Vec<Hint> {
    hints(entry, 0..usize::MAX, HintSettings::default())
}

#[test]
fn figures_stand_beside_devices_legs_and_zones() {
    let (_, entry, _) = fixture("//- sites/harbour.bell\n");
    expect![[r#"
        keypad   front "Shop door"     : K2,  address 1, partition 1‹10.12 V, 110 mA›
        keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13‹9.68 V, 125 mA›
        expander x1    "Loft"          : E8,  address 9‹10.08 V, 42 mA›
        zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 s, loop single‹2.18 kohm .. 2.22 kohm›
        zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double‹993 ohm .. 1.01 kohm›
        zone 9 "Workshop window", input x1.1, from rc2,  partition 2, loop single‹2.18 kohm .. 2.22 kohm›
        detector pir1 "Shop floor"      : P5‹10.45 V, 18 mA›
        sounder  s1   "Front elevation" : S15‹10.14 V, 350 mA›
        main.keys --12 m--‹0.38 V› front --31 m--‹0.44 V› rear
        front --8 m--‹0.04 V› x1
        run z2 : copper-6x22AWG { main.aux + main.2 --22 m--‹0.05 V› pir1 }
        run b1 : copper-4x22AWG, doubled { main.siren --18 m--‹0.36 V› s1 }
    "#]].assert_eq(&show(&entry, &all(&entry)));
}

#[test]
fn the_tooltip_has_every_state() {
    let (_, entry, _) = fixture("//- sites/harbour.bell\n");
    let tooltip = |wanted| {
        let hints = all(&entry);
        let hint = hints.into_iter().find(|hint| what(hint) == wanted);
        hint.map_or(String::new(), |hint| hint.tooltip + "\n\n")
    };
    let shown = ["device", "leg", "zone"].map(tooltip).concat();
    expect![[r#"
        13.61 V, 45 mA on mains in standby
        13.42 V, 110 mA on mains with the system in alarm
        10.31 V, 45 mA with the battery at its end in standby
        10.12 V, 110 mA with the battery at its end and the system in alarm

        0.19 V lost at 135 mA on mains in standby
        0.38 V lost at 277 mA on mains with the system in alarm
        0.19 V lost at 135 mA with the battery at its end in standby
        0.38 V lost at 277 mA with the battery at its end and the system in alarm

        normal: 2.18 kohm .. 2.22 kohm, reads normal
        alarm: open, reads open
        short: 0 ohm .. 1.6 ohm, reads short
        cut: open, reads open

    "#]]
    .assert_eq(&shown);
}

#[test]
fn a_hint_stands_behind_the_first_line_of_a_block() {
    let (_, entry, _) = harbour(
        ": K2,  address 1, partition 1",
        ": K2 {  # here\n address 1\n partition 1\n}",
    );
    let shown = show(&entry, &all(&entry));
    assert!(shown.contains("K2 {‹"), "{shown}");
}

#[test]
fn what_is_not_known_of_a_device_is_said() {
    let (_, entry, _) = harbour("--31 m--", "--");
    let shown = show(&entry, &all(&entry));
    let why = "‹the length from front to rear in keys-a is not written yet›";
    assert!(shown.contains(why), "{shown}");
    assert!(!shown.contains("no solution"), "{shown}");
}

#[test]
fn a_device_that_cannot_be_fed_has_no_solution() {
    let (_, entry, _) = harbour("--31 m--", "--90000 m--");
    let hints = all(&entry);
    let shown = show(&entry, &hints);
    assert!(shown.contains("‹no solution›"), "{shown}");
    let hint = hints.iter().find(|hint| hint.label == "no solution");
    let tooltip = hint.map_or("", |hint| &hint.tooltip);
    assert!(tooltip.contains("the cable cannot feed"), "{tooltip}");
}

#[test]
fn each_sort_of_hint_can_be_turned_off() {
    let (_, entry, _) = fixture("//- sites/harbour.bell\n");
    let of = |devices, legs, zones| {
        let settings = HintSettings {
            devices,
            legs,
            zones,
        };
        let hints = hints(&entry, 0..usize::MAX, settings);
        let mut found: Vec<&str> = hints.iter().map(what).collect();
        found.sort_unstable();
        found.dedup();
        found
    };
    assert_eq!(of(true, false, false), ["device"]);
    assert_eq!(of(false, true, false), ["leg"]);
    assert_eq!(of(false, false, true), ["zone"]);
    assert_eq!(of(true, true, true), ["device", "leg", "zone"]);
    assert_eq!(of(false, false, false), [""; 0]);
}

#[test]
fn a_range_gives_its_own_hints_alone() {
    let (_, entry, _) = fixture("//- sites/harbour.bell\n");
    let all = all(&entry);
    let text = entry.file.text();
    for line in 0..text.lines() {
        let range = text.line(line);
        let own: Vec<Hint> = all
            .iter()
            .filter(|hint| range.start <= hint.offset && hint.offset <= range.end)
            .cloned()
            .collect();
        assert_eq!(hints(&entry, range, HintSettings::default()), own);
    }
}
