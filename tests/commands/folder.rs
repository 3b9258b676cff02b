//! A folder of plans, and the program at work in it. Makers and models are invented.

use std::path::Path;
use std::process::{Command, Output};

use bellwire_tests::CATALOG;
use serde_json::Value;
use tempfile::TempDir;

pub fn site(address: u32, accept: &str) -> String {
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

pub fn folder(address: u32, accept: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "catalog.bell", CATALOG);
    write(folder.path(), "sites/quay.bell", site(address, accept));
    folder
}

pub fn write(folder: &Path, name: &str, text: impl AsRef<[u8]>) {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

pub fn bellwire(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bellwire"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

pub fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {output:?}"))
}

/// That a command could not run, for the reason that one line names.
#[track_caller]
pub fn fails(output: &Output, reason: &str) {
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    let line = text(&output.stderr);
    assert!(
        line.starts_with("bellwire: ") && line.lines().count() == 1,
        "{line}"
    );
    assert!(line.contains(reason), "{line}");
    assert!(output.stdout.is_empty());
}
