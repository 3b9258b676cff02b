//! The built-in library: cables, batteries, resistors, rule sets. It is written in the
//! notation itself, ships inside the program, and is always in scope.

use std::sync::{Arc, LazyLock};

use bellwire_circuit::Series;

use crate::model::Model;
use crate::source::{File, FilePath};
use crate::vocabulary::Space;

/// The folder that the library's files seem to be in.
pub const FOLDER: &str = "bellwire-library";

const FILES: &[(&str, &str)] = &[
    ("cables.bell", include_str!("cables.bell")),
    ("batteries.bell", include_str!("batteries.bell")),
    ("resistors.bell", include_str!("resistors.bell")),
    ("rules.bell", include_str!("rules.bell")),
];

/// The files of the library.
pub static LIBRARY: LazyLock<Vec<Arc<File>>> = LazyLock::new(|| {
    FILES
        .iter()
        .map(|(name, text)| {
            let path = FilePath::new(&format!("{FOLDER}/{name}"));
            Arc::new(File::new(path, text))
        })
        .collect()
});

/// The file of the library with that name, as [`FilePath`] gives it.
pub fn file(path: &FilePath) -> Option<&'static Arc<File>> {
    LIBRARY.iter().find(|file| file.path() == path)
}

/// The library's series of resistor values with that name.
pub fn series(name: &str) -> Option<Series> {
    let mut files = LIBRARY.iter();
    let found = files.find_map(|file| file.declared(Space::Model, name))?;
    found.model().and_then(Model::series).cloned()
}
