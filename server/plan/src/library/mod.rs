//! The built-in library: cables, batteries, rule sets. It is written in the
//! notation itself, ships inside the program, and is always in scope.

use std::sync::{Arc, LazyLock};

use crate::source::{File, FilePath};

/// The folder that the library's files seem to be in.
pub const FOLDER: &str = "bellwire-library";

const FILES: &[(&str, &str)] = &[
    ("cables.bell", include_str!("cables.bell")),
    ("batteries.bell", include_str!("batteries.bell")),
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
