//! The command line over a whole folder.

use std::process::{Command, Stdio};
use std::time::Instant;

use serde_json::Value;

use crate::Failure;
use crate::case::Case;

/// Runs `check` so many times: the milliseconds of each, from start to end of the process.
///
/// # Errors
/// A program that cannot be run, or findings that are not the right ones.
pub fn check(program: &str, case: &Case, count: usize) -> Result<Vec<f64>, Failure> {
    let mut times = Vec::new();
    for _ in 0..count {
        let began = Instant::now();
        let output = Command::new(program)
            .args(["check", "--format", "json", "."])
            .current_dir(case.folder.path())
            .stderr(Stdio::null())
            .output()
            .map_err(|error| Failure(format!("cannot run `{program} check`: {error}")))?;
        times.push(began.elapsed().as_secs_f64() * 1e3);
        let told: Value = serde_json::from_slice(&output.stdout).map_err(|error| {
            Failure(format!(
                "`{program} check` wrote something that is not JSON: {error}"
            ))
        })?;
        let text = |value: &Value| {
            value
                .as_str()
                .unwrap_or("")
                .trim_start_matches("./")
                .to_string()
        };
        let findings = told["findings"].as_array();
        let mut found: Vec<(String, String)> = findings
            .into_iter()
            .flatten()
            .map(|finding| (text(&finding["file"]), text(&finding["code"])))
            .collect();
        let expected = case.expected.iter().flatten();
        let mut expected: Vec<(String, String)> = expected
            .map(|(file, code)| (file.clone(), code.to_string()))
            .collect();
        found.sort();
        expected.sort();
        if found != expected {
            let wrong = found.iter().find(|one| !expected.contains(one));
            return Err(Failure(format!(
                "`check` gives {} findings where {} belong; the first that does not belong: {wrong:?}",
                found.len(),
                expected.len()
            )));
        }
    }
    Ok(times)
}
