//! The command line, as scripts and people use it: exit codes, and what comes out.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod check;
mod explain;
mod figures;
mod folder;
mod format;
mod output;
mod pages;
mod paths;

use folder::bellwire;

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
        &["explain", "--help"],
        &["serve", "--help"],
    ] {
        let output = bellwire(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert!(!output.stdout.is_empty());
    }
}
