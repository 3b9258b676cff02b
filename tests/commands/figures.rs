//! `bellwire figures`, and its sums line by line.

use super::folder::{bellwire, fails, folder, json, site, text, write};
use bellwire_tests::CATALOG;

#[test]
fn figures_as_json_have_every_table() {
    let output = bellwire(folder(2, "").path(), &["figures", "--format", "json"]);
    assert_eq!(output.status.code(), Some(0));
    let site = &json(&output)["sites"][0];
    assert_eq!(site["site"], "quay");
    assert_eq!(site["file"], "sites/quay.bell");
    for table in [
        "outputs",
        "devices",
        "segments",
        "batteries",
        "zones",
        "buses",
    ] {
        assert!(site[table].is_array(), "{table}");
    }
    let output = &site["outputs"][0];
    assert_eq!(output["output"], "main.aux");
    assert_eq!(output["limit"], 0.5);
    // Two keypads of 45 mA: their currents add up, whatever the cable.
    let amperes = output["states"]["mains-standby"]["amperes"]
        .as_f64()
        .unwrap();
    assert!((amperes - 0.09).abs() < 1e-9, "{amperes}");
    for device in site["devices"].as_array().unwrap() {
        for state in ["mains-standby", "mains-alarm"] {
            let state = &device["states"][state];
            let number = |key: &str| state[key].as_f64().unwrap();
            // What the output gives, 13.8 V, is what arrives and what is lost on the way.
            assert!(number("drop") > 0.0, "{device}");
            assert!(
                (number("volts") + number("drop") - 13.8).abs() < 1e-9,
                "{device}"
            );
        }
        // No battery is fitted.
        let unsolved = &device["states"]["battery-alarm"]["unsolved"];
        assert!(unsolved.as_str().unwrap().contains("battery"), "{device}");
    }
    assert_eq!(site["buses"][0]["taken"]["1"], "front");
    assert_eq!(site["buses"][0]["metres"], 21.0);
}

