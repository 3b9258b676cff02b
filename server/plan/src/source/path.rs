//! The names of files.

use std::sync::Arc;

/// The name of a file, as whoever reads files has given it: `/`-separated and
/// without `.` and `..`, so that equal names are the same file.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FilePath(Arc<str>);

impl FilePath {
    /// A name, taken as it is.
    pub fn new(name: &str) -> FilePath {
        FilePath(name.into())
    }

    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The name of the file at `relative`, seen from this file's folder.
    /// Steps above the root are left out.
    pub fn join(&self, relative: &str) -> FilePath {
        let folder = self.0.rsplit_once('/').map_or("", |(folder, _)| folder);
        let absolute = relative.starts_with('/');
        let mut parts: Vec<&str> = Vec::new();
        let base = if absolute { "" } else { folder };
        for part in base.split('/').chain(relative.split('/')) {
            match part {
                "" | "." => {}
                ".." => {
                    parts.pop();
                }
                part => parts.push(part),
            }
        }
        let root = if absolute || folder.starts_with('/') || self.0.starts_with('/') {
            "/"
        } else {
            ""
        };
        FilePath(format!("{root}{}", parts.join("/")).into())
    }
}

impl std::fmt::Display for FilePath {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}
