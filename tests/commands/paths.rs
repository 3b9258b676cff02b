//! Which plans a command is about, and what is said where there are none.

use super::folder::{bellwire, fails, folder, json, text, write};

#[test]
fn paths_that_lead_to_nothing_are_said_so() {
    let folder = folder(2, "");
    fails(
        &bellwire(folder.path(), &["check", "none.bell"]),
        "no file or folder `none.bell`",
    );
    fails(
        &bellwire(folder.path(), &["figures", "none"]),
        "no file or folder `none`",
    );
    fails(
        &bellwire(folder.path(), &["check", "-"]),
        "not read from standard input",
    );
    fails(
        &bellwire(folder.path(), &["check", "--root", "none"]),
        "no file or folder `none`",
    );
    fails(
        &bellwire(folder.path(), &["check", "--root", "catalog.bell"]),
        "`catalog.bell` is not a folder",
    );
    // What is there and cannot be read has the name that it was given.
    std::fs::write(folder.path().join("wide.bell"), b"\xff\xfes\0").unwrap();
    fails(
        &bellwire(folder.path(), &["check", "wide.bell"]),
        "cannot read `wide.bell`: the file is UTF-16",
    );
    std::fs::remove_file(folder.path().join("wide.bell")).unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("nowhere", folder.path().join("dangling.bell")).unwrap();
        fails(
            &bellwire(folder.path(), &["check", "dangling.bell"]),
            "`dangling.bell` is a link that leads nowhere",
        );
        // In a folder it is passed over, as every link.
        assert_eq!(bellwire(folder.path(), &["check"]).status.code(), Some(0));
    }
}

/// Of two links that lead back, every way through them would be another file: more than any disk holds.
#[cfg(unix)]
#[test]
fn links_that_lead_back_are_followed_a_few_times_only() {
    let folder = folder(2, "");
    for link in ["back", "again"] {
        std::os::unix::fs::symlink(".", folder.path().join(link)).unwrap();
    }
    let plan = "use \"back/a.bell\"\nuse \"again/a.bell\"\n";
    write(folder.path(), "a.bell", plan);
    let output = bellwire(folder.path(), &["check", "a.bell", "--format", "json"]);
    let report = json(&output);
    // One over no link, two over one, four over two.
    assert_eq!(report["files"], 7);
    let findings = report["findings"].to_string();
    assert!(findings.contains("over more than 2 links: name the file where it really is"));
}

#[cfg(unix)]
#[test]
fn a_plan_by_several_names_is_one() {
    let folder = folder(2, "");
    std::os::unix::fs::symlink("sites", folder.path().join("link")).unwrap();
    for paths in [
        ["sites", "link"],
        ["link", "sites"],
        [".", "link"],
        ["sites/quay.bell", "link/quay.bell"],
        ["link", "sites/quay.bell"],
    ] {
        let arguments = ["check", paths[0], paths[1], "--format", "json"];
        let report = json(&bellwire(folder.path(), &arguments));
        assert_eq!(report["sites"], 1, "{paths:?}: {report}");
        assert_eq!(report["findings"], serde_json::json!([]), "{paths:?}");
    }
}

#[test]
fn a_folder_without_plans_is_said_to_have_none() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "notes.txt", "site harbour\n");
    for command in ["check", "figures", "format"] {
        let output = bellwire(folder.path(), &[command]);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        let said = text(&output.stderr);
        assert!(said.starts_with("bellwire: no plan under `.`"), "{said}");
    }
    write(folder.path(), "a.bell", "# to be written\n");
    let output = bellwire(folder.path(), &["check"]);
    assert_eq!(text(&output.stderr), "");
}

#[test]
fn what_git_ignores_and_what_is_hidden_is_left_out_of_a_folder() {
    let folder = folder(2, "");
    write(folder.path(), ".gitignore", "drafts/\n");
    for name in ["drafts/a.bell", ".hidden/b.bell", ".c.bell"] {
        write(folder.path(), name, "nonsense\n");
        let output = bellwire(folder.path(), &["check", name]);
        assert_eq!(output.status.code(), Some(1), "{name} is named");
    }
    let output = bellwire(folder.path(), &["check"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
}

#[test]
fn files_that_cannot_be_read_are_said_so() {
    let folder = folder(2, "");
    write(folder.path(), "latin.bell", b"site caf\xe9\n");
    fails(
        &bellwire(folder.path(), &["check", "latin.bell"]),
        "not UTF-8",
    );
    // Found in a folder, it is a finding.
    let output = bellwire(folder.path(), &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    let finding = &json(&output)["findings"][0];
    assert_eq!(
        (&finding["file"], &finding["code"]),
        (&"latin.bell".into(), &"syntax".into())
    );
}

#[test]
fn a_folder_by_the_name_of_a_plan_is_a_folder() {
    let folder = folder(2, "");
    write(folder.path(), "x.bell/inner.bell", "nonsense\n");
    let output = bellwire(folder.path(), &["check", "x.bell", "--format", "json"]);
    assert_eq!(json(&output)["findings"][0]["file"], "x.bell/inner.bell");
    write(folder.path(), "user.bell", "use \"x.bell\"\n");
    let output = bellwire(folder.path(), &["check", "user.bell"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("folder"), "{output:?}");
}

#[test]
fn plans_are_checked_from_inside_and_outside_a_checkout() {
    let folder = folder(2, "");
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    for (from, path) in [
        (".", "sites"),
        ("sites", "."),
        ("sites", "quay.bell"),
        ("/", &*folder.path().display().to_string()),
    ] {
        let output = bellwire(&folder.path().join(from), &["check", path]);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{from} {path}: {}",
            text(&output.stdout)
        );
    }
    std::fs::remove_dir(folder.path().join(".git")).unwrap();
    let inside = folder.path().join("sites");
    let output = bellwire(&inside, &["check"]);
    assert!(text(&output.stdout).contains("import-outside"));
    let output = bellwire(&inside, &["check", "--root", ".."]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
}
