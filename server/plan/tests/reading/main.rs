//! What is said of plans that cannot be read as they are: the shape of
//! statements, units, names and imports.

#[path = "../common/mod.rs"]
mod common;

mod follows;
mod lines;
mod names;
mod slips;
mod values;
mod words;

use common::findings_of;
use expect_test::Expect;

/// Findings of several texts, each text shown before its own.
fn check(texts: &[&str], expect: Expect) {
    let mut seen = String::new();
    for text in texts {
        for line in text.lines() {
            seen += &format!("| {line}\n");
        }
        seen += &findings_of(text);
        seen += "\n";
    }
    expect.assert_eq(&seen);
}
