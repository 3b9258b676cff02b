//! Incremental equals from scratch: whatever is typed, a file and a workspace
//! that were edited are those that would be read anew.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use std::sync::Arc;

use bellwire_plan::source::{Change, File, FilePath};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{View, Workspace};
use common::{Disk, TODAY, all_seen, closed_workspace, demo, path, prepared_workspace, workspace};
use proptest::prelude::*;

/// Things that people type, and some that nobody should.
const TYPED: &[&str] = &[
    "",
    "\n",
    "{",
    "}",
    " ",
    "\"",
    ", address 2",
    "--12 m-- ",
    "front",
    "main.",
    "# ",
    "keypad k9 : K2",
    "\r\n",
    "Ω",
    "👍",
    "..",
    "1",
    "use \"../catalog/merrow.bell\"\n",
    "site x {\n}\n",
    "partition 7",
    ",",
    ":",
    "run r9 : copper-4x22AWG { main.keys --3 m-- front }\n",
    "accept battery-short \"seen\"\n",
];

#[derive(Debug, Clone)]
struct Edit {
    file: usize,
    at: usize,
    length: usize,
    text: &'static str,
}

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let length = prop_oneof![4 => Just(0usize), 4 => 0usize..12, 1 => 0usize..400];
    let edit = (
        any::<usize>(),
        any::<usize>(),
        length,
        prop::sample::select(TYPED),
    );
    let edit = edit.prop_map(|(file, at, length, text)| Edit {
        file,
        at,
        length,
        text,
    });
    prop::collection::vec(edit, 1..12)
}

