//! `bellwire format`.

use super::folder::{bellwire, fails, folder, site, text, write};
use bellwire_tests::CATALOG;

#[test]
fn format_names_what_it_leaves_alone() {
    let folder = folder(2, "");
    write(
        folder.path(),
        "sites/open.bell",
        "site open {\nsite other {\n rules   x\n}\n",
    );
    let output = bellwire(folder.path(), &["format", "--check", "sites/open.bell"]);
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = text(&output.stdout);
    assert!(
        said.starts_with("left in part sites/open.bell: its braces")
            && said.contains("would change sites/open.bell"),
        "{said}"
    );
}

#[test]
fn format_rewrites_and_with_check_only_tells() {
    let folder = folder(2, "");
    let ragged = site(2, "").replace("    bus keys", "bus    keys");
    write(folder.path(), "sites/quay.bell", &ragged);
    let used = CATALOG.replace("  standby", "  standby  ");
    write(folder.path(), "catalog.bell", &used);
    let quay = folder.path().join("sites/quay.bell");
    let output = bellwire(folder.path(), &["format", "--check", "sites"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stdout).contains("would change sites/quay.bell"),
        "{output:?}"
    );
    assert_eq!(std::fs::read_to_string(&quay).unwrap(), ragged);
    let output = bellwire(folder.path(), &["format", "sites"]);
    assert_eq!(output.status.code(), Some(0));
    let after = std::fs::read_to_string(&quay).unwrap();
    assert_ne!(after, ragged);
    // Nothing but blanks has changed, and a second time nothing at all.
    let words = |text: &str| text.split_whitespace().collect::<String>();
    assert_eq!(words(&after), words(&ragged));
    assert_eq!(
        bellwire(folder.path(), &["format", "--check", "sites"])
            .status
            .code(),
        Some(0)
    );
    // A file that is only used is not touched.
    let catalog = folder.path().join("catalog.bell");
    assert_eq!(std::fs::read_to_string(&catalog).unwrap(), used);
    // What cannot be read is left alone.
    let broken = "site a {\n  panel   m {\n";
    write(folder.path(), "sites/broken.bell", broken);
    assert_eq!(bellwire(folder.path(), &["format"]).status.code(), Some(0));
    assert_eq!(
        std::fs::read_to_string(folder.path().join("sites/broken.bell")).unwrap(),
        broken
    );
    let names: Vec<_> = std::fs::read_dir(folder.path().join("sites"))
        .unwrap()
        .collect();
    assert_eq!(names.len(), 2, "a draft is left");
    fails(&bellwire(folder.path(), &["format", "none"]), "none");
}

#[test]
fn format_goes_on_behind_a_file_that_it_cannot_write() {
    let folder = folder(2, "");
    let ragged = site(2, "").replace("    bus keys", "bus    keys");
    for name in ["a", "b", "c"] {
        let plan = ragged.replace("site quay", &format!("site quay-{name}"));
        write(folder.path(), &format!("sites/{name}.bell"), plan);
    }
    std::fs::remove_file(folder.path().join("sites/quay.bell")).unwrap();
    let kept = folder.path().join("sites/b.bell");
    let mut permissions = std::fs::metadata(&kept).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&kept, permissions).unwrap();
    let output = bellwire(folder.path(), &["format", "sites"]);
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    let said = text(&output.stderr);
    assert!(
        said.starts_with("bellwire: cannot write `sites/b.bell`: the file is read-only")
            && said.lines().count() == 1,
        "{said}"
    );
    assert_eq!(
        text(&output.stdout),
        "changed sites/a.bell\nchanged sites/c.bell\n2 of 3 files changed\n"
    );
    let left = std::fs::read_dir(folder.path().join("sites")).unwrap();
    assert_eq!(left.count(), 3, "a draft is left");
    let checked = bellwire(folder.path(), &["format", "--check", "sites"]);
    let said = text(&checked.stdout);
    assert_eq!(
        said,
        "would change sites/b.bell\n1 of 3 files would change\n"
    );
}

#[cfg(unix)]
#[test]
fn other_names_of_a_file_that_was_rewritten_are_told() {
    let folder = folder(2, "");
    write(folder.path(), "a.bell", "site   a {\n}\n");
    let names = ["a.bell", "b.copy"].map(|name| folder.path().join(name));
    std::fs::hard_link(&names[0], &names[1]).unwrap();
    let said = |arguments: &[&str]| {
        let output = bellwire(folder.path(), arguments);
        assert_ne!(output.status.code(), Some(2), "{output:?}");
        text(&output.stderr)
    };
    assert_eq!(said(&["format", "--check", "a.bell"]), "");
    assert_eq!(
        said(&["format", "a.bell"]),
        "bellwire: `a.bell` has 1 other name (hard links), under which the old text stays\n"
    );
    assert_eq!(said(&["format", "a.bell"]), "");
}
