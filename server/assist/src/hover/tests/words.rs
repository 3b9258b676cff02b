use expect_test::expect;

use super::{check, hover, said};
use crate::fixture::fixture;

#[test]
fn words_say_what_they_mean() {
    check(
        "    partition 1 ",
        "    part$0ition 1 ",
        expect![[r#"
        [partition]
        `partition NUMBER [LABEL]`

        A part of the system that is set and unset by itself.

        ```bellwire
        partition 1 "Shop"
        ```
    "#]],
    );
    let (view, entry, offset) = fixture("model detector A {\n  contact alarm, clo$0sed\n}\n");
    assert!(
        hover(&view, &entry, offset)
            .unwrap()
            .markdown
            .contains("Closed while all is quiet")
    );
    let (view, entry, offset) = fixture("model detector A {\n  contact ala$0rm, closed\n}\n");
    assert!(
        hover(&view, &entry, offset)
            .unwrap()
            .markdown
            .contains("the detector has seen")
    );
}

#[test]
fn models_show_their_data() {
    check(
        ": K2R,",
        ": K$02R,",
        expect![[r#"
            [K2R]
            **K2R** Two-line keypad with receiver  
            keypad model

            Standby 60 mA  
            Alarm 125 mA  
            Works 10.2 V .. 14.5 V  
            Also receiver  
            Sounds `all`, `chime-off`, `silent`  
            Address entered at its keys within 60 s of power-up
        "#]],
    );
    check(
        ": copper-6x22AWG",
        ": copper$0-6x22AWG",
        expect![[r#"
            [copper-6x22AWG]
            **copper-6x22AWG** Six cores, 22 AWG, stranded copper  
            cable model

            6 cores  
            22 AWG copper, 7 strands  
            54 ohm/km, one conductor at 20 °C  
            100 pF/m  
            black, red, green, yellow, blue, white
        "#]],
    );
    check(
        ": sealed-12V-7Ah",
        ": sealed$0-12V-7Ah",
        expect![[r#"
            [sealed-12V-7Ah]
            **sealed-12V-7Ah** Sealed lead-acid, 12 V, 7 Ah  
            battery model

            12 V  
            Replaced after 4 years

            | emptied over |   gives |
            | :----------- | ------: |
            | 20 h         |    7 Ah |
            | 10 h         | 6.51 Ah |
            | 5 h          | 5.95 Ah |
            | 1 h          |  4.3 Ah |
            | 15 min       | 3.01 Ah |

            *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*
        "#]],
    );
    check(
        ": M8,",
        ": M$08,",
        expect![[r#"
            [M8]
            **M8** Eight-zone panel  
            panel model

            Standby 110 mA  
            Alarm 165 mA  
            Battery cut off at 10.5 V  
            Charger 700 mA  
            Battery at most 18 Ah  
            Partitions 2

            | output            |  volts |  limit |
            | :---------------- | -----: | -----: |
            | `aux`             | 13.8 V | 600 mA |
            | `siren`, in alarm | 13.8 V |  1.2 A |

            Bus `keys`: keypad 1 .. 8, expander 9 .. 12, receiver 13 .. 14  
            Power from `aux`  
            Enabled from the factory: 1, 1 .. 8 from revision 5.0  
            At most 350 m of cable  
            Terminals negative 6, positive 7, data-out 8, data-in 9

            Inputs 1 .. 8: loop `single` or `double`

            *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*

            > Invented range for the demo: no such maker exists.
        "#]],
    );
    assert!(said("intruder-grade-2", "intr$0uder-grade-2").contains("Standby 12 h"));
}

#[test]
fn a_used_file_shows_what_it_declares() {
    let files = "//- sites/a.bell\nuse \"../catalog/mer$0row.bell\"\n//- catalog/merrow.bell\n";
    let (view, entry, offset) = fixture(files);
    expect![[r#"
        **catalog/merrow.bell**  
        file

        Models `M8`, `K2`, `K2R`, `E8`, `P5`, `RC`, `S15`"#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
    let other = fixture("//- a.bell\nuse \"no$0tes.bell\"\n//- notes.bell\n# Nothing yet.\n");
    let (view, entry, offset) = other;
    expect![[r#"
        **notes.bell**  
        file

        It declares nothing."#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
    let (view, entry, offset) = fixture("use \"now$0here.bell\"\n");
    assert_eq!(hover(&view, &entry, offset), None);
}

#[test]
fn a_rule_set_says_what_its_source_is_about() {
    let hover = |text: &str| {
        let (view, entry, offset) = fixture(text);
        hover(&view, &entry, offset).unwrap().markdown
    };
    let own = hover("rules ho$0use : intruder-grade-2 { standby 24 h }\n");
    let told = "Source: standby: no source is named; all else as intruder-grade-2: standby: EN";
    assert!(own.contains(told), "{own}");
    let named = hover("rules ho$0use : intruder-grade-2, source \"house rule\" { standby 24 h }\n");
    assert!(named.contains("Source: house rule"), "{named}");
    let same = hover("rules ho$0use : intruder-grade-2\n");
    let told = "Source: as intruder-grade-2: standby: EN";
    assert!(same.contains(told), "{same}");
}

#[test]
fn a_panel_model_says_what_its_buses_and_inputs_can_do() {
    let (view, entry, offset) = fixture(
        "\
model panel A$01 {
  mains 24 W
  output aux 13.8 V
  bus doors {
    power aux
    addresses 1 .. 8
    enabled 1
    enabled 1 .. 8, from-revision 5.0
    devices 6
    length 350 m
    longest 200 m
    capacitance 60 nF
    layout chain star
    shift 1 V
    terminated 120 ohm
    unit-loads 31
    terminal negative 6, positive 7
  }
  inputs 1 .. 4 {
    loop single, end 2.2 kohm { reads normal 1.6 kohm .. 2.9 kohm }
  }
  inputs 5, as panel
}
",
    );
    expect![[r#"
        **A1**  
        panel model

        Mains side 24 W

        | output |  volts | limit |
        | :----- | -----: | ----: |
        | `aux`  | 13.8 V |     – |

        Bus `doors`: addresses 1 .. 8  
        Power from `aux`  
        Enabled from the factory: 1, 1 .. 8 from revision 5.0  
        At most 6 devices, 31 unit loads, 350 m of cable, 200 m to the farthest device, 60 nF, 1 V between the negatives  
        Laid as chain or star  
        120 ohm across the data at both ends  
        Terminals negative 6, positive 7

        Inputs 1 .. 4: loop `single`  
        Inputs 5, as the panel's

        *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*"#]].assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
}

#[test]
fn a_cable_model_says_what_it_is_made_of() {
    let (view, entry, offset) = fixture(
        "model cable C$01 {\n  cores 4\n  conductor 0.5 mm2\n  metal cca\n  strands 16\n}\n",
    );
    expect![[r#"
        **C1**  
        cable model

        4 cores  
        0.5 mm² copper-clad aluminium, 16 strands  
        62 ohm/km, one conductor at 20 °C"#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
}

#[test]
fn numbers_are_given_in_other_units() {
    let (view, entry, offset) = fixture("rules house { standby 2$04 h }\n");
    let day = hover(&view, &entry, offset).unwrap().markdown;
    assert!(day.ends_with("= 1 day"), "{day}");
    check(
        "entry 30 s",
        "entry 3$00 s",
        expect![[r#"
        [30 s]
        `30 s`

        = 0.5 min
    "#]],
    );
    check(
        "--22 m--",
        "--2$02 m--",
        expect![[r#"
            [--22 m--]
            **main.aux – pir1**  
            22 m, 2.52 ohm both cores

            |                  |   drop | carries |
            | :--------------- | -----: | ------: |
            | mains, standby   | 0.03 V |   12 mA |
            | mains, alarm     | 0.05 V |   18 mA |
            | battery, standby | 0.03 V |   12 mA |
            | battery, alarm   | 0.05 V |   18 mA |

            `22 m`

            = 72.18 ft  
            = 24.06 yd
        "#]],
    );
    check(
        "35 °C",
        "3$05 °C",
        expect![[r#"
        [35 °C]
        `35 °C`

        = 95 °F
    "#]],
    );
    let (view, entry, offset) =
        fixture("model panel A { bus b, addresses 1 .. 2, length 8$00 ft }\n");
    expect![[r#"
        `80 ft`

        = 24.38 m  
        = 26.67 yd"#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
    let (view, entry, offset) = fixture("model cable A { conductor 2$02 AWG }\n");
    expect![[r#"
        `22 AWG`

        = 0.3255 mm²  
        53 ohm/km in solid copper at 20 °C"#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
    let (view, entry, offset) = fixture("model cable A { conductor 0.$05 mm² }\n");
    expect![[r#"
        `0.5 mm²`

        ≈ 20 AWG  
        36 ohm/km in solid copper at 20 °C"#]]
    .assert_eq(&hover(&view, &entry, offset).unwrap().markdown);
}

#[test]
fn shares_are_shown_as_they_are_written() {
    let text = |text: &str| {
        let (view, entry, offset) = fixture(text);
        hover(&view, &entry, offset).unwrap().markdown
    };
    let panel = "model panel M { inputs 1 { loop double { tolerance 7 % } } }\n";
    let zone = "site a {\n  panel p : M {\n    zone 1, input 1, loop dou$0ble\n  }\n}\n";
    let of_loop = text(&format!("{panel}{zone}"));
    assert!(of_loop.contains("Tolerance 7 %"), "{of_loop}");
    let rules = text("rules ho$0use {\n  recharge 72 h, to 82.5 %\n  headroom 12.5 %\n}\n");
    let lines = "Recharge 72 h to 82.5 %  \nHeadroom 12.5 %";
    assert!(rules.contains(lines), "{rules}");
}

#[test]
fn labels_are_taken_as_they_are() {
    let said = said("\"Front elevation\"", "\"<b> [x](y) $0|\"");
    assert_eq!(said, "", "a label itself says nothing");
    let text = self::said(
        "sounder  s1   \"Front elevation\"",
        "sounder s$01 \"<b> [x](y) | `z\"",
    );
    assert!(text.contains("\\<b\\> \\[x\\](y) \\| \\`z"), "{text}");
}

#[test]
fn labels_are_shown_without_the_backslashes_before_their_quotes() {
    let model = "model detector D \"Kit 5\\\"\" { note \"Of \\\"D\\\"\" }\n";
    let site = "site a {\n  detector do$0or \"The \\\"hall\\\"\" : D\n}\n";
    let (view, entry, offset) = fixture(&format!("{model}{site}"));
    let text = hover(&view, &entry, offset).unwrap().markdown;
    let lines = "**door** The \"hall\"  \ndetector `D` Kit 5\"";
    assert!(text.starts_with(lines), "{text}");
}

#[test]
fn every_place_of_the_demo_can_be_hovered() {
    for name in ["sites/harbour.bell", "catalog/merrow.bell"] {
        let (view, entry, _) = fixture(&format!("//- {name}\n"));
        for offset in 0..entry.file.text().len() + 2 {
            if let Some(found) = hover(&view, &entry, offset) {
                assert!(found.range.start <= offset && offset <= found.range.end);
                assert!(!found.markdown.is_empty());
            }
        }
    }
}