fn change(text: &str, edit: &Edit) -> Change {
    let floor = |mut at: usize| {
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = floor(edit.at % (text.len() + 1));
    let end = floor((start + edit.length).min(text.len()));
    Change {
        range: Some(start..end.max(start)),
        text: edit.text.to_string(),
    }
}

fn apply(text: &str, change: &Change) -> String {
    let range = change.range.clone().expect("a range");
    format!(
        "{}{}{}",
        &text[..range.start],
        change.text,
        &text[range.end..]
    )
}

/// Everything about a file but the ids of its items.
fn contents(file: &File) -> String {
    let mut contents = file.text().to_string();
    contents += &format!("{}\n", file.is_by_indent());
    for (start, item) in file.items() {
        contents += &format!(
            "{start} {:?} {:?} {:?}\n",
            item.source(),
            item.root(),
            item.problems
        );
    }
    contents
}

/// What is known of who declares and uses what is what a look at every file finds.
fn assert_indexed(view: &View) {
    let files = || view.paths().into_iter();
    let looked_at = |holds: &dyn Fn(&FilePath) -> bool| -> Vec<FilePath> {
        files().filter(|path| holds(path)).collect()
    };
    for space in Space::LOOKED_UP {
        let declares = |path: &FilePath| view.file(path).is_some_and(|f| !f.all(space).is_empty());
        assert_eq!(view.declaring(space), looked_at(&declares), "{space:?}");
    }
    for target in files() {
        let uses = |path: &FilePath| {
            let entry = view.entry(path);
            entry.is_some_and(|entry| entry.imports.iter().any(|used| used.target == target))
        };
        assert_eq!(view.users(&target), looked_at(&uses), "{target}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn an_edited_file_is_the_file_read_anew(edits in edits()) {
        let demo: Vec<_> = demo().into_iter().collect();
        let (name, text) = &demo[edits[0].file % demo.len()];
        let mut text = text.clone();
        let mut file = File::new(path(name), &text);
        for edit in &edits {
            let change = change(&text, edit);
            text = apply(&text, &change);
            file = file.edit(&[change]);
            let anew = File::new(path(name), &text);
            prop_assert_eq!(contents(&file), contents(&anew));
        }
    }

    #[test]
    fn a_batch_of_changes_is_the_changes_one_by_one(edits in edits()) {
        let demo: Vec<_> = demo().into_iter().collect();
        let (name, text) = &demo[edits[0].file % demo.len()];
        let mut text = text.clone();
        let file = File::new(path(name), &text);
        let mut changes = Vec::new();
        for edit in &edits {
            let change = change(&text, edit);
            text = apply(&text, &change);
            changes.push(change);
        }
        let anew = File::new(path(name), &text);
        prop_assert_eq!(contents(&file.edit(&changes)), contents(&anew));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn an_edited_workspace_is_the_workspace_read_anew(edits in edits()) {
        let mut plans = demo();
        let names: Vec<String> = plans.keys().cloned().collect();
        let mut edited = workspace(&plans);
        for edit in &edits {
            let name = &names[edit.file % names.len()];
            let text = &plans[name];
            let change = change(text, edit);
            let next = apply(text, &change);
            let path = path(name);
            let file = edited.view().entry(&path).expect("the file").file.edit(&[change]);
            let touched = edited.put(vec![file]);
            prop_assert!(touched.contains(&path));
            plans.insert(name.clone(), next);
        }
        prop_assert_eq!(all_seen(&edited.view()), all_seen(&workspace(&plans).view()));
        assert_indexed(&edited.view());
        // What rests is made again as it was.
        let closed = closed_workspace(&plans).view();
        prop_assert_eq!(all_seen(&edited.view()), all_seen(&closed));
        prop_assert_eq!(all_seen(&closed), all_seen(&prepared_workspace(&plans).view()));
        for name in closed.paths() {
            let found = closed.entry(&name).map_or(0, |entry| closed.findings(&entry).len());
            prop_assert_eq!(closed.faulty(&name).is_some(), found > 0, "{}", name);
        }
    }

    #[test]
    fn only_touched_files_are_seen_to_change(edits in edits()) {
        let mut plans = demo();
        let names: Vec<String> = plans.keys().cloned().collect();
        let mut edited = workspace(&plans);
        for edit in &edits {
            let before = all_seen(&edited.view());
            let name = &names[edit.file % names.len()];
            let text = &plans[name];
            let change = change(text, edit);
            let next = apply(text, &change);
            let path = path(name);
            let file = edited.view().entry(&path).expect("the file").file.edit(&[change]);
            let touched = edited.put(vec![file]);
            plans.insert(name.clone(), next);
            for (name, now) in all_seen(&edited.view()) {
                if !touched.contains(&common::path(&name)) {
                    prop_assert_eq!(Some(&now), before.get(&name), "{}", name);
                }
            }
        }
    }
}

#[test]
fn a_site_is_not_worked_out_again_for_an_edit_beside_it() {
    let plans = demo();
    let name = "sites/harbour.bell";
    let first = "site other {\n  ambient 5 °C .. 35 °C\n}\n\n";
    let mut edited = Workspace::new(Arc::new(Disk(plans.clone())), TODAY);
    edited.put(vec![File::new(
        path(name),
        &format!("{first}{}", plans[name]),
    )]);
    let last = |edited: &Workspace| {
        let entry = edited.view().entry(&path(name)).expect("the plan");
        (entry.file.clone(), entry.evaluations.last().cloned())
    };
    for (at, typed) in [(0, "# Above.\n"), (first.find('5').expect("5"), "1")] {
        let (file, before) = last(&edited);
        edited.put(vec![file.edit(&[Change {
            range: Some(at..at),
            text: typed.to_string(),
        }])]);
        let (before, after) = (before.expect("the site"), last(&edited).1);
        assert!(before.is_site() && after.is_some_and(|after| Arc::ptr_eq(&before, &after)));
    }
}

#[test]
fn files_at_rest_follow_the_files_that_they_use() {
    let mut plans = demo();
    let mut edited = closed_workspace(&plans);
    let catalog = "catalog/merrow.bell";
    for (from, to) in [
        ("45 mA", "450 mA"),
        ("model keypad K2 ", "model keypad K3 "),
    ] {
        let text = plans[catalog].replace(from, to);
        assert_ne!(text, plans[catalog]);
        edited.put(vec![File::closed(path(catalog), &text)]);
        plans.insert(catalog.to_string(), text);
        assert_eq!(
            all_seen(&edited.view()),
            all_seen(&workspace(&plans).view())
        );
    }
}

#[test]
fn a_file_that_goes_and_comes_back_leaves_no_trace() {
    let plans = demo();
    let mut edited = workspace(&plans);
    let before = all_seen(&edited.view());
    let catalog = path("catalog/merrow.bell");
    // The disk still has it, and it is used: it is read again at once.
    edited.remove(std::slice::from_ref(&catalog));
    assert_eq!(all_seen(&edited.view()), before);
    assert_indexed(&edited.view());
    let site = path("sites/harbour.bell");
    edited.put(vec![File::new(site.clone(), "model keypad K {\n}\n")]);
    assert_indexed(&edited.view());
    edited.remove(&[site]);
    assert_indexed(&edited.view());
}

#[test]
fn a_used_file_that_appears_is_noticed() {
    let mut plans = demo();
    let catalog = plans.remove("catalog/merrow.bell").expect("the catalog");
    let mut edited = Workspace::new(Arc::new(Disk(plans.clone())), TODAY);
    let files = plans.iter().map(|(name, text)| File::new(path(name), text));
    edited.put(files.collect());
    let view = edited.view();
    let seen = all_seen(&view);
    assert!(
        seen["sites/harbour.bell"].contains("import-missing"),
        "{}",
        seen["sites/harbour.bell"]
    );
    // What it would bring is told once, where it is missing.
    assert!(
        !seen.values().any(|seen| seen.contains("unknown-name")),
        "{}",
        seen["sites/harbour.bell"]
    );
    let other = catalog.replace("model keypad K2 ", "model keypad K3 ");
    edited.put(vec![File::new(path("catalog/merrow.bell"), &other)]);
    plans.insert("catalog/merrow.bell".to_string(), other);
    let seen = all_seen(&view);
    assert_eq!(seen, all_seen(&workspace(&plans).view()));
    assert!(seen["sites/harbour.bell"].contains("no keypad model is called `K2`"));
    edited.put(vec![File::new(path("catalog/merrow.bell"), &catalog)]);
    assert_eq!(all_seen(&view), all_seen(&workspace(&demo()).view()));
}

#[test]
fn a_file_learns_that_somebody_uses_it_and_that_nobody_does_any_more() {
    let own = "model keypad K {\n}\nsite a {\n}\n";
    let mut plans = std::collections::BTreeMap::new();
    plans.insert("a.bell".to_string(), own.to_string());
    plans.insert("b.bell".to_string(), String::new());
    let mut edited = workspace(&plans);
    let mut was_unused = true;
    for text in ["use \"a.bell\"\n", "use \"gone.bell\"\n", ""] {
        plans.insert("b.bell".to_string(), text.to_string());
        let touched = edited.put(vec![File::new(path("b.bell"), text)]);
        let anew = all_seen(&workspace(&plans).view());
        assert_eq!(all_seen(&edited.view()), anew, "{text}");
        let is_unused = anew["a.bell"].contains("unused");
        assert_eq!(is_unused, !text.contains("a.bell"));
        if is_unused != was_unused {
            assert!(touched.contains(&path("a.bell")), "{text}");
        }
        was_unused = is_unused;
    }
}

#[test]
fn rivals_are_named_in_one_order_however_they_came() {
    let site = "site same {\n}\nsite same {\n}\n";
    let names = ["c.bell", "a.bell", "b.bell"];
    let plans = names.map(|name| (name.to_string(), site.to_string()));
    let plans = plans.into_iter().collect();
    let anew = all_seen(&workspace(&plans).view());
    assert!(anew["a.bell"].contains("6 sites are called `same`"));
    let mut one_by_one = Workspace::new(Arc::new(Disk(plans.clone())), TODAY);
    for name in names {
        one_by_one.put(vec![File::new(path(name), "")]);
        one_by_one.put(vec![File::new(path(name), site)]);
    }
    assert_eq!(all_seen(&one_by_one.view()), anew);
}

/// Types over `cut`, which stands between `before` and `behind`.
fn assert_read_as_anew(before: &str, cut: &str, typed: &str, behind: &str) {
    let plans = |text: String| [("a.bell".to_string(), text)].into();
    let case = format!("{typed:?} for {cut:?} behind {before:?}");
    let mut edited = workspace(&plans(format!("{before}{cut}{behind}")));
    let file = edited.view().file(&path("a.bell")).expect("the file");
    let file = file.edit(&[Change {
        range: Some(before.len()..before.len() + cut.len()),
        text: typed.to_string(),
    }]);
    let text = format!("{before}{typed}{behind}");
    let anew = File::new(path("a.bell"), &text);
    assert_eq!(contents(&file), contents(&anew), "{case}");
    edited.put(vec![file]);
    let anew = workspace(&plans(text));
    let (edited, anew) = (all_seen(&edited.view()), all_seen(&anew.view()));
    assert_eq!(edited, anew, "{case}");
}

#[test]
fn a_line_is_read_as_a_whole_wherever_on_it_something_is_typed() {
    for (before, typed, behind) in [
        ("keypad ", "x", ""),
        ("keypad a\t", ": K2", ""),
        ("use \"a.bell\" \nsite a ", "\"b\"", ""),
        ("site a {\n} ", "site b {\n}", ""),
        ("site a # note", " and more", ""),
        ("site a\n", "site b", ""),
        ("-\0", "0", ""),
        ("", "\"Shop,", "{{}}d\nsite a"),
        ("", "# ", "{{}}d\nsite a"),
        ("site a {\n} ", "# ", "site b {\n}\nsite c"),
        ("site a {\n}", "\n", "site b"),
    ] {
        assert_read_as_anew(before, "", typed, behind);
    }
}

#[test]
fn what_a_line_says_does_not_hang_on_how_it_was_typed() {
    for (before, cut, typed, behind) in [
        // A line that is noted, one below it, and a block that goes on.
        ("site a {\n  # Why.\n  panel m ", "", ": M8", "\n}\n"),
        (
            "site a {\n  panel m\n  # Why.\n  note ",
            "",
            "\"b\"",
            "\n  ambient 5 °C\n}\n",
        ),
        (
            "site a {\n  panel m { no",
            "te",
            "",
            " }\n  # b\n  joint j\n}\n",
        ),
        // A block that is not closed ends where its last line does.
        (
            "site a {\n  panel m {\n    note ",
            "",
            "\"longer\"",
            "\n  joint j\n}\n",
        ),
        (
            "site a {\n  run r {\n    a --2 m-- ",
            "bcdef",
            "b",
            " # c\n  joint j\n}\n",
        ),
        // Where braces do not match, indentation counts.
        (
            "site a {\n  run r {\n  ",
            "  ",
            "",
            "joint j\n  joint k\n}\n",
        ),
        (
            "site a {\n  run r {\n  ",
            "",
            "  ",
            "joint j\n  joint k\n}\n",
        ),
        // A line that begins with a comma takes up no more than its clause.
        (
            "site a {\n  , address ",
            "2",
            "3",
            "\n    joint j\n  run r {\n}\n",
        ),
        // Something is wrong on the line, above it, below it.
        (
            "site a {\n  joint \"j\n  joint ",
            "",
            "kl",
            "\n  note \"b\n}\n",
        ),
        ("site a {\n  joint \"j", "", "\"", "\n  note \"b\n}\n"),
        ("site a {\n  joint : ", ": ", "", "\n  note \"b\n}\n"),
        // What was right stands in front of something else now.
        (
            "site a {\n  run r : c\n  ",
            "",
            "z ",
            "{ a --2 m-- b }\n}\n",
        ),
        (
            "model panel m {\n  inputs 1 .. 8, loop a\n  ",
            "",
            "z ",
            "{ reads normal }\n}\n",
        ),
        // It becomes something else, or two.
        ("site a {\n  ", "", "#", "joint j\n  joint k\n}\n"),
        ("site a {\n  panel m ", "", "{", "\n  joint k\n}\n"),
        ("site a {\n  joint j ", "", "}", "\n  joint k\n}\n"),
        (
            "site a {\n  panel m {\n    joint j ",
            "}",
            "",
            "\n  joint k\n}\n",
        ),
        ("site a {\n  ", "joint j", "", "\n  joint k\n}\n"),
        ("site a {\r", "", "joint j", "\n  joint k\n}\n"),
    ] {
        assert_read_as_anew(before, cut, typed, behind);
    }
}

/// As deep as blocks are read, and deeper.
#[test]
fn a_line_is_read_by_its_depth() {
    for depth in 28..36 {
        let before = "a {\n".repeat(depth);
        let behind = format!(" }}\n{}", "}\n".repeat(depth));
        assert_read_as_anew(&format!("{before}b {{ c "), "", "d", &behind);
        assert_read_as_anew(&format!("{before}b "), "", "{ c", &behind);
    }
}

#[test]
fn a_comment_takes_in_what_comes_behind_it_on_its_line() {
    // An indented statement, and one whose note an edit joins to the line above
    // while braces do not match.
    for (before, cut, typed, behind) in [
        ("use \"b.bell\"\n ", "", "#", "zone 1\nsite a\n"),
        (
            "site a {\nsite b {\n  panel ",
            "c\n",
            "d",
            "  # e\nsite f\n",
        ),
        ("site a {\nsite b {\n  panel c", "\n", "", "site f\n"),
    ] {
        assert_read_as_anew(before, cut, typed, behind);
    }
}

#[test]
fn a_model_that_loses_its_name_keeps_those_quiet_that_need_its_kind() {
    let user = "use \"models.bell\"\nsite a {\n  keypad k : K\n  detector d : D\n}\n";
    let mut plans = std::collections::BTreeMap::new();
    plans.insert("a.bell".to_string(), user.to_string());
    plans.insert("models.bell".to_string(), String::new());
    let mut edited = workspace(&plans);
    let mut unknown = |models: &str| {
        plans.insert("models.bell".to_string(), models.to_string());
        edited.put(vec![File::new(path("models.bell"), models)]);
        let seen = all_seen(&edited.view());
        assert_eq!(seen, all_seen(&workspace(&plans).view()), "{models}");
        ["`K`", "`D`"].map(|name| seen["a.bell"].contains(&format!("model is called {name}")))
    };
    assert_eq!(unknown("model keypad K\n"), [false, true]);
    assert_eq!(unknown("model keypad\n"), [false, true]);
    assert_eq!(unknown("model keypad L\n"), [true, true]);
    // Of which kind it is cannot be told.
    assert_eq!(unknown("model K\n"), [false, false]);
    assert_eq!(unknown("rules\n"), [true, true]);
}

#[test]
fn an_account_goes_with_its_centre() {
    let site = |name: &str, account: u32| {
        format!("use \"centre.bell\"\nsite {name} {{\n  report c, account {account}\n}}\n")
    };
    let mut plans = std::collections::BTreeMap::new();
    plans.insert("a.bell".to_string(), site("a", 1));
    plans.insert("b.bell".to_string(), site("b", 2));
    plans.insert("centre.bell".to_string(), "monitoring c\n".to_string());
    let mut edited = workspace(&plans);
    let mut put = |name: &str, text: &str| {
        plans.insert(name.to_string(), text.to_string());
        edited.put(vec![File::new(path(name), text)]);
        let seen = all_seen(&edited.view());
        assert_eq!(seen, all_seen(&workspace(&plans).view()), "{name}: {text}");
        seen["b.bell"].contains("account-taken")
    };
    assert!(put("b.bell", &site("b", 1)));
    assert!(!put("centre.bell", "monitoring d\n"));
    assert!(put("centre.bell", "monitoring c\n"));
    // The site stays word for word, but means no centre any more.
    assert!(!put("a.bell", &site("a", 1).replace("use", "# use")));
    assert!(put("a.bell", &site("a", 1)));
}
