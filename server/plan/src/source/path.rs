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

    /// Whether it names a document that was never saved: the editor's address for it, which starts
    /// with a scheme, `untitled:Untitled-1`.
    pub fn is_unsaved(&self) -> bool {
        let scheme = self.0.split_once(':').map_or("", |(scheme, _)| scheme);
        // A single letter is a drive.
        scheme.len() > 1 && scheme.bytes().all(|byte| byte.is_ascii_alphanumeric())
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

    /// The way from this file's folder to another file, as `use` has it. From a file that has
    /// no folder yet, since it was never saved, the whole way. `None` if no text can hold it.
    pub fn way_to(&self, other: &FilePath) -> Option<String> {
        if other.0.starts_with('/') && !self.0.starts_with('/') {
            return other.whole_way();
        }
        let folder = self.0.rsplit_once('/').map_or("", |(folder, _)| folder);
        let mut up: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
        let mut down: Vec<&str> = other.0.split('/').filter(|part| !part.is_empty()).collect();
        let same = up
            .iter()
            .zip(down.iter().take(down.len().saturating_sub(1)))
            .take_while(|(a, b)| a == b)
            .count();
        up.drain(..same);
        down.drain(..same);
        let steps = up.iter().map(|_| "..").chain(down);
        in_quotes(&steps.collect::<Vec<_>>().join("/"))
    }

    /// The way from the root, as `use` has it. `None` if no text can hold it.
    pub fn whole_way(&self) -> Option<String> {
        in_quotes(self.as_str())
    }
}

/// What can stand between quotes: a quote ends a text, and a line break its line.
fn in_quotes(way: &str) -> Option<String> {
    (!way.contains(['"', '\n', '\r'])).then(|| way.to_string())
}

impl std::fmt::Display for FilePath {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_seen_from_the_files_folder() {
        let way = |from, to| FilePath::new(from).way_to(&FilePath::new(to)).unwrap();
        assert_eq!(way("sites/a.bell", "catalog/m.bell"), "../catalog/m.bell");
        assert_eq!(way("a.bell", "catalog/m.bell"), "catalog/m.bell");
        assert_eq!(way("/w/sites/a.bell", "/w/sites/b.bell"), "b.bell");
        assert_eq!(way("/w/x/y/a.bell", "/w/b.bell"), "../../b.bell");
        assert_eq!(way("untitled:a", "/w/b.bell"), "/w/b.bell");
        let unsaved = |name| FilePath::new(name).is_unsaved();
        assert!(unsaved("untitled:Untitled-1") && unsaved("untitled:/w/a.bell"));
        assert!(!unsaved("/w/a:b.bell") && !unsaved("sites/a.bell") && !unsaved("c:/a.bell"));
        for (from, to) in [
            ("sites/a.bell", "catalog/m.bell"),
            ("/w/x/y/a.bell", "/w/b.bell"),
            ("untitled:a", "/w/b.bell"),
            ("untitled:/w/a.bell", "/w/b.bell"),
        ] {
            let (from, to) = (FilePath::new(from), FilePath::new(to));
            assert_eq!(from.join(&from.way_to(&to).unwrap()), to);
        }
    }

    #[test]
    fn what_no_text_can_hold_is_no_way() {
        let way = |from: &str, to: &str| FilePath::new(from).way_to(&FilePath::new(to));
        for name in ["my\"own\".bell", "a\nb.bell", "a\rb.bell"] {
            assert_eq!(way("/w/a.bell", &format!("/w/{name}")), None, "{name}");
            assert_eq!(way("untitled:a", &format!("/w/{name}")), None, "{name}");
        }
        // The folder that both are in is not on the way.
        assert_eq!(way("/w\"/a.bell", "/w\"/b c.bell"), Some("b c.bell".into()));
    }
}
