//! Plans for tests, with a mark where the cursor is.

use std::sync::Arc;

use bellwire_plan::day::Day;
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Entry, Files, Read, View, Workspace};

/// The mark of the cursor.
const MARK: &str = "$0";

/// The demo's files, shorter and without its mistakes. Whatever a test's plan uses is read from here.
const DEMO: &[(&str, &str)] = &[
    ("catalog/merrow.bell", include_str!("fixture/merrow.bell")),
    (
        "shared/monitoring.bell",
        include_str!("fixture/monitoring.bell"),
    ),
    ("sites/harbour.bell", include_str!("fixture/harbour.bell")),
];

struct Demo;

impl Files for Demo {
    fn read(&self, path: &FilePath) -> Read {
        match demo_file(path.as_str()) {
            Some(text) => Read::Text(text.to_string()),
            None => Read::Absent,
        }
    }
}

fn demo_file(path: &str) -> Option<&'static str> {
    let found = DEMO.iter().find(|(name, _)| *name == path)?;
    Some(found.1)
}

/// A workspace of `text`, and the cursor in it.
///
/// `//- sites/other.bell` on a line of its own starts a file; one without
/// contents is the demo's of that name. Text before the first such line is
/// `sites/plan.bell`. The cursor stands at `$0`; without it, at the end of the
/// first file.
pub(crate) fn fixture(text: &str) -> (View, Arc<Entry>, usize) {
    let mut files: Vec<(String, String)> = Vec::new();
    if !text.starts_with("//- ") {
        files.push(("sites/plan.bell".to_string(), String::new()));
    }
    for line in text.split_inclusive('\n') {
        if let Some(path) = line.strip_prefix("//- ") {
            files.push((path.trim().to_string(), String::new()));
            continue;
        }
        if let Some((_, contents)) = files.last_mut() {
            contents.push_str(line);
        }
    }
    let mut cursor = None;
    for (path, contents) in &mut files {
        if contents.is_empty()
            && let Some(text) = demo_file(path)
        {
            *contents = text.to_string();
        }
        if let Some(at) = contents.find(MARK) {
            contents.replace_range(at..at + MARK.len(), "");
            cursor = Some((path.clone(), at));
        }
    }
    let (path, offset) = cursor.unwrap_or_else(|| (files[0].0.clone(), files[0].1.len()));
    let today = Day {
        year: 2026,
        month: 5,
        day: 4,
    };
    let mut workspace = Workspace::new(Arc::new(Demo), today);
    let files = files.iter();
    workspace.put(
        files
            .map(|(path, contents)| File::new(FilePath::new(path), contents))
            .collect(),
    );
    let view = workspace.view();
    let entry = view.entry(&FilePath::new(&path)).expect("the file is put");
    (view, entry, offset)
}

/// The demo's `sites/harbour.bell` with one piece of text, which must be there
/// once, replaced; the cursor stands where `$0` is in `to`.
pub(crate) fn harbour(from: &str, to: &str) -> (View, Arc<Entry>, usize) {
    let text = demo_file("sites/harbour.bell").expect("the demo has it");
    changed(text, from, to)
}

/// The same, with the demo's site in feet and °F.
pub(crate) fn harbour_in_feet(from: &str, to: &str) -> (View, Arc<Entry>, usize) {
    let text = demo_file("sites/harbour.bell").expect("the demo has it");
    let text = text.replace(" m--", "0 ft--");
    let text = text.replace("5 °C .. 35 °C", "40 °F .. 95 °F");
    changed(&text, from, to)
}

fn changed(text: &str, from: &str, to: &str) -> (View, Arc<Entry>, usize) {
    assert_eq!(text.matches(from).count(), 1, "`{from}` in the demo");
    fixture(&format!(
        "//- sites/harbour.bell\n{}",
        text.replace(from, to)
    ))
}