#[test]
fn tables_are_in_the_units_of_the_plan_and_json_is_in_metres() {
    let folder = folder(2, "");
    let feet = site(2, "").replace("--12 m--", "--40 ft--");
    let feet = feet.replace("--9 m--", "--30 ft--");
    write(folder.path(), "sites/quay.bell", feet);
    let output = text(&bellwire(folder.path(), &["figures"]).stdout);
    let row = |start: &str| {
        let row = output.lines().find(|line| line.trim().starts_with(start));
        let row = row.unwrap_or_else(|| panic!("{start} in {output}"));
        row.split_whitespace().take(4).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(row("run "), "run from to ft");
    assert_eq!(row("a "), "a main.keys front 40");
    assert_eq!(row("bus "), "bus ft farthest ft");
    assert_eq!(row("main.keys "), "main.keys 70 70 1..2");
    let output = bellwire(folder.path(), &["figures", "--format", "json"]);
    let metres = &json(&output)["sites"][0]["segments"][0]["metres"];
    assert!((metres.as_f64().unwrap() - 12.192).abs() < 1e-9, "{metres}");
}

#[test]
fn the_length_of_a_bus_is_unknown_while_that_of_a_leg_is() {
    let folder = folder(2, "");
    let unknown = site(2, "").replace("--9 m--", "----");
    write(folder.path(), "sites/quay.bell", unknown);
    let output = text(&bellwire(folder.path(), &["figures"]).stdout);
    assert!(
        output.contains("main.keys  12..        12..  1..2"),
        "{output}"
    );
    let output = bellwire(folder.path(), &["figures", "--format", "json"]);
    let bus = &json(&output)["sites"][0]["buses"][0];
    assert!(bus["metres"].is_null() && bus["longest"].is_null(), "{bus}");
}

#[test]
fn figures_fit_in_80_columns() {
    let folder = folder(2, "");
    let output = text(&bellwire(folder.path(), &["figures"]).stdout);
    assert!(
        output.contains("main.aux") && output.contains("front"),
        "{output}"
    );
    for line in output.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn what_nothing_feeds_is_told_in_its_row() {
    let folder = folder(2, "");
    let lone = site(2, "").replace("  run", "  sounder lone : S\n  run");
    let models = "model sounder S { alarm 100 mA }\n";
    write(folder.path(), "sites/quay.bell", format!("{models}{lone}"));
    let output = text(&bellwire(folder.path(), &["figures"]).stdout);
    assert!(output.contains("lone    nothing"), "{output}");
    assert!(!output.contains("no cable brings it power"), "{output}");
}

#[test]
fn figures_of_a_plan_that_is_not_read_whole_say_so() {
    let folder = folder(2, "");
    let figures = || text(&bellwire(folder.path(), &["figures"]).stdout);
    assert!(!figures().contains("Incomplete"), "{}", figures());
    // A place that is taken is wrong, and read.
    write(folder.path(), "sites/quay.bell", site(1, ""));
    assert!(!figures().contains("Incomplete"), "{}", figures());

    let misspelt = site(2, "").replace(": T2, address 2", ": T3, address 2");
    write(folder.path(), "sites/quay.bell", &misspelt);
    assert!(figures().contains("Incomplete: 1 error"), "{}", figures());
    write(
        folder.path(),
        "catalog.bell",
        CATALOG.replace("45 mA", "45 m"),
    );
    assert!(figures().contains("Incomplete: 2 errors"), "{}", figures());
    // Of a site in a used file nobody else has anything.
    let other = format!("{CATALOG}site other {{\n  rules nowhere\n}}\n");
    write(folder.path(), "catalog.bell", other);
    write(folder.path(), "sites/quay.bell", site(2, ""));
    assert_eq!(figures().matches("Incomplete").count(), 1, "{}", figures());
}

#[test]
fn a_sum_is_shown_line_by_line() {
    let folder = folder(2, "");
    let sum = |name: &str| bellwire(folder.path(), &["figures", "--explain", name]);
    for (name, said) in [
        ("rear", "The route there, "),
        ("main", "Battery"),
        ("main.aux", "Against its limit"),
        ("main.keys", "farthest device"),
    ] {
        let output = sum(name);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        let shown = text(&output.stdout);
        assert!(shown.contains(said), "{shown}");
        assert!(!shown.contains('\u{1b}'), "{shown}");
        assert!(shown.lines().all(|line| line.chars().count() <= 80));
    }
    fails(&sum("raer"), "did you mean `rear`?");

    write(
        folder.path(),
        "sites/other.bell",
        site(2, "").replace("site quay", "site other"),
    );
    fails(&sum("rear"), "2 sites have `rear`");
    assert_eq!(sum("other.rear").stdout, sum("quay.rear").stdout);
}

#[test]
fn a_trigger_stands_beside_what_feeds_its_device() {
    let folder = folder(2, "");
    write(
        folder.path(),
        "sites/held.bell",
        r#"
model panel Q {
  output aux 13.8 V
  output siren 13.8 V, in alarm
}
model cable four, cores 4, resistance 50 ohm/km
model sounder B2, standby 25 mA, alarm 60 mA, works 10 V .. 15 V, trigger 5 mA
model sounder S, alarm 60 mA
site held {
  panel main : Q
  sounder s1 : B2
  sounder s2 : S
  run b1 : four { main.aux + main.siren --20 m-- s1 }
  run b2 : four { main.siren --20 m-- s2 }
}
"#,
    );
    let figures = |format: &str| {
        let args = ["figures", "sites/held.bell", "--format", format];
        bellwire(folder.path(), &args)
    };
    let shown = json(&figures("json"));
    let [s1, s2] = [0, 1].map(|device| &shown["sites"][0]["devices"][device]);
    assert_eq!(s1["fed-by"], "main.aux");
    assert_eq!(s1["triggered-by"], "main.siren");
    assert_eq!(s2["fed-by"], "main.siren");
    assert!(s2.get("triggered-by").is_none(), "{s2}");
    // 20 m are 2 ohm, so 5 mA lose 0.01 V of 13.8 V.
    let shown = text(&figures("text").stdout);
    let rows: Vec<Vec<&str>> = shown
        .lines()
        .map(|line| line.split_whitespace().collect())
        .collect();
    let row = ["s1", "trigger", "main.siren", "-", "0.00", "13.79"];
    assert!(rows.iter().any(|found| found.starts_with(&row)), "{shown}");
    let args = ["figures", "sites/held.bell", "--explain", "main.siren"];
    let shown = text(&bellwire(folder.path(), &args).stdout);
    assert!(shown.contains("s1 trigger"), "{shown}");
}

/// Of 9 Ah down to 11.8 V a fifth is left in it: 7.2 Ah are had, and 7.9 Ah are needed.
#[test]
fn a_battery_that_is_cut_off_too_soon_is_marked() {
    let folder = folder(2, "");
    let marked = |cutoff: &str| {
        let plan = format!(
            "model battery b9, capacity 9 Ah
rules night, standby 12 h
model supply H, standby 500 mA, charger 1 A, cutoff {cutoff}
site held {{
  rules night
  supply p : H {{ battery : b9 }}
}}
"
        );
        write(folder.path(), "sites/held.bell", plan);
        let shown = text(&bellwire(folder.path(), &["figures", "sites/held.bell"]).stdout);
        assert!(shown.contains(" 9.0 "), "{shown}");
        shown.contains(" 9.0 !")
    };
    assert!(!marked("10.5 V"));
    assert!(marked("11.8 V"));
}

#[test]
fn a_condition_of_a_loop_is_marked_where_check_tells_of_it() {
    let folder = folder(2, "");
    let zoned = |windows: &str| {
        format!(
            "model panel Z {{
  inputs 1 .. 4 {{
    loop only {{
      end 1 kohm
      {windows}
    }}
  }}
}}
model detector Y, contact alarm, contact tamper
site quay {{
  panel main : Z {{
    partition 1
    zone 1, input 1, from d, partition 1, loop only
  }}
  detector d : Y
  run r : copper-2x22AWG {{ main.1 --5 m-- d }}
}}
"
        )
    };
    let marked = |windows: &str| {
        write(folder.path(), "sites/quay.bell", zoned(windows));
        let figures = text(&bellwire(folder.path(), &["figures"]).stdout);
        let rows = figures.lines().filter(|line| line.ends_with(" !"));
        let rows: Vec<Vec<&str>> = rows.map(|row| row.split_whitespace().collect()).collect();
        let told = text(&bellwire(folder.path(), &["check"]).stdout);
        assert_eq!(
            !rows.is_empty(),
            told.contains("loop-misread"),
            "{figures}{told}"
        );
        let found = |row: &Vec<&str>| format!("{} {}", row[row.len() - 5], row[row.len() - 2]);
        rows.iter().map(found).collect::<Vec<_>>()
    };
    let (short, normal) = (
        "reads short 0 ohm .. 50 ohm",
        "reads normal 900 ohm .. 1.1 kohm",
    );
    let open = "reads open 2 kohm ..";
    let windows = |all: &[&str]| all.join("\n      ");
    assert!(marked(&windows(&[short, normal, open])).is_empty());
    assert_eq!(marked(&windows(&[normal, open])), ["short nothing"]);
    assert_eq!(
        marked(&windows(&[
            short,
            "reads normal 50 ohm .. 900 ohm",
            "reads open 900 ohm .."
        ])),
        ["normal open"]
    );
    // What is missing is the windows, or that for quiet, and the model is told of that.
    assert!(marked("").is_empty());
    assert!(marked(&windows(&[short, "reads open 900 ohm .."])).is_empty());
}

