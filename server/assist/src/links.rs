//! The paths of `use` lines, to be followed.

use std::ops::Range;

use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::{Entry, View};

use crate::imports;

/// A path that can be followed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The path, between its quotes.
    pub range: Range<usize>,
    /// The file that it names.
    pub target: FilePath,
}

/// The files that a file uses and that are there, in the order of the text.
pub fn links(view: &View, entry: &Entry) -> Vec<Link> {
    let imports = entry.imports.iter();
    imports
        .filter(|import| view.has(&import.target))
        .filter_map(|import| {
            Some(Link {
                range: imports::place(entry, import)?,
                target: import.target.clone(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::expect;

    #[test]
    fn files_that_are_there_are_linked() {
        let (view, entry, _) = fixture(
            "use \"../catalog/merrow.bell\"\nuse \"nowhere.bell\"\nuse\nsite a\nuse \"/shared/../sites/harbour.bell\"\nuse \"harbour.bell\" # here\n",
        );
        let show = |link: Link| {
            let text = entry.file.text().slice(link.range);
            format!("{text} → {}\n", link.target)
        };
        let shown: String = links(&view, &entry).into_iter().map(show).collect();
        expect![[r#"
            ../catalog/merrow.bell → catalog/merrow.bell
            harbour.bell → sites/harbour.bell
        "#]]
        .assert_eq(&shown);
    }
}
