//! The command line, as scripts and people use it: exit codes, and what comes out.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;
use tempfile::TempDir;

const CATALOG: &str = "\
model keypad T2 \"Invented keypad\" { standby 45 mA }
model panel T1 \"Invented panel\" {
  standby 100 mA
  cutoff  10.5 V
  output  aux 13.8 V, limit 500 mA
  bus keys {
    power     aux
    addresses 1 .. 15
    place     keypad 1 .. 8
    enabled   1 .. 8
  }
}
";

fn site(address: u32, accept: &str) -> String {
    format!(
        "use \"../catalog.bell\"
site quay \"Ω 🔔 \u{1b}[31m\" {{
  panel main : T1 {{
    bus keys {{
      keypad front \"Ω🔔\" : T2, address 1
      keypad rear : T2, address {address}{accept}
    }}
  }}
  run a : copper-4x22AWG {{
    main.keys --12 m-- front --9 m-- rear
  }}
}}
"
    )
}

fn folder(address: u32, accept: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "catalog.bell", CATALOG);
    write(folder.path(), "sites/quay.bell", site(address, accept));
    folder
}

fn write(folder: &Path, name: &str, text: impl AsRef<[u8]>) {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

fn bellwire(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {output:?}"))
}

/// That a command could not run, for the reason that one line names.
#[track_caller]
fn fails(output: &Output, reason: &str) {
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    let line = text(&output.stderr);
    assert!(
        line.starts_with("bellwire: ") && line.lines().count() == 1,
        "{line}"
    );
    assert!(line.contains(reason), "{line}");
    assert!(output.stdout.is_empty());
}

#[test]
fn the_exit_code_tells_whether_something_is_wrong() {
    let clean = bellwire(folder(2, "").path(), &["check", "sites"]);
    assert_eq!(clean.status.code(), Some(0), "{clean:?}");
    let broken = bellwire(folder(1, "").path(), &["check"]);
    assert_eq!(broken.status.code(), Some(1), "{broken:?}");
    assert!(text(&broken.stdout).contains("address-taken"));
    assert!(broken.stderr.is_empty());
}

#[test]
fn what_is_accepted_is_listed_and_does_not_count() {
    let accept = " { accept address-taken \"Being swapped\" }";
    let both = site(1, accept).replace(
        "T2, address 1\n      keypad rear",
        "T2, address 1 { accept address-taken \"Being swapped\" }\n      keypad rear",
    );
    let folder = folder(1, "");
    write(folder.path(), "sites/quay.bell", both);
    let output = bellwire(folder.path(), &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
    let findings = json(&output);
    let taken: Vec<_> = findings["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| finding["code"] == "address-taken")
        .collect();
    assert!(!taken.is_empty());
    assert!(
        taken
            .iter()
            .all(|finding| finding["accepted"] == "Being swapped")
    );
    let output = bellwire(folder.path(), &["check"]);
    assert!(
        text(&output.stdout).contains("accepted: Being swapped"),
        "{}",
        text(&output.stdout)
    );
    assert!(
        text(&output.stdout)
            .trim_end()
            .contains("accepted in 1 of 1 site")
    );
}

#[test]
fn paths_that_lead_to_nothing_are_said_so() {
    let folder = folder(2, "");
    fails(
        &bellwire(folder.path(), &["check", "none.bell"]),
        "no file or folder `none.bell`",
    );
    fails(
        &bellwire(folder.path(), &["figures", "none"]),
        "no file or folder `none`",
    );
    fails(
        &bellwire(folder.path(), &["check", "--root", "none"]),
        "no file or folder `none`",
    );
    fails(
        &bellwire(folder.path(), &["check", "--root", "catalog.bell"]),
        "`catalog.bell` is no folder",
    );
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("nowhere", folder.path().join("dangling.bell")).unwrap();
        fails(
            &bellwire(folder.path(), &["check", "dangling.bell"]),
            "no file or folder `dangling.bell`",
        );
        // In a folder it is passed over, as every link.
        assert_eq!(bellwire(folder.path(), &["check"]).status.code(), Some(0));
    }
}

#[test]
fn files_that_cannot_be_read_are_said_so() {
    let folder = folder(2, "");
    write(folder.path(), "latin.bell", b"site caf\xe9\n");
    fails(
        &bellwire(folder.path(), &["check", "latin.bell"]),
        "not UTF-8",
    );
    // Found in a folder, it is a finding.
    let output = bellwire(folder.path(), &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    let finding = &json(&output)["findings"][0];
    assert_eq!(
        (&finding["file"], &finding["code"]),
        (&"latin.bell".into(), &"syntax".into())
    );
}

#[test]
fn a_folder_by_the_name_of_a_plan_is_a_folder() {
    let folder = folder(2, "");
    write(folder.path(), "x.bell/inner.bell", "nonsense\n");
    let output = bellwire(folder.path(), &["check", "x.bell", "--format", "json"]);
    assert_eq!(json(&output)["findings"][0]["file"], "x.bell/inner.bell");
    write(folder.path(), "user.bell", "use \"x.bell\"\n");
    let output = bellwire(folder.path(), &["check", "user.bell"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("folder"), "{output:?}");
}

#[test]
fn the_demo_works_from_inside_and_outside_a_checkout() {
    let folder = folder(2, "");
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    for (from, path) in [
        (".", "sites"),
        ("sites", "."),
        ("sites", "quay.bell"),
        ("/", &*folder.path().display().to_string()),
    ] {
        let output = bellwire(&folder.path().join(from), &["check", path]);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{from} {path}: {}",
            text(&output.stdout)
        );
    }
    std::fs::remove_dir(folder.path().join(".git")).unwrap();
    let inside = folder.path().join("sites");
    let output = bellwire(&inside, &["check"]);
    assert!(text(&output.stdout).contains("import-outside"));
    let output = bellwire(&inside, &["check", "--root", ".."]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
}

#[test]
fn findings_as_json_have_their_places_in_characters_from_1() {
    let folder = folder(1, "");
    let output = bellwire(
        folder.path(),
        &["check", "--format", "json", "sites/quay.bell"],
    );
    let report = json(&output);
    assert_eq!((&report["sites"], &report["files"]), (&1.into(), &2.into()));
    let findings = report["findings"].as_array().unwrap();
    let taken: Vec<_> = findings
        .iter()
        .filter(|finding| finding["code"] == "address-taken")
        .collect();
    let finding = taken.first().unwrap();
    for key in [
        "code",
        "severity",
        "file",
        "line",
        "column",
        "end_line",
        "end_column",
        "message",
        "site",
        "accepted",
        "related",
    ] {
        assert!(finding.get(key).is_some(), "{key}");
    }
    assert_eq!(finding["severity"], "error");
    assert_eq!(finding["file"], "sites/quay.bell");
    assert_eq!(finding["site"], "quay");
    assert_eq!(finding["accepted"], Value::Null);
    let related = &finding["related"][0];
    assert_eq!(related["file"], "sites/quay.bell");
    let place = |place: &Value| {
        (
            place["line"].as_u64().unwrap(),
            place["column"].as_u64().unwrap(),
        )
    };
    let mut places = [place(finding), place(related)];
    places.sort_unstable();
    // In `keypad front "Ω🔔" : T2, address 1`, each wide character is one column.
    let source = site(1, "");
    let column = |line: usize| {
        let line = source.lines().nth(line - 1).unwrap();
        line[..line.find("address").unwrap()].chars().count() as u64 + 1
    };
    for ((line, found), expected) in places.into_iter().zip([5, 6]) {
        assert_eq!(line, expected);
        assert!(
            found >= column(expected as usize) && found <= column(expected as usize) + 9,
            "{found}"
        );
    }
}

#[test]
fn a_plan_cannot_command_the_terminal() {
    let folder = folder(2, "");
    write(
        folder.path(),
        "bad.bell",
        "site \u{1b}]0;x\u{7} \"\u{9b}31m\u{202e}\" {\n\tpanel m : \"\u{1b}[2J\"\r\n  zonk\u{1b}[0m\n}\n",
    );
    for arguments in [
        &["check", "bad.bell"][..],
        &["check", "--colour", "never"],
        &["figures"],
    ] {
        let output = bellwire(folder.path(), arguments);
        let shown = text(&output.stdout);
        assert!(
            !shown
                .chars()
                .any(|c| c.is_control() && c != '\n' || c == '\u{202e}'),
            "{shown:?}"
        );
    }
    let coloured = text(&bellwire(folder.path(), &["check", "--colour", "always"]).stdout);
    // The only sequences are those that set a colour.
    for sequence in coloured.split('\u{1b}').skip(1) {
        let end = sequence.find('m').unwrap();
        assert!(
            sequence[1..end]
                .chars()
                .all(|c| c.is_ascii_digit() || c == ';'),
            "{sequence:?}"
        );
    }
}

#[test]
fn there_is_no_colour_in_a_pipe() {
    let output = bellwire(folder(1, "").path(), &["check"]);
    assert!(!text(&output.stdout).contains('\u{1b}'));
}

#[test]
fn format_names_what_it_leaves_alone() {
    let folder = folder(2, "");
    write(
        folder.path(),
        "sites/open.bell",
        "site open {\nsite other {\n rules   x\n}\n",
    );
    let output = bellwire(folder.path(), &["format", "--check", "sites/open.bell"]);
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = text(&output.stdout);
    assert!(
        said.starts_with("left in part sites/open.bell: its braces")
            && said.contains("would change sites/open.bell"),
        "{said}"
    );
}

/// The schema is OASIS's own, of SARIF 2.1.0.
#[test]
fn sarif_is_valid_by_the_schema_of_the_standard() {
    // One pattern in it has a bracket too many.
    let schema = include_str!("sarif-2.1.0.json").replace("[a-zA-Z]{2}]?$", "[a-zA-Z]{2}?$");
    let schema = serde_json::from_str(&schema).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    assert!(!schema.is_valid(&serde_json::json!({ "version": "2.1.0" })));
    let plans = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/plans");
    for path in [plans, concat!(env!("CARGO_MANIFEST_DIR"), "/src")] {
        let sarif = json(&bellwire(Path::new(path), &["check", "--format", "sarif"]));
        let wrong: Vec<_> = schema
            .iter_errors(&sarif)
            .map(|error| error.to_string())
            .collect();
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}

#[test]
fn sarif_has_the_shape_that_the_standard_asks_for() {
    let output = bellwire(folder(1, "").path(), &["check", "--format", "sarif"]);
    assert_eq!(output.status.code(), Some(1));
    let log = json(&output);
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    assert_eq!(run["tool"]["driver"]["name"], "bellwire");
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
    let result = run["results"]
        .as_array()
        .unwrap()
        .iter()
        .find(|result| result["ruleId"] == "address-taken")
        .unwrap();
    let index = result["ruleIndex"].as_u64().unwrap() as usize;
    assert_eq!(rules[index]["id"], "address-taken");
    let place = &result["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "sites/quay.bell");
    assert!(place["region"]["startLine"].as_u64() > Some(1));
    assert!(result["relatedLocations"][0]["message"]["text"].is_string());
}

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
fn explain_knows_every_code_and_the_nearest_to_a_wrong_one() {
    let folder = tempfile::tempdir().unwrap();
    let list = text(&bellwire(folder.path(), &["explain"]).stdout);
    for code in bellwire_plan::finding::Code::ALL {
        assert!(list.contains(code.name()));
        let output = bellwire(folder.path(), &["explain", code.name()]);
        assert!(text(&output.stdout).contains(code.title()), "{code}");
    }
    fails(
        &bellwire(folder.path(), &["explain", "adress-taken"]),
        "`address-taken`",
    );
}

#[test]
fn explain_knows_what_the_library_has() {
    let folder = tempfile::tempdir().unwrap();
    let explain = |name: &str| bellwire(folder.path(), &["explain", name]);
    let list = text(&bellwire(folder.path(), &["explain"]).stdout);
    assert!(list.contains("  intruder-grade-2 "), "{list}");
    for (name, said) in [
        (
            "intruder-grade-3",
            "Standby 60 h\nAlarm 15 min\nRecharge 24 h to 80 %",
        ),
        ("pd6662-grade-3", "Built on intruder-grade-3"),
        (
            "nfpa72-fire",
            "no substitute for an approved fire alarm design",
        ),
        ("sealed-12V-7Ah", "20 h             7 Ah"),
        ("copper-4x22AWG", "54 ohm/km"),
    ] {
        let output = explain(name);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        let shown = text(&output.stdout);
        assert!(shown.contains(said), "{shown}");
        assert!(
            shown.lines().all(|line| line.chars().count() <= 80),
            "{shown}"
        );
    }
    fails(&explain("intruder-grade2"), "`intruder-grade-2`");
}

#[test]
fn figures_of_a_plan_that_is_not_read_whole_say_so() {
    let folder = folder(2, "");
    let figures = || text(&bellwire(folder.path(), &["figures"]).stdout);
    assert!(!figures().contains("Not read whole"), "{}", figures());
    // A place that is taken is wrong, and read.
    write(folder.path(), "sites/quay.bell", site(1, ""));
    assert!(!figures().contains("Not read whole"), "{}", figures());

    let misspelt = site(2, "").replace(": T2, address 2", ": T3, address 2");
    write(folder.path(), "sites/quay.bell", &misspelt);
    assert!(
        figures().contains("Not read whole: 1 error"),
        "{}",
        figures()
    );
    write(
        folder.path(),
        "catalog.bell",
        CATALOG.replace("45 mA", "45 m"),
    );
    assert!(
        figures().contains("Not read whole: 2 errors"),
        "{}",
        figures()
    );
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
fn a_wrong_command_line_is_told_with_2() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["frobnicate"][..],
        &["check", "--format", "xml"],
        &["check", "--today", "2026-02-30"],
        &[],
    ] {
        let output = bellwire(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(!output.stderr.is_empty());
    }
    for arguments in [
        &["--help"][..],
        &["--version"],
        &["check", "--help"],
        &["serve", "--help"],
    ] {
        let output = bellwire(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert!(!output.stdout.is_empty());
    }
}

#[test]
fn the_day_that_batteries_are_old_by_can_be_given() {
    let folder = folder(2, "");
    let with = site(2, "").replace(
        "panel main : T1 {",
        "panel main : T1 {\n    battery : sealed-12V-7Ah, fitted 2020-01",
    );
    write(folder.path(), "sites/quay.bell", with);
    let old = |day: &str| {
        let output = bellwire(
            folder.path(),
            &["check", "--format", "json", "--today", day],
        );
        text(&output.stdout).contains("battery-old")
    };
    assert!(!old("2021-01-01"));
    assert!(old("2040-01-01"));
}

#[test]
fn format_rewrites_and_with_check_only_tells() {
    let folder = folder(2, "");
    let ragged = site(2, "").replace("    bus keys", "bus    keys");
    write(folder.path(), "sites/quay.bell", &ragged);
    let quay = folder.path().join("sites/quay.bell");
    let output = bellwire(folder.path(), &["format", "--check", "sites"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stdout).contains("would change sites/quay.bell"),
        "{output:?}"
    );
    assert_eq!(std::fs::read_to_string(&quay).unwrap(), ragged);
    let output = bellwire(folder.path(), &["format", "sites"]);
    assert_eq!(output.status.code(), Some(0));
    let after = std::fs::read_to_string(&quay).unwrap();
    assert_ne!(after, ragged);
    // Nothing but blanks has changed, and a second time nothing at all.
    let words = |text: &str| text.split_whitespace().collect::<String>();
    assert_eq!(words(&after), words(&ragged));
    assert_eq!(
        bellwire(folder.path(), &["format", "--check", "sites"])
            .status
            .code(),
        Some(0)
    );
    // What cannot be read is left alone.
    let broken = "site a {\n  panel   m {\n";
    write(folder.path(), "sites/broken.bell", broken);
    assert_eq!(bellwire(folder.path(), &["format"]).status.code(), Some(0));
    assert_eq!(
        std::fs::read_to_string(folder.path().join("sites/broken.bell")).unwrap(),
        broken
    );
    // Files that are only used are not touched.
    let names: Vec<_> = std::fs::read_dir(folder.path().join("sites"))
        .unwrap()
        .collect();
    assert_eq!(names.len(), 2, "no drafts are left");
    fails(&bellwire(folder.path(), &["format", "none"]), "none");
}
