mod feet;
mod words;

use expect_test::{Expect, expect};

use bellwire_plan::workspace::{Entry, View};

use super::hover;
use crate::fixture::{fixture, harbour};

fn said(from: &str, to: &str) -> String {
    let (view, entry, offset) = harbour(from, to);
    shown(&view, &entry, offset)
}

fn shown(view: &View, entry: &Entry, offset: usize) -> String {
    let Some(hover) = hover(view, entry, offset) else {
        return String::new();
    };
    let text = entry.file.text().slice(hover.range);
    format!("[{text}]\n{}\n", hover.markdown)
}

fn check(from: &str, to: &str, expected: Expect) {
    expected.assert_eq(&said(from, to));
}

#[test]
fn a_device_shows_what_it_gets_in_the_four_states() {
    check(
        "rear  \"Workshop",
        "re$0ar  \"Workshop",
        expect![[r#"
            [rear]
            **rear** Workshop door  
            keypad `K2R` Two-line keypad with receiver

            |                  |   volts |   drop |  draws |
            | :--------------- | ------: | -----: | -----: |
            | mains, standby   | 13.40 V | 0.40 V |  60 mA |
            | mains, alarm     | 12.98 V | 0.82 V | 125 mA |
            | battery, standby | 10.10 V | 0.40 V |  60 mA |
            | battery, alarm   |  9.68 V | 0.82 V | 125 mA |

            Works 10.2 V .. 14.5 V; **0.52 V too low** with the battery at its end and the system in alarm  
            Fed by `main.aux`

            *Lost on the shortest route, with the battery at its end and the system in alarm*  
            `main.keys` – `front`, 12 m, 1.37 ohm: 0.38 V  
            `front` – `rear`, 31 m, 3.55 ohm: 0.44 V

            Address 2 on `main.keys`, must be enabled in the panel's programming; enabled from the factory from revision 5.0 on  
            Setting: entered at its keys within 60 s of power-up  
            Its receiver at address 13 on `main.keys`, must be enabled in the panel's programming  
            Partition 2 Workshop
        "#]],
    );
}

#[test]
fn a_device_shows_its_switches() {
    check(
        "expander x1 ",
        "expander x$01 ",
        expect![[r#"
            [x1]
            **x1** Loft  
            expander `E8` Eight-input expander

            |                  |   volts |   drop | draws |
            | :--------------- | ------: | -----: | ----: |
            | mains, standby   | 13.59 V | 0.21 V | 30 mA |
            | mains, alarm     | 13.38 V | 0.42 V | 42 mA |
            | battery, standby | 10.29 V | 0.21 V | 30 mA |
            | battery, alarm   | 10.08 V | 0.42 V | 42 mA |

            Works 9.8 V .. 14.5 V; 0.28 V to spare with the battery at its end and the system in alarm  
            Fed by `main.aux`

            *Lost on the shortest route, with the battery at its end and the system in alarm*  
            `main.keys` – `front`, 12 m, 1.37 ohm: 0.38 V  
            `front` – `x1`, 8 m, 0.915 ohm: 0.04 V

            Address 9 on `main.keys`, must be enabled in the panel's programming  
            Setting: switches 1 and 4 on, the others off
        "#]],
    );
    check(
        "address 9",
        "address $09",
        expect![[r#"
            [9]
            Address 9 on `main.keys`, must be enabled in the panel's programming  
            Setting: switches 1 and 4 on, the others off
        "#]],
    );
    check(
        "receiver 13",
        "receiver $013",
        expect![[r#"
        [13]
        Its receiver at address 13 on `main.keys`, must be enabled in the panel's programming
    "#]],
    );
}

#[test]
fn a_detector_shows_its_zone() {
    check(
        "from pir1,",
        "from pi$0r1,",
        expect![[r#"
            [pir1]
            **pir1** Shop floor  
            detector `P5` Passive infrared

            |                  |   volts |   drop | draws |
            | :--------------- | ------: | -----: | ----: |
            | mains, standby   | 13.77 V | 0.03 V | 12 mA |
            | mains, alarm     | 13.75 V | 0.05 V | 18 mA |
            | battery, standby | 10.47 V | 0.03 V | 12 mA |
            | battery, alarm   | 10.45 V | 0.05 V | 18 mA |

            Works 9.5 V .. 15 V; 0.95 V to spare with the battery at its end and the system in alarm  
            Fed by `main.aux`

            On zone 2 Shop floor
        "#]],
    );
}

#[test]
fn a_run_shows_its_legs() {
    check(
        "run keys-a",
        "run keys$0-a",
        expect![[r#"
            [keys-a]
            **keys-a**  
            run of `copper-4x22AWG`

            |                       | length | both cores | at most |   drop |
            | :-------------------- | -----: | ---------: | ------: | -----: |
            | `main.keys` – `front` |   12 m |   1.37 ohm |  277 mA | 0.38 V |
            | `front` – `rear`      |   31 m |   3.55 ohm |  125 mA | 0.44 V |
            | `front` – `x1`        |    8 m |  0.915 ohm |   42 mA | 0.04 V |

            51 m in all
        "#]],
    );
}

#[test]
fn a_leg_that_carries_towards_its_start_shows_its_most_too() {
    let (view, entry, offset) = fixture(
        "\
model panel P { output aux 12 V, limit 1 A }
model detector D { standby 10 mA, alarm 40 mA }
site s {
  panel p : P
  detector near : D
  detector far : D
  run ri$0ng : copper-2x22AWG { p.aux --10 m-- near --30 m-- far --20 m-- p.aux }
}
",
    );
    // By Kirchhoff's laws: with 40 mA taken at 10 m and at 40 m of a ring of 60 m,
    // (40 mA * 50 m + 40 mA * 20 m) / 60 m leave the output at the start.
    let hover = hover(&view, &entry, offset).expect("a hover").markdown;
    let most: Vec<&str> = hover
        .lines()
        .filter(|line| line.contains(" m |"))
        .filter_map(|line| line.split('|').nth(4))
        .map(str::trim)
        .collect();
    assert_eq!(most, ["46.7 mA", "6.67 mA", "33.3 mA"], "{hover}");
}

#[test]
fn a_core_between_negatives_shows_the_ohms_of_one_core() {
    let said = |mark: &str| {
        let plan = "\
use \"../catalog/merrow.bell\"
site s {
  panel main : M8
  panel other : M8
  joint j { resistance 1 ohm }
  run n : copper-2x22AWG, carries data {
    main.aux --10 m-- j
    other.aux --10 m-- j
  }
}
";
        let (view, entry, offset) = fixture(&plan.replacen(mark, &format!("$0{mark}"), 1));
        let hover = hover(&view, &entry, offset).expect("something is said");
        format!("{}\n", hover.markdown)
    };
    expect![[r#"
        **n**  
        run of `copper-2x22AWG`

        |                   | length |            resists | at most |   drop |
        | :---------------- | -----: | -----------------: | ------: | -----: |
        | `main.aux` – `j`  |   10 m | 1.04 ohm, one core |    0 mA | 0.00 V |
        | `other.aux` – `j` |   10 m | 1.04 ohm, one core |    0 mA | 0.00 V |

        20 m in all
    "#]]
    .assert_eq(&said("n : copper"));
    expect![[r#"
        **main.aux – j**  
        10 m, 1.04 ohm one core

        |                  |   drop | carries |
        | :--------------- | -----: | ------: |
        | mains, standby   | 0.00 V |    0 mA |
        | mains, alarm     | 0.00 V |    0 mA |
        | battery, standby | 0.00 V |    0 mA |
        | battery, alarm   | 0.00 V |    0 mA |

        Could be more than 160 m

        `10 m`

        = 32.81 ft  
        = 10.94 yd
    "#]]
    .assert_eq(&said("10 m-- j"));
}

#[test]
fn a_leg_shows_what_is_lost_on_it() {
    check(
        "--31 m--",
        "--3$01 m--",
        expect![[r#"
            [--31 m--]
            **front – rear**  
            31 m, 3.55 ohm both cores

            |                  |   drop | carries |
            | :--------------- | -----: | ------: |
            | mains, standby   | 0.21 V |   60 mA |
            | mains, alarm     | 0.44 V |  125 mA |
            | battery, standby | 0.21 V |   60 mA |
            | battery, alarm   | 0.44 V |  125 mA |

            `31 m`

            = 101.7 ft  
            = 33.9 yd
        "#]],
    );
}

#[test]
fn an_output_shows_its_load_against_its_limit() {
    check(
        "main.siren",
        "main.si$0ren",
        expect![[r#"
            [main.siren]
            **main.siren**  
            output, 13.8 V, in alarm only

            |                  |   volts |   load |
            | :--------------- | ------: | -----: |
            | mains, standby   |  0.00 V |   0 mA |
            | mains, alarm     | 13.80 V | 350 mA |
            | battery, standby |  0.00 V |   0 mA |
            | battery, alarm   | 10.50 V | 350 mA |

            Limit 1.2 A; 610 mA left, with 20 % kept free

            *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*
        "#]],
    );
}

#[test]
fn outputs_that_share_a_limit_show_what_is_left_of_it() {
    let plan = |rules: &str, at: &str| {
        let text = format!(
            "{rules}model panel P {{
  limit 500 mA
  output a 13.8 V, limit 400 mA
  output b 13.8 V, limit 400 mA, in alarm
}}
model keypad K, standby 40 mA, alarm 240 mA
model sounder S, alarm 200 mA
site s {{
  rules mine
  panel main : P
  keypad k : K
  sounder o : S
  run r : copper-2x22AWG {{ main.a --3 m-- k }}
  run q : copper-2x22AWG {{ main.b --3 m-- o }}
}}
"
        );
        let (view, entry, offset) = fixture(&text.replacen(at, &format!("$0{at}"), 1));
        hover(&view, &entry, offset).expect("a hover").markdown
    };
    let said = plan("rules mine { standby 1 h }\n", "a --3 m");
    let left = "Limit 400 mA; 160 mA left  \nAll outputs together: 440 mA of 500 mA; 60 mA left";
    assert!(said.contains(left), "{said}");
    let said = plan("rules mine { headroom 20 % }\n", "main : P");
    let left = "All outputs together: 440 mA of 500 mA; **40 mA too much**, with 20 % kept free";
    assert!(said.contains(left), "{said}");
}

#[test]
fn a_leg_shows_how_long_it_could_be() {
    // 0.1 ohm a metre. At the end of the battery 0.5 V may be lost on the way to b, of which
    // 0.1 A x 1 ohm are on the second leg: the first, with 0.2 A, may lose 0.4 V.
    let plan = |path: &str| {
        let text = format!(
            "model cable pair {{ resistance 50 ohm/km }}
model panel P {{
  output aux 13.8 V
}}
model keypad K, standby 100 mA, works 10 V .. 15 V
site s {{
  panel main : P {{ battery : sealed-12V-7Ah }}
  keypad a : K
  keypad b : K
  run r : pair {{ main.aux {path} }}
}}
"
        );
        let (view, entry, offset) = fixture(&text);
        let said = hover(&view, &entry, offset).expect("a hover").markdown;
        let line = said.lines().find(|line| line.starts_with("Could be"));
        line.unwrap_or_default().to_string()
    };
    let up_to = |far: &str| format!("Could be up to {far}; longer gives `voltage-low` at `b`");
    assert_eq!(plan("--$010 m-- a --10 m-- b"), up_to("20 m"));
    assert_eq!(plan("--10 m-- a --$010 m-- b"), up_to("30 m"));
    assert_eq!(plan("--$020 m-- a --10 m-- b"), up_to("20 m"));
    assert_eq!(plan("--$030 ft-- a --30 ft-- b"), up_to("67 ft"));
    assert_eq!(plan("--$01 m-- a"), "Could be more than 16 m");
    // What is wrong already comes first.
    assert_eq!(plan("--$025 m-- a --10 m-- b"), "");
}

#[test]
fn a_panel_shows_battery_and_standby_time_and_its_note() {
    check(
        "panel main",
        "panel ma$0in",
        expect![[r#"
            [main]
            **main** Stock room  
            panel `M8` Eight-zone panel, revision 4.2

            | output       | load at most |  limit |
            | :----------- | -----------: | -----: |
            | `main.aux`   |       295 mA | 600 mA |
            | `main.siren` |       350 mA |  1.2 A |

            Battery 7 Ah; 5.35 Ah needed  
            Standby time 16 h; 12 h required  
            Carries 257 mA in standby, 810 mA in alarm  
            Recharged to 80 % in 11.1 h

            *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*

            > The panel hangs behind the door.
        "#]],
    );
    check(
        "    battery :",
        "    bat$0tery :",
        expect![[r#"
            [battery]
            **Battery**  
            `sealed-12V-7Ah` in `main`

            Battery 7 Ah; 5.35 Ah needed  
            Standby time 16 h; 12 h required  
            Carries 257 mA in standby, 810 mA in alarm  
            Recharged to 80 % in 11.1 h

            *What it must hold, by intruder-grade-2*  
            standby, 0.257 A x 12 h / 1.000: 3.08 Ah  
            alarm, 0.810 A x 0.25 h / 0.865: 0.23 Ah  
            together: 3.32 Ah  
            for its last year, x 1.25: 4.15 Ah  
            at 5 °C, x 1.290: 5.35 Ah  
            fitted: 7.00 Ah  
            in hand: 1.65 Ah  
            so it lasts in standby, before the alarm, of 12 h: 16.0 h

            *Isolate the mains and disconnect the battery before you touch terminals: a battery can deliver hundreds of amperes. These sums do not replace a fire system's approved design. Local code, the standard's own text and the maker's instructions rule; work that needs a licence is for those who have one.*
        "#]],
    );
    // The first part of a reference is the panel.
    assert!(said("main.siren", "ma$0in.siren").starts_with("[main]\n**main** Stock room"));
}

#[test]
fn a_battery_that_never_charges_shows_why() {
    let text = "model panel P {
  standby 50 mA
  charger 10 mA
  output aux 13.8 V
}
model keypad K, standby 40 mA
site s {
  panel p : P { bat$0tery : sealed-12V-7Ah }
  keypad k : K
  run r : copper-2x22AWG { p.aux --3 m-- k }
}
";
    let (view, entry, offset) = fixture(text);
    let said = hover(&view, &entry, offset).expect("a hover").markdown;
    let never = "**Never charges**: the outputs take all that the charger gives";
    assert!(said.contains(never), "{said}");
}

#[test]
fn a_device_with_a_trigger_shows_what_triggers_it() {
    let plan = |cable: &str| {
        let (view, entry, offset) = fixture(&format!(
            "use \"../catalog/merrow.bell\"
model sounder B2, standby 25 mA, alarm 60 mA, works 10 V .. 15 V, trigger 5 mA
site a {{
  panel main : M8
  sounder s$01 : B2
  run b1 : copper-4x22AWG {{ {cable} --18 m-- s1 }}
}}
"
        ));
        hover(&view, &entry, offset).expect("a hover").markdown
    };
    expect![[r#"
        **s1**  
        sounder `B2`

        |                  |   volts |   drop | draws |
        | :--------------- | ------: | -----: | ----: |
        | mains, standby   | 13.75 V | 0.05 V | 25 mA |
        | mains, alarm     | 13.68 V | 0.12 V | 60 mA |
        | battery, standby | 10.45 V | 0.05 V | 25 mA |
        | battery, alarm   | 10.38 V | 0.12 V | 60 mA |

        Works 10 V .. 15 V; 0.38 V to spare with the battery at its end and the system in alarm  
        Fed by `main.aux`  
        Triggered by `main.siren`, 10.49 V there with the battery at its end and the system in alarm"#]].assert_eq(&plan("main.aux + main.siren"));
    let lacking = plan("main.aux");
    assert!(lacking.contains("Not triggered"), "{lacking}");
}

#[test]
fn a_bus_shows_places_taken_and_free() {
    check(
        "bus keys",
        "bus ke$0ys",
        expect![[r#"
            [keys]
            **main.keys**  
            bus

            | device               |     kind | address |
            | :------------------- | -------: | ------: |
            | `front` Shop door    |   keypad |       1 |
            | `rear` Workshop door |   keypad |       2 |
            | `x1` Loft            | expander |       9 |
            | `rear` Workshop door | receiver |      13 |

            Free: keypad 3 .. 8; expander 10 .. 12; receiver 14

            51 m of 350 m of cable, 43 m to the farthest device
        "#]],
    );
    let other = "bus keys {\n      keypad   front \"Shop door\"     : K2,  address ";
    let both = said(
        &format!("{other}1"),
        &format!("{}2", other.replace("keys", "ke$0ys")),
    );
    for name in ["front", "rear"] {
        let mut rows = both
            .lines()
            .filter(|row| row.ends_with("|   keypad |       2 |"));
        assert!(rows.any(|row| row.contains(name)), "{both}");
    }
    assert!(said("main.keys --12", "main.k$0eys --12").contains("\n**main.keys**"));
    // The cable of a leg whose length is not written yet comes on top.
    let unknown = said("main.keys --12 m--", "main.k$0eys ----");
    let least = "at least 39 m of 350 m of cable, at least 0 m to the farthest device";
    assert!(unknown.contains(least), "{unknown}");
}

#[test]
fn a_zone_shows_its_ohms() {
    check(
        "zone 2 ",
        "zone $02 ",
        expect![[r#"
            [2]
            **Zone 2** Shop floor  
            zone on `main.2`, loop `double`

            | condition |         the input sees |  reads |
            | :-------- | ---------------------: | -----: |
            | normal    |   993 ohm .. 1.01 kohm | normal |
            | alarm     | 1.98 kohm .. 2.02 kohm |  alarm |
            | tamper    |                      ∞ |   open |
            | short     |      0 ohm .. 2.52 ohm |  short |
            | cut       |                      ∞ |   open |

            *In loop `double`*  
            cable, out and back: 2.52 ohm  
            resistor at the end, within 1 %: 1 kohm  
            resistor at each alarm contact, within 1 %: 1 kohm

            From `pir1`
        "#]],
    );
    check(
        "loop double",
        "loop dou$0ble",
        expect![[r#"
            [double]
            **double**  
            loop

            Resistor at the end 1 kohm  
            Resistor across each alarm contact 1 kohm  
            Tolerance 1 %

            | reads  |     from |       to |
            | :----- | -------: | -------: |
            | short  |    0 ohm |  500 ohm |
            | normal |  700 ohm | 1.4 kohm |
            | alarm  | 1.6 kohm | 2.6 kohm |
            | open   |   4 kohm |        ∞ |
        "#]],
    );
    assert!(said("main.2 --22", "main.$02 --22").contains("**Zone 2**"));
}

#[test]
fn a_partition_shows_what_is_in_it() {
    check(
        "partition 2 \"Workshop\"",
        "partition $02 \"Workshop\"",
        expect![[r#"
            [2]
            **Partition 2** Workshop  
            of `main`

            Zones 9  
            Devices `rear`
        "#]],
    );
}

#[test]
fn a_site_shows_rules_and_the_worst_margin() {
    check(
        "site harbour",
        "site har$0bour",
        expect![[r#"
            [harbour]
            **harbour** Tidewheel Cycles, Harbour Street  
            site

            Rules `intruder-grade-2`: 12 h of standby  
            Closest: `rear`, **0.52 V too low** with the battery at its end and the system in alarm  
            `main` lasts 16 h on its battery  
            7 devices, 3 zones, 5 runs
        "#]],
    );
}
