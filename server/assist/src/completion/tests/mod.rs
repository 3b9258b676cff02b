mod feet;
mod names;

use expect_test::{Expect, expect};

use super::{Completion, complete, document};
use crate::fixture::{fixture, harbour};

/// The list as it is shown, in its order.
fn shown(completions: &[Completion]) -> String {
    let mut lines = String::new();
    for completion in completions {
        let detail = completion.detail.as_deref().unwrap_or("");
        lines += format!("{} | {detail}", completion.label).trim_end_matches([' ', '|']);
        lines.push('\n');
    }
    lines
}

fn list(from: &str, to: &str) -> String {
    let (view, entry, offset) = harbour(from, to);
    shown(&complete(&view, &entry, offset))
}

fn check(from: &str, to: &str, expected: Expect) {
    expected.assert_eq(&list(from, to));
}

fn labels(from: &str, to: &str) -> Vec<String> {
    let (view, entry, offset) = harbour(from, to);
    let found = complete(&view, &entry, offset).into_iter();
    found.map(|completion| completion.label).collect()
}

/// The text after the completion of this label was taken.
fn taken(from: &str, to: &str, label: &str) -> (String, Option<String>) {
    let (view, entry, offset) = harbour(from, to);
    let found = complete(&view, &entry, offset);
    let completion = found
        .iter()
        .find(|completion| completion.label == label)
        .unwrap_or_else(|| panic!("{label} in {}", shown(&found)));
    let text = entry.file.text();
    let line = text.line(text.line_of(offset));
    let before = text.slice(line.start..completion.replace.start);
    let after = text.slice(completion.replace.end..line.end);
    (
        format!("{before}{}{after}", completion.insert)
            .trim()
            .to_string(),
        completion.snippet.clone(),
    )
}

const BUS_END: &str = r#"      expander x1    "Loft"          : E8,  address 9
    }"#;

fn on_bus(line: &str) -> String {
    BUS_END.replace("    }", &format!("      {line}\n    }}"))
}

