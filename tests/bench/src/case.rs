//! What is measured on.

use std::path::PathBuf;

use tempfile::TempDir;

use crate::script::{BELLWIRE, Language, PYTHON, YAML};
use crate::workload::{Workload, other};
use crate::{Failure, SEED};

/// What kind of work a case is, and how much of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// One plan of so many lines.
    Lines(usize),
    /// One panel with so many devices.
    Devices(usize),
    /// A workspace of so many sites.
    Sites(usize),
    /// A Python module of so many lines.
    Python(usize),
    /// A YAML document of so many lines.
    Yaml(usize),
}

/// The cases for Bellwire, smallest first.
pub const PLANS: [Kind; 8] = [
    Kind::Lines(1_000),
    Kind::Lines(10_000),
    Kind::Lines(100_000),
    Kind::Devices(2_000),
    Kind::Sites(10),
    Kind::Sites(100),
    Kind::Sites(1_000),
    Kind::Sites(10_000),
];

impl Kind {
    /// Its short name.
    pub fn name(self) -> String {
        match self {
            Kind::Lines(count) => format!("lines-{count}"),
            Kind::Devices(count) => format!("devices-{count}"),
            Kind::Sites(count) => format!("sites-{count}"),
            Kind::Python(count) => format!("python-{count}"),
            Kind::Yaml(count) => format!("yaml-{count}"),
        }
    }

    /// Its name for people.
    pub fn title(self) -> String {
        match self {
            Kind::Lines(count) => format!("One plan of {} lines", thousands(count)),
            Kind::Devices(count) => format!("One panel with {} devices", thousands(count)),
            Kind::Sites(count) => format!("A workspace of {} sites", thousands(count)),
            Kind::Python(count) => format!("A Python module of {} lines", thousands(count)),
            Kind::Yaml(count) => format!("A YAML document of {} lines", thousands(count)),
        }
    }

    /// Its size in lines, devices or sites.
    pub fn size(self) -> usize {
        match self {
            Kind::Lines(count)
            | Kind::Devices(count)
            | Kind::Sites(count)
            | Kind::Python(count)
            | Kind::Yaml(count) => count,
        }
    }
}

/// A number with commas between its thousands.
pub fn thousands(number: usize) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A case, written out.
pub struct Case {
    /// What it is.
    pub kind: Kind,
    /// How its language is typed.
    pub language: Language,
    /// The folder; it goes with the case.
    pub folder: TempDir,
    /// The file to edit.
    pub file: PathBuf,
    /// Its text.
    pub text: String,
    /// The findings that there must be: files in the folder, and codes. `None` if nobody knows.
    pub expected: Option<Vec<(String, &'static str)>>,
}

impl Case {
    /// Writes a case into a folder of its own.
    ///
    /// # Errors
    /// What the disk says.
    pub fn write(kind: Kind) -> Result<Case, Failure> {
        let folder = TempDir::with_prefix("bench-")?;
        let work = match kind {
            Kind::Lines(count) => Workload::file(SEED, count),
            Kind::Devices(count) => Workload::panel(SEED, count),
            Kind::Sites(count) => Workload::workspace(SEED, count),
            Kind::Python(count) => alone("drops.py", other::python(count)),
            Kind::Yaml(count) => alone("rooms.yaml", other::yaml(count)),
        };
        work.write(folder.path())?;
        let (path, text) = work.edited();
        let language = match kind {
            Kind::Python(_) => PYTHON,
            Kind::Yaml(_) => YAML,
            _ => BELLWIRE,
        };
        Ok(Case {
            kind,
            language,
            file: folder.path().join(path),
            text: text.to_string(),
            expected: (language.id == BELLWIRE.id).then_some(work.expected),
            folder,
        })
    }
}

fn alone(path: &str, text: String) -> Workload {
    Workload {
        files: vec![(path.to_string(), text)],
        expected: Vec::new(),
    }
}
