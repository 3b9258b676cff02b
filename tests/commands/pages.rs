//! What the pages show is what the program says.

use std::path::Path;

use serde_json::Value;

use super::folder::{bellwire, json, text, write};

const ROOT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");

/// A day on which no battery of the demo is old yet.
const TODAY: [&str; 2] = ["--today", "2026-11-25"];

fn page(name: &str) -> String {
    std::fs::read_to_string(Path::new(ROOT).join(name)).unwrap()
}

/// What is said of a plan that stands beside the demo's catalog.
fn check(plan: &str, arguments: &[&str]) -> std::process::Output {
    let folder = tempfile::tempdir().unwrap();
    let catalog = page("tests/plans/catalog/merrow.bell");
    write(folder.path(), "catalog/merrow.bell", catalog);
    write(folder.path(), "sites/plan.bell", plan);
    let all = [&["check", "--root", ".", "sites"], &TODAY[..], arguments];
    bellwire(folder.path(), &all.concat())
}

#[test]
fn the_readme_shows_what_the_demo_gives() {
    let readme = page("README.md");
    let (_, behind) = readme.split_once("```text\nerror[").unwrap();
    let (shown, _) = behind.split_once("```").unwrap();
    let arguments = [&["check", "tests/plans/sites"], &TODAY[..]].concat();
    let printed = text(&bellwire(Path::new(ROOT), &arguments).stdout);
    assert!(printed.ends_with(&format!("error[{shown}")), "{printed}");
}

#[test]
fn nothing_is_wrong_with_the_plan_in_the_readme() {
    let readme = page("README.md");
    let lines = readme
        .lines()
        .skip_while(|line| !line.starts_with("    use "));
    let lines = lines.take_while(|line| line.is_empty() || line.starts_with("    "));
    let plan: Vec<&str> = lines.map(|line| line.get(4..).unwrap_or("")).collect();
    let said = text(&check(&plan.join("\n"), &[]).stdout);
    assert_eq!(said, "nothing found in 1 site, 2 files\n");
}

#[test]
fn the_walkthrough_of_vs_code_shows_a_plan_and_what_is_said_of_one() {
    let plan = page("editors/vscode/walkthrough/plan.md");
    let (_, plan) = plan.split_once("```bellwire\n").unwrap();
    let (plan, _) = plan.split_once("```").unwrap();
    let plan = format!("use \"../catalog/merrow.bell\"\n{plan}");
    let said = text(&check(&plan, &[]).stdout);
    assert_eq!(said, "nothing found in 1 site, 2 files\n");

    let findings = page("editors/vscode/walkthrough/findings.md");
    let (quoted, _) = findings.split_once('\n').unwrap();
    let quoted = quoted.strip_prefix("> ").unwrap();
    let demo = json(&bellwire(
        Path::new(ROOT),
        &["check", "tests/plans/sites", "--format", "json"],
    ));
    let findings = demo["findings"].as_array().unwrap();
    assert!(findings.iter().any(|of| of["message"] == quoted));
}

/// With what it proposes taken as it is, nothing is left to say but to name the models.
#[test]
fn the_snippet_of_vs_code_is_a_plan() {
    let snippets: Value =
        serde_json::from_str(&page("editors/vscode/snippets/bellwire.json")).unwrap();
    let lines = snippets["Site"]["body"].as_array().unwrap().iter();
    let lines: Vec<&str> = lines.map(|line| line.as_str().unwrap()).collect();
    let mut plan = String::new();
    for piece in lines.join("\n").split('$') {
        let expanded = match piece.strip_prefix('{').and_then(|of| of.split_once('}')) {
            Some(("CURRENT_YEAR", behind)) => format!("2026{behind}"),
            Some(("CURRENT_MONTH", behind)) => format!("11{behind}"),
            Some((stop, behind)) => format!("{}{behind}", stop.split_once(':').unwrap().1),
            None => piece.trim_start_matches('0').to_string(),
        };
        plan.push_str(&expanded);
    }
    let report = json(&check(&plan, &["--format", "json"]));
    let findings = report["findings"].as_array().unwrap().iter();
    let codes: Vec<_> = findings.map(|of| of["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["unknown-name"; 2], "{plan}{report:#}");
}
