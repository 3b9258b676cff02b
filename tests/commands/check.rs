//! `bellwire check`: what it finds, and how that is written.

use std::collections::BTreeSet;
use std::path::Path;

use bellwire_tests::CATALOG;
use serde_json::{Value, json};

use super::folder::{bellwire, folder, json, site, text, write};

#[test]
fn the_exit_code_tells_whether_something_is_wrong() {
    let clean = bellwire(folder(2, "").path(), &["check", "sites"]);
    assert_eq!(clean.status.code(), Some(0), "{clean:?}");
    let broken = bellwire(folder(1, "").path(), &["check"]);
    assert_eq!(broken.status.code(), Some(1), "{broken:?}");
    assert!(text(&broken.stdout).contains("address-taken"));
    assert!(broken.stderr.is_empty());
    // A warning is told, and stops nothing.
    let folder = folder(2, "");
    write(folder.path(), "own.bell", "use \"own.bell\"\n");
    let warned = bellwire(folder.path(), &["check"]);
    assert!(text(&warned.stdout).contains("warning[import-cycle]"));
    assert_eq!(warned.status.code(), Some(0), "{warned:?}");
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
    let sarif = json(&bellwire(folder.path(), &["check", "--format", "sarif"]));
    let results = sarif["runs"][0]["results"].as_array().unwrap().iter();
    let suppressed: Vec<_> = results
        .filter(|result| result["ruleId"] == "address-taken")
        .map(|result| &result["suppressions"])
        .collect();
    let reason = json!([{"kind": "inSource", "justification": "Being swapped"}]);
    assert_eq!(suppressed, vec![&reason; taken.len()]);
    let output = bellwire(folder.path(), &["check"]);
    let shown = text(&output.stdout);
    assert!(
        shown.contains("accepted: Being swapped") && !shown.contains("help:"),
        "{shown}"
    );
    assert!(
        text(&output.stdout)
            .trim_end()
            .ends_with("accepted in 1 of 1 site")
    );
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
    // The address in `keypad front "Ω🔔" : T2, address 1`: each wide character is one column.
    let source = site(1, "");
    let column = |line: usize| {
        let line = source.lines().nth(line - 1).unwrap();
        let before = line.find("address ").unwrap() + "address ".len();
        line[..before].chars().count() as u64 + 1
    };
    assert_eq!(places, [(5, column(5)), (6, column(6))]);
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
    let sequences: Vec<&str> = coloured.split('\u{1b}').skip(1).collect();
    assert!(!sequences.is_empty(), "{coloured}");
    for sequence in sequences {
        let colour = sequence.strip_prefix('[').and_then(|of| of.split_once('m'));
        let is_plain = |colour: &str| colour.chars().all(|c| c.is_ascii_digit() || c == ';');
        assert!(colour.is_some_and(|of| is_plain(of.0)), "{sequence:?}");
    }
}

