//! The demo's plans, and a disk that is a map.
#![allow(
    clippy::disallowed_methods,
    clippy::expect_used,
    reason = "tests read the plans on the disk, and fail by panicking"
)]
#![allow(dead_code, reason = "each test file uses a part")]

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use bellwire_plan::day::Day;
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Entry, Files, Read, View, Workspace};

pub const TODAY: Day = Day {
    year: 2026,
    month: 11,
    day: 25,
};

/// The workspace folder.
const ROOT: &str = "/plans/";

/// The path of a plan.
pub fn path(name: &str) -> FilePath {
    FilePath::new(&format!("{ROOT}{name}"))
}

/// Files by name.
#[derive(Default, Clone)]
pub struct Disk(pub BTreeMap<String, String>);

impl Files for Disk {
    fn read(&self, path: &FilePath) -> Read {
        match path.as_str().strip_prefix(ROOT) {
            None => Read::Outside,
            Some(name) => match self.0.get(name) {
                Some(text) => Read::Text(text.clone()),
                None => Read::Absent,
            },
        }
    }
}

/// The demo and the broken plans, by path from the folder of plans.
pub fn plans() -> BTreeMap<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/plans");
    let mut plans = BTreeMap::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("the folder of plans") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|extension| extension == "bell")
            {
                let name = path
                    .strip_prefix(&root)
                    .expect("inside")
                    .to_str()
                    .expect("UTF-8");
                let text = std::fs::read(&path).expect("a plan");
                if let Ok(text) = String::from_utf8(text) {
                    plans.insert(name.replace('\\', "/"), text);
                }
            }
        }
    }
    assert!(plans.len() > 4, "the demo is there");
    plans
}

/// The demo alone.
pub fn demo() -> BTreeMap<String, String> {
    let mut plans = plans();
    plans.retain(|name, _| !name.starts_with("broken"));
    plans
}

/// All files of a disk, worked out from scratch.
pub fn workspace(plans: &BTreeMap<String, String>) -> Workspace {
    workspace_of(plans, File::new)
}

/// The same, as if nobody had any of them open.
pub fn closed_workspace(plans: &BTreeMap<String, String>) -> Workspace {
    workspace_of(plans, File::closed)
}

/// The same, each file prepared while those before it are there.
pub fn prepared_workspace(plans: &BTreeMap<String, String>) -> Workspace {
    let mut workspace = Workspace::new(Arc::new(Disk(plans.clone())), TODAY);
    for (name, text) in plans {
        let read = Read::Text(text.clone());
        let prepared = workspace.view().prepare(path(name), read);
        workspace.put_prepared(prepared.into_iter().collect());
    }
    workspace
}

fn workspace_of(plans: &BTreeMap<String, String>, file: fn(FilePath, &str) -> File) -> Workspace {
    let mut workspace = Workspace::new(Arc::new(Disk(plans.clone())), TODAY);
    let files = plans.iter().map(|(name, text)| file(path(name), text));
    workspace.put(files.collect());
    workspace
}

/// What a reader sees of a file, as text: findings, statements, names and figures.
pub fn seen(view: &View, entry: &Entry) -> String {
    let mut seen = String::new();
    for found in view.findings(entry) {
        let finding = &found.finding;
        let related = found.related.iter();
        let related = related.map(|(file, range, message)| (file.path(), range, message));
        seen += &format!(
            "{:?} {} {:?} {} {:?} {:?}\n",
            found.range,
            finding.code,
            finding.severity,
            finding.message,
            finding.accepted,
            related.collect::<Vec<_>>()
        );
    }
    for evaluation in &entry.evaluations {
        seen += &format!("{:?}\n", evaluation.item.root());
        for occurrence in evaluation.occurrences() {
            let target = &occurrence.target;
            let home = &target.item.file;
            seen += &format!(
                "{:?} {home} {:?} {}\n",
                occurrence.span,
                target.span,
                target.text()
            );
        }
        for named in evaluation.names().iter() {
            seen += &format!("{named:?}\n");
        }
        seen += &format!("{:?}\n", evaluation.figures());
    }
    seen
}

/// What a reader sees of every file.
pub fn all_seen(view: &View) -> BTreeMap<String, String> {
    view.paths()
        .into_iter()
        .filter_map(|path| {
            let name = path.as_str().strip_prefix(ROOT)?.to_string();
            Some((name, seen(view, &*view.entry(&path)?)))
        })
        .collect()
}

/// The findings of one plan beside the demo's catalog, a line each.
pub fn findings_of(text: &str) -> String {
    use bellwire_plan::source::Encoding;
    let mut plans = demo();
    plans.retain(|name, _| !name.starts_with("sites"));
    plans.insert("sites/test.bell".to_string(), text.to_string());
    let workspace = workspace(&plans);
    let view = workspace.view();
    let entry = view.entry(&path("sites/test.bell")).expect("the plan");
    let mut lines = String::new();
    for found in view.findings(&entry) {
        let at = entry
            .file
            .text()
            .position(found.range.start, Encoding::Utf32);
        let marked = entry.file.text().slice(found.range.clone());
        let marked = marked.lines().next().unwrap_or("");
        lines += &format!(
            "{}:{} {} `{marked}`: {}\n",
            at.line + 1,
            at.column + 1,
            found.finding.code,
            found.finding.message
        );
        if let Some(reason) = found.finding.accepted {
            lines += &format!("    accepted: {reason}\n");
        }
        for (_, range, message) in found.related {
            let at = entry.file.text().position(range.start, Encoding::Utf32);
            lines += &format!("    {}:{} {message}\n", at.line + 1, at.column + 1);
        }
    }
    lines
}