#[test]
fn free_addresses_are_offered_in_order_with_what_the_panel_makes_of_them() {
    check(
        BUS_END,
        &on_bus("keypad third : K2, address $0"),
        expect![[r#"
            3 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            4 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            5 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            6 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            7 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            8 | must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
        "#]],
    );
    // At a revision at which the panel has switched on all of them.
    let (view, entry, offset) = fixture(
        "//- sites/new.bell\nuse \"../catalog/merrow.bell\"\nsite a {\n  panel p : M8, revision 5.1 {\n    bus keys {\n      keypad k : K2, address $0\n    }\n  }\n}\n",
    );
    let found = complete(&view, &entry, offset);
    assert_eq!(found.len(), 8);
    assert_eq!(found[0].detail.as_deref(), Some("enabled from the factory"));
}

#[test]
fn a_device_may_keep_its_own_address() {
    assert_eq!(
        labels("K2R, address 2", "K2R, address 2$0"),
        ["2", "3", "4", "5", "6", "7", "8"]
    );
    assert_eq!(
        taken("K2R, address 2", "K2R, address 2$0", "3").0,
        r#"keypad   rear  "Workshop door" : K2R, address 3, partition 2, sounds silent, receiver 13"#
    );
}

#[test]
fn each_kind_has_its_own_places() {
    assert_eq!(
        labels(BUS_END, &on_bus("expander x2 : E8, address $0")),
        ["10", "11", "12"]
    );
    assert_eq!(
        labels(BUS_END, &on_bus("keypad k : K2R, receiver $0")),
        ["14", "off"]
    );
    // The bus has no places for readers.
    assert!(labels(BUS_END, &on_bus("reader r, address $0")).is_empty());
}

#[test]
fn no_address_is_offered_that_the_switches_of_a_device_do_not_count_to() {
    let (view, entry, offset) = fixture(
        "\
model panel P {
  bus keys { addresses 6 .. 9 }
}
model expander X { setting-address by switches, bits 3 }
site a {
  panel p : P {
    bus keys {
      expander x : X, address $0
    }
  }
}
",
    );
    let found = complete(&view, &entry, offset).into_iter();
    let labels: Vec<String> = found.map(|completion| completion.label).collect();
    assert_eq!(labels, ["6", "7"]);
}

#[test]
fn no_point_is_offered_in_the_place_of_a_length() {
    let of = |leg: &str| labels("--18 m-- s1", leg);
    assert_eq!(of("--18$0 m-- s1"), [""; 0]);
    assert_eq!(of("--18$0"), [""; 0]);
    assert!(!of("--$0").is_empty());
}

#[test]
fn addresses_are_offered_on_a_line_of_their_own_and_before_there_is_a_model() {
    assert_eq!(
        labels(BUS_END, &on_bus("keypad k {\n address $0\n }")).len(),
        6
    );
    assert_eq!(labels(BUS_END, &on_bus("keypad k, address $0")).len(), 6);
}

#[test]
fn words_are_those_that_fit_and_are_not_there_yet() {
    check(
        "K2,  address 1, partition 1",
        "K2,  address 1, $0",
        expect![[r#"
        partition | partition NUMBER…
        sounds | sounds SOUND
        note | note TEXT
        accept | accept CODE REASON
    "#]],
    );
    check(
        "loop double\n",
        "loop double, $0\n",
        expect![[r#"
        entry | entry TIME
        exit | exit TIME
        note | note TEXT
        accept | accept CODE REASON
    "#]],
    );
    check(
        BUS_END,
        &on_bus("$0"),
        expect![[r#"
            keypad | keypad NAME [LABEL] : MODEL
            expander | expander NAME [LABEL] : MODEL
            receiver | receiver NAME [LABEL] : MODEL
            note | note TEXT
            accept | accept CODE REASON
        "#]],
    );
    check(
        "  sounder  s1",
        "  $0\n  sounder  s1",
        expect![[r#"
            report | report CENTRE
            panel | panel NAME [LABEL] : MODEL
            supply | supply NAME [LABEL] : MODEL
            keypad | keypad NAME [LABEL] : MODEL
            expander | expander NAME [LABEL] : MODEL
            receiver | receiver NAME [LABEL] : MODEL
            reader | reader NAME [LABEL] : MODEL
            communicator | communicator NAME [LABEL] : MODEL
            relay | relay NAME [LABEL] : MODEL
            detector | detector NAME [LABEL] : MODEL
            sounder | sounder NAME [LABEL] : MODEL
            beacon | beacon NAME [LABEL] : MODEL
            joint | joint NAME [LABEL]
            run | run NAME [LABEL] : MODEL
            note | note TEXT
            accept | accept CODE REASON
        "#]],
    );
    check(
        "use \"../shared",
        "$0\nuse \"../shared",
        expect![[r#"
        use | use PATH
        model | model KIND NAME [LABEL]
        rules | rules NAME [LABEL] [: MODEL]
        monitoring | monitoring NAME [LABEL]
        site | site NAME [LABEL]
    "#]],
    );
}

#[test]
fn a_device_line_takes_the_next_free_address_by_itself() {
    let (text, snippet) = taken(BUS_END, &on_bus("key$0"), "keypad");
    assert_eq!(text, "keypad");
    expect![[r#"keypad ${1:name} "${2:label}" : ${3:K2}, address ${4:3}, partition ${5:number}"#]]
        .assert_eq(&snippet.unwrap());
    let (_, snippet) = taken("    zone 9", "    $0\n    zone 9", "zone");
    expect![[
        r#"zone ${1:10} "${2:label}", input ${3:3}, from ${4:detector}, partition ${5:number}"#
    ]]
    .assert_eq(&snippet.unwrap());
    let (_, snippet) = taken("  run z9", "  $0\n  run z9", "run");
    expect![[r#"
        run ${1:name} "${2:label}" : ${3:MODEL} {
          ${4:main.aux} --${5:12} m-- ${6:device}
        }"#]]
    .assert_eq(&snippet.unwrap());
    let (_, snippet) = taken("use \"../shared", "$0\nuse \"../shared", "model");
    expect![[r#"
        model ${1:kind} ${2:name} "${3:label}" {
          $0
        }"#]]
    .assert_eq(&snippet.unwrap());
    let (_, snippet) = taken("use \"../shared", "$0\nuse \"../shared", "site");
    expect![[r#"
        site ${1:name} "${2:label}" {
          $0
        }"#]]
    .assert_eq(&snippet.unwrap());
}

#[test]
fn what_there_are_mostly_several_of_has_a_line_of_its_own() {
    let text = "model panel P {\n  inputs 1 .. 8 {\n    $0\n  }\n}\n";
    let (view, entry, offset) = fixture(text);
    let found = complete(&view, &entry, offset);
    let found = found.into_iter().find(|found| found.label == "loop");
    expect![[r#"
        loop ${1:name} {
          reads ${2:normal} ${3:1} kohm .. ${4:2} kohm
          $0
        }"#]]
    .assert_eq(&found.and_then(|found| found.snippet).unwrap());
}

#[test]
fn numbers_are_followed_by_the_units_of_their_slot() {
    assert_eq!(
        labels("entry 30 s", "entry 30 $0"),
        ["s", "min", "h", "days", "years"]
    );
    assert_eq!(labels("entry 30 s", "entry 30s$0").len(), 5);
    assert_eq!(
        labels("--8 m--", "--8 $0--"),
        ["m", "mm", "cm", "km", "ft", "yd"]
    );
    assert_eq!(labels("5 °C .. 35 °C", "5 °C .. 35 $0"), ["°C", "°F"]);
    assert_eq!(
        taken("entry 30 s", "entry 30s$0", "min")
            .0
            .split("entry ")
            .last(),
        Some("30min, loop single")
    );
}

/// The snippet of a word at the cursor.
fn snippet(text: &str, word: &str) -> String {
    let (view, entry, offset) = fixture(text);
    let mut found = complete(&view, &entry, offset).into_iter();
    let completion = found.find(|completion| completion.label == word);
    completion
        .and_then(|completion| completion.snippet)
        .unwrap_or_default()
}

#[test]
fn amounts_are_in_the_unit_that_is_usual_for_them() {
    let rules = "rules house {\n  $0\n}\n";
    assert_eq!(snippet(rules, "standby"), "standby ${1:1} h");
    assert_eq!(snippet(rules, "alarm"), "alarm ${1:1} min");
    let inputs = "model panel M {\n  inputs 1 .. 8 {\n    loop a {\n      $0\n    }\n  }\n}\n";
    assert_eq!(
        snippet(inputs, "reads"),
        "reads ${1:normal} ${2:1} kohm .. ${3:2} kohm"
    );
}

#[test]
fn only_what_takes_a_block_gets_one() {
    let bus = "model panel M {\n  bus keys {\n    $0\n  }\n}\n";
    assert_eq!(snippet(bus, "place"), "place ${1:keypad} ${2:range}");
    assert_eq!(snippet("site a {\n  $0\n}\n", "rules"), "rules ${1:set}");
}

#[test]
fn a_rule_set_is_not_built_on_itself() {
    let (view, entry, offset) = fixture("rules one { standby 2 h }\nrules two : $0\n");
    let found = complete(&view, &entry, offset);
    let has = |name: &str| found.iter().any(|completion| completion.label == name);
    assert!(has("one") && has("intruder-grade-2") && !has("two"));
}

#[test]
fn codes_are_offered_with_a_reason_to_fill_in() {
    let (view, entry, offset) = harbour("loop double\n", "loop double, accept $0\n");
    let found = complete(&view, &entry, offset);
    let code = found
        .iter()
        .find(|found| found.label == "battery-old")
        .unwrap();
    assert_eq!(code.detail.as_deref(), Some("The battery is past its life"));
    assert_eq!(code.snippet.as_deref(), Some("battery-old \"${1:reason}\""));
}

#[test]
fn nothing_is_offered_in_texts_and_comments_or_where_a_new_name_stands() {
    for (from, to) in [
        ("\"Stock room\"", "\"Stock $0room\""),
        ("# The panel", "# The $0panel"),
        ("expander x1 ", "expander $0 "),
        ("revision 4.2", "revision $0"),
        ("loop double\n", "loop double $0\n"),
        ("site harbour", "site harb$0our"),
    ] {
        assert_eq!(labels(from, to), Vec::<String>::new(), "{to}");
    }
}

#[test]
fn what_is_offered_is_explained_when_it_is_looked_at() {
    let (view, entry, offset) = harbour("address 1, partition 1", "address 1, part$0 1");
    let found = complete(&view, &entry, offset);
    let word = found
        .iter()
        .find(|found| found.label == "partition")
        .unwrap();
    let text = document(&view, word.key.as_deref().unwrap()).unwrap();
    assert!(text.contains("The partition that it belongs to."), "{text}");
    assert_eq!(document(&view, "m/°C word 9999"), None);
    assert_eq!(document(&view, "nonsense"), None);
}

#[test]
fn every_place_in_the_demo_can_be_asked_at() {
    let (view, entry, _) = fixture("//- sites/harbour.bell\n");
    let text = entry.file.text();
    for offset in 0..text.len() + 2 {
        for completion in complete(&view, &entry, offset) {
            assert!(completion.replace.start <= offset && completion.replace.end <= text.len());
        }
    }
}

#[test]
fn no_word_is_offered_that_contradicts_one_that_is_there() {
    let offered = |own: &str| {
        let text = format!("model detector D {{\n  contact alarm, {own}$0\n}}\n");
        let (view, entry, offset) = fixture(&text);
        let offered = complete(&view, &entry, offset);
        let labels: Vec<String> = offered.into_iter().map(|offer| offer.label).collect();
        labels
    };
    for own in ["closed, ", "open, "] {
        assert_eq!(offered(own), ["resistance"], "{own}");
    }
    assert_eq!(offered(""), ["closed", "open", "resistance"]);
}
