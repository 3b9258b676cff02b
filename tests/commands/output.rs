//! Where the output goes: a terminal, a pipe, a disk that is full.

use std::process::{Command, Stdio};

use super::folder::{bellwire, folder, text, write};

#[test]
fn there_is_no_colour_in_a_pipe() {
    let output = bellwire(folder(1, "").path(), &["check"]);
    assert!(!text(&output.stdout).contains('\u{1b}'));
}

/// `script` gives the program a terminal; it comes with every Linux that tests run on.
#[cfg(target_os = "linux")]
#[test]
fn there_is_colour_on_a_terminal_unless_it_is_refused() {
    let folder = folder(1, "");
    let is_coloured = |variable: &str, value: &str, arguments: &str| {
        let output = Command::new("script")
            .args(["--quiet", "--return", "--command"])
            .arg(format!(
                "{} check {arguments}",
                env!("CARGO_BIN_EXE_bellwire")
            ))
            .arg("/dev/null")
            .env_remove("NO_COLOR")
            .env("TERM", "xterm")
            .env(variable, value)
            .stdin(Stdio::null())
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(1), "{output:?}");
        let shown = text(&output.stdout);
        assert!(shown.contains("address-taken"), "{shown}");
        shown.contains('\u{1b}')
    };
    assert!(is_coloured("TERM", "xterm", ""));
    assert!(is_coloured("NO_COLOR", "", ""));
    assert!(!is_coloured("NO_COLOR", "1", ""));
    assert!(!is_coloured("TERM", "dumb", ""));
    assert!(!is_coloured("TERM", "xterm", "--colour never"));
    assert!(is_coloured("NO_COLOR", "1", "--color always"));
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let folder = folder(1, "");
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let output = Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .arg("check")
        .current_dir(folder.path())
        .stdout(writer)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    assert_eq!(text(&output.stderr), "");
}

#[test]
fn what_nobody_is_there_to_be_told_stops_nothing() {
    let folder = folder(1, "");
    let ended = |arguments: &[&str]| {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let mut program = Command::new(env!("CARGO_BIN_EXE_bellwire"));
        program.args(arguments).current_dir(folder.path());
        program.stderr(writer).output().unwrap()
    };
    assert_eq!(ended(&["check", "none.bell"]).status.code(), Some(2));
    write(folder.path(), "latin.bell", b"site caf\xe9\n");
    let output = ended(&["figures"]);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert!(text(&output.stdout).ends_with("1 site\n"), "{output:?}");
}

#[cfg(target_os = "linux")]
#[test]
fn what_cannot_be_written_is_said_so() {
    let full = std::fs::File::create("/dev/full").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .arg("explain")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    let said = text(&output.stderr);
    assert!(
        said.starts_with("bellwire: cannot write the result: "),
        "{said}"
    );
}
