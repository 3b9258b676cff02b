//! When files move, the paths in their `use` lines, and in those of others
//! that use them, move along.

use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::View;

use crate::edit::{Edit, FileEdits};
use crate::imports;
use crate::walk::entries;

/// The edits that keep every `use` pointing at the same file when files, or
/// folders with all that is in them, get new names: `(old, new)`. The edits are
/// for the files under their old names, before anything is moved.
pub fn rename_files(view: &View, renames: &[(FilePath, FilePath)]) -> Vec<FileEdits> {
    let mut found = Vec::new();
    for entry in entries(view) {
        let mut edits = Vec::new();
        let path = entry.file.path();
        let home = moved(path, renames).unwrap_or_else(|| path.clone());
        for import in &entry.imports {
            let target = moved(&import.target, renames);
            let target = target.as_ref().unwrap_or(&import.target);
            let text = import.item.text(import.span);
            if home.join(text) == *target {
                continue;
            }
            let way = match text.starts_with('/') {
                true => target.whole_way(),
                false => home.way_to(target),
            };
            let place = imports::place(&entry, import);
            edits.extend(place.zip(way).map(|(range, text)| Edit { range, text }));
        }
        if !edits.is_empty() {
            found.push(FileEdits {
                file: entry.file.clone(),
                edits,
            });
        }
    }
    found
}

/// The new name of a file that is renamed itself, or whose folder is.
fn moved(path: &FilePath, renames: &[(FilePath, FilePath)]) -> Option<FilePath> {
    renames.iter().find_map(|(old, new)| {
        let (old, new) = (old.as_str(), new.as_str());
        let inner = path.as_str().strip_prefix(old.trim_end_matches('/'))?;
        let is_inside = inner.is_empty() || inner.starts_with('/');
        is_inside.then(|| FilePath::new(&format!("{}{inner}", new.trim_end_matches('/'))))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    fn check(renames: &[(&str, &str)], expected: Expect) {
        let (view, _, _) = fixture(
            "\
//- sites/harbour.bell
//- sites/quay.bell
use \"/catalog/merrow.bell\"
use \"harbour.bell\"
use \"../gone.bell\"
//- notes.bell
use \"sites/./quay.bell\"
",
        );
        let renames: Vec<_> = renames
            .iter()
            .map(|(old, new)| (FilePath::new(old), FilePath::new(new)))
            .collect();
        let mut shown = String::new();
        for FileEdits { file, edits } in rename_files(&view, &renames) {
            for edit in edits {
                let old = file.text().slice(edit.range);
                shown += &format!("{}: {old} → {}\n", file.path(), edit.text);
            }
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn a_file_that_others_use_takes_them_along() {
        check(
            &[("catalog/merrow.bell", "catalog/old/m.bell")],
            expect![[r#"
                sites/harbour.bell: ../catalog/merrow.bell → ../catalog/old/m.bell
            "#]],
        );
    }

    #[test]
    fn a_file_that_uses_others_keeps_them() {
        check(
            &[("sites/harbour.bell", "harbour.bell")],
            expect![[r#"
            sites/quay.bell: harbour.bell → ../harbour.bell
        "#]],
        );
    }

    #[test]
    fn a_folder_moves_with_all_that_is_in_it() {
        check(
            &[("sites", "customers/tidewheel")],
            expect![[r#"
            notes.bell: sites/./quay.bell → customers/tidewheel/quay.bell
            sites/harbour.bell: ../catalog/merrow.bell → ../../catalog/merrow.bell
            sites/harbour.bell: ../shared/monitoring.bell → ../../shared/monitoring.bell
            sites/quay.bell: ../gone.bell → ../../gone.bell
        "#]],
        );
        check(
            &[("sites/", "old")],
            expect![[r#"
            notes.bell: sites/./quay.bell → old/quay.bell
        "#]],
        );
    }

    #[test]
    fn several_files_move_at_once() {
        check(
            &[
                ("sites/quay.bell", "quay.bell"),
                ("catalog", "sites/catalog"),
            ],
            expect![[r#"
                notes.bell: sites/./quay.bell → quay.bell
                sites/harbour.bell: ../catalog/merrow.bell → catalog/merrow.bell
                sites/quay.bell: harbour.bell → sites/harbour.bell
            "#]],
        );
    }

    /// The `use` of such a file stays as it is, and is told to lead nowhere.
    #[test]
    fn a_name_that_no_use_can_hold_is_written_into_none() {
        check(
            &[
                ("sites/harbour.bell", "sites/\"harbour\".bell"),
                ("catalog/merrow.bell", "catalog/mer\nrow.bell"),
            ],
            expect![[""]],
        );
    }

    #[test]
    fn what_nobody_uses_changes_nothing() {
        check(
            &[("sites/har", "x"), ("nowhere.bell", "y.bell")],
            expect![[""]],
        );
    }
}