/// The schema is OASIS's own, of SARIF 2.1.0.
#[test]
fn sarif_is_valid_by_the_schema_of_the_standard() {
    // One pattern in it has a bracket too many.
    let schema = include_str!("sarif-2.1.0.json").replace("[a-zA-Z]{2}]?$", "[a-zA-Z]{2}?$");
    let schema = serde_json::from_str(&schema).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    assert!(!schema.is_valid(&serde_json::json!({ "version": "2.1.0" })));
    let plans = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/plans");
    let empty = tempfile::tempdir().unwrap();
    for (path, has_findings) in [(&*plans, true), (empty.path(), false)] {
        let sarif = json(&bellwire(path, &["check", "--format", "sarif"]));
        let results = sarif["runs"][0]["results"].as_array().unwrap();
        assert_eq!(!results.is_empty(), has_findings);
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
fn sarif_says_of_each_finding_what_json_says() {
    let folder = folder(1, "");
    write(
        folder.path(),
        "own.bell",
        "use \"own.bell\"\nsite own {\n}\n",
    );
    let report = |format: &str| json(&bellwire(folder.path(), &["check", "--format", format]));
    let (sarif, plain) = (report("sarif"), report("json"));
    let results = sarif["runs"][0]["results"].as_array().unwrap().iter();
    let results: Vec<Value> = results
        .map(|result| {
            let place = &result["locations"][0]["physicalLocation"];
            let region = &place["region"];
            json!([
                result["ruleId"],
                result["level"],
                result["message"]["text"],
                place["artifactLocation"]["uri"],
                [region["startLine"], region["startColumn"]],
                [region["endLine"], region["endColumn"]],
            ])
        })
        .collect();
    let findings = plain["findings"].as_array().unwrap().iter();
    let findings: Vec<Value> = findings
        .map(|finding| {
            let level = match finding["severity"].as_str() {
                Some("information") => "note",
                other => other.unwrap(),
            };
            json!([
                finding["code"],
                level,
                finding["message"],
                finding["file"],
                [finding["line"], finding["column"]],
                [finding["end_line"], finding["end_column"]],
            ])
        })
        .collect();
    assert_eq!(results, findings);
    let levels = findings.iter().map(|finding| finding[1].as_str().unwrap());
    let levels: BTreeSet<&str> = levels.collect();
    assert_eq!(levels.len(), 3, "{levels:?}");
}

/// A text with a fix made, as SARIF has it.
fn fixed(text: &str, fix: &Value) -> String {
    let offset = |line: &Value, column: &Value| {
        let (line, column) = (line.as_u64().unwrap(), column.as_u64().unwrap());
        let before = text.split_inclusive('\n').take(line as usize - 1);
        let start: usize = before.map(str::len).sum();
        let mut chars = text[start..].char_indices().map(|(at, _)| at);
        start + chars.nth(column as usize - 1).unwrap_or(text.len() - start)
    };
    let change = &fix["artifactChanges"][0];
    let replacements = change["replacements"].as_array().unwrap().iter();
    let mut edits: Vec<_> = replacements
        .map(|one| {
            let region = &one["deletedRegion"];
            let from = offset(&region["startLine"], &region["startColumn"]);
            let to = offset(&region["endLine"], &region["endColumn"]);
            (from..to, one["insertedContent"]["text"].as_str().unwrap())
        })
        .collect();
    edits.sort_by_key(|(range, _)| std::cmp::Reverse(range.start));
    let mut text = text.to_string();
    for (range, new) in edits {
        text.replace_range(range, new);
    }
    text
}

#[test]
fn sarif_has_the_fixes_that_editors_offer_and_they_mend() {
    let plans = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/plans");
    let catalog = std::fs::read_to_string(plans.join("catalog/merrow.bell")).unwrap();
    let results = |folder: &Path| {
        let mut sarif = json(&bellwire(folder, &["check", "--format", "sarif"]));
        let results = sarif["runs"][0]["results"].take();
        results.as_array().unwrap().clone()
    };
    let said = |results: &[Value], of: &Value| {
        let same = results.iter().filter(|one| one["message"] == of["message"]);
        same.count()
    };
    let before = results(&plans);
    let mut tried = 0;
    for result in before.iter().filter(|result| result["fixes"].is_array()) {
        let place = &result["locations"][0]["physicalLocation"];
        let name = place["artifactLocation"]["uri"].as_str().unwrap();
        let text = std::fs::read_to_string(plans.join(name)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        write(folder.path(), "catalog/merrow.bell", &catalog);
        write(folder.path(), name, &text);
        let alone = said(&results(folder.path()), result);
        write(folder.path(), name, fixed(&text, &result["fixes"][0]));
        assert!(said(&results(folder.path()), result) < alone, "{result}");
        tried += 1;
    }
    assert!(tried > 10, "{tried}");
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
fn a_name_that_another_file_declares_is_told_with_the_use_that_it_takes() {
    let folder = folder(2, "");
    let lacking = site(2, "")
        .replace("use \"../catalog.bell\"\n", "")
        .replace("T2, address 2", "T3, address 2");
    write(folder.path(), "sites/quay.bell", lacking);
    // A model of another kind is none that would do.
    write(
        folder.path(),
        "a.bell",
        "model sounder T2 { alarm 100 mA }\n",
    );
    let output = json(&bellwire(folder.path(), &["check", "--format", "json"]));
    let findings = output["findings"].as_array().unwrap();
    let unknown = findings.iter().filter(|of| of["code"] == "unknown-name");
    let told: Vec<_> = unknown
        .map(|of| {
            let name = of["message"].as_str().unwrap().split('`').nth(1).unwrap();
            let related = of["related"].as_array().unwrap().iter();
            let places =
                related.map(|of| format!("{} {}: {}", of["file"], of["line"], of["message"]));
            (name.to_string(), places.collect::<Vec<_>>().join(", "))
        })
        .collect();
    let at = |line: u32| {
        format!("\"catalog.bell\" {line}: \"declared here: add `use \\\"../catalog.bell\\\"`\"")
    };
    let expected = [("T1", at(1)), ("T2", at(12)), ("T3", String::new())];
    assert_eq!(
        told,
        expected.map(|(name, place)| (name.to_string(), place))
    );
    let shown = text(&bellwire(folder.path(), &["check"]).stdout);
    assert!(
        shown.contains("declared here: add `use \"../catalog.bell\"`"),
        "{shown}"
    );
}

/// A quote ends the text of a `use`, and a line break its line.
#[cfg(unix)]
#[test]
fn a_file_that_no_use_can_name_is_told_to_need_another_name() {
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "site.bell",
        "site a {\n  panel main : T1\n}\n",
    );
    for name in ["my \"own\".bell", "my\nown.bell"] {
        write(folder.path(), name, CATALOG);
        let output = json(&bellwire(folder.path(), &["check", "--format", "json"]));
        let findings = output["findings"].as_array().unwrap();
        let mut unknown = findings.iter().filter(|of| of["code"] == "unknown-name");
        let related = &unknown.next().unwrap()["related"][0];
        assert_eq!(related["file"], name);
        assert_eq!(
            related["message"],
            "declared here, in a file that no `use` can name: give it a name without quotes and line breaks"
        );
        std::fs::remove_file(folder.path().join(name)).unwrap();
    }
}
