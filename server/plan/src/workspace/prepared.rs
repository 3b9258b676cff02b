//! Files that are worked out beside the workspace, before its owner takes them in.

use std::sync::Arc;

use super::entry::Entry;
use super::files::{ImportState, Read};
use super::shared::Shared;
use super::work_out::evaluated;
use crate::day::Day;
use crate::source::FilePath;

/// A file that nobody has open, worked out as far as itself and what it uses tell.
pub struct Prepared {
    entry: Entry,
    /// The day that counted as today.
    today: Day,
}

impl Prepared {
    /// Parses a file as it was read, and works it out if everything that it uses is there. One
    /// thread does it all, so that what it has made is at hand, and the memory of what is not
    /// kept is soon used again.
    pub(super) fn new(
        path: FilePath,
        read: Read,
        shared: &Shared,
    ) -> Result<Prepared, ImportState> {
        let entry = Entry::new(Arc::new(read.file(path)?), None);
        let mut imports = entry.imports.iter();
        let is_whole = imports.all(|import| shared.entries.contains_key(&import.target));
        Ok(Prepared {
            entry: match is_whole {
                true => evaluated(&entry, shared).at_rest(|_| false),
                false => entry,
            },
            today: shared.today,
        })
    }

    /// The file's name.
    pub fn path(&self) -> &FilePath {
        self.entry.file.path()
    }

    /// The file on a day. What was worked out for it still holds, unless its scope has changed.
    pub(super) fn on(self, today: Day) -> Entry {
        match self.today == today {
            true => self.entry,
            false => Entry::new(self.entry.file, None),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{NoFiles, Workspace};
    use super::*;
    use crate::source::File;

    const CATALOG: &str = "model panel P { outputs aux 13.8 V, 1 A }\n";
    const SITE: &str = "use \"catalog.bell\"\nsite a {\n  panel main : P {\n    battery : sealed-12V-7Ah, fitted 2020-03\n  }\n}\n";

    fn workspace(year: i32) -> Workspace {
        let today = Day {
            year,
            month: 3,
            day: 1,
        };
        Workspace::new(Arc::new(NoFiles), today)
    }

    fn prepared(workspace: &Workspace, text: &str) -> Prepared {
        let read = Read::Text(text.to_string());
        let prepared = workspace.view().prepare(FilePath::new("/site.bell"), read);
        prepared.expect("there is a text")
    }

    /// The codes of what is found in the site.
    fn found(workspace: &Workspace) -> Vec<&'static str> {
        let view = workspace.view();
        let entry = view.entry(&FilePath::new("/site.bell"));
        let findings = entry.iter().flat_map(|entry| view.findings(entry));
        findings
            .map(|located| located.finding.code.name())
            .collect()
    }

    fn catalog(text: &str) -> Vec<File> {
        vec![File::new(FilePath::new("/catalog.bell"), text)]
    }

    #[test]
    fn what_is_prepared_is_what_is_put_in() {
        let mut workspace = workspace(2021);
        workspace.put(catalog(CATALOG));
        let prepared = prepared(&workspace, SITE);
        assert!(prepared.entry.is_evaluated());
        workspace.put_prepared(vec![prepared]);
        let mut other = self::workspace(2021);
        other.put(catalog(CATALOG));
        other.put(vec![File::new(FilePath::new("/site.bell"), SITE)]);
        assert_eq!(found(&workspace), found(&other));
    }

    #[test]
    fn what_it_uses_may_come_and_change_afterwards() {
        let mut workspace = workspace(2021);
        let early = prepared(&workspace, SITE);
        assert!(!early.entry.is_evaluated());
        workspace.put(catalog(CATALOG));
        let before = prepared(&workspace, SITE);
        workspace.put_prepared(vec![early]);
        assert!(!found(&workspace).contains(&"unknown-name"));
        workspace.put(catalog("model panel Q\n"));
        workspace.put_prepared(vec![before]);
        assert!(found(&workspace).contains(&"unknown-name"));
    }

    #[test]
    fn its_batteries_are_as_old_as_on_the_day_that_it_is_put_in() {
        // Nothing but the day tells the two workspaces apart.
        let text = SITE.replace("use \"catalog.bell\"\n", CATALOG);
        let mut early = workspace(2021);
        let of_then = prepared(&early, &text);
        early.put_prepared(vec![prepared(&early, &text)]);
        assert!(!found(&early).contains(&"battery-old"));
        let mut late = workspace(2031);
        late.put_prepared(vec![of_then]);
        assert!(found(&late).contains(&"battery-old"));
    }
}