#[test]
fn a_leg_that_is_written_towards_the_panel_loses_no_less() {
    let folder = folder(2, "");
    let lost = |plan: String| {
        write(folder.path(), "sites/quay.bell", plan);
        let output = text(&bellwire(folder.path(), &["figures"]).stdout);
        let (_, table) = output.split_once("Cable, volts lost").expect("has legs");
        let legs = table.lines().skip(2).take_while(|line| !line.is_empty());
        let volts = |leg: &str| {
            let volts: Vec<&str> = leg.split_whitespace().rev().take(4).collect();
            volts.join(" ")
        };
        legs.map(volts).collect::<Vec<_>>()
    };
    let away = lost(site(2, ""));
    let path = "main.keys --12 m-- front --9 m-- rear";
    assert!(site(2, "").contains(path), "{}", site(2, ""));
    let mut towards = lost(site(2, "").replace(path, "rear --9 m-- front --12 m-- main.keys"));
    towards.reverse();
    assert_eq!(away, towards);
}

#[test]
fn what_has_no_end_is_shown_without_a_number() {
    let folder = folder(2, "");
    write(
        folder.path(),
        "sites/quay.bell",
        "model battery b7, capacity 7 Ah
model supply P, charger 10 mA, output out 13.8 V
model sounder S, standby 40 mA, works 9 V ..
model sounder T, standby 40 mA, works .. 15 V
rules night, standby 12 h
site quay {
  rules night
  supply p : P { battery : b7 }
  supply q : P { battery : b7 }
  sounder s : S
  sounder t : T
  run r : copper-2x22AWG { p.out --5 m-- s --5 m-- t }
}
",
    );
    let figures = text(&bellwire(folder.path(), &["figures", "sites/quay.bell"]).stdout);
    let row = |name: &str| {
        let mut lines = figures
            .lines()
            .map(|line| line.split_whitespace().collect());
        let found = lines.find(|row: &Vec<&str>| row.first() == Some(&name));
        found.unwrap_or_else(|| panic!("{name} in {figures}"))
    };
    assert_eq!(row("s")[2], "9..");
    assert_eq!(row("t")[2], "..15");
    // The outputs take all that the charger gives.
    assert_eq!(row("p").last(), Some(&"never"), "{figures}");
    // Nothing draws anything.
    assert_eq!(row("q")[3..5], ["for", "ever"], "{figures}");
}
