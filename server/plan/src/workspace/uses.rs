//! The findings about what a file uses: files that cannot be had, that use it in
//! turn, that it uses twice, and what nothing needs.

use std::sync::{Arc, Mutex, PoisonError};

use rustc_hash::{FxHashMap, FxHashSet};

use super::Shared;
use super::entry::{Entry, Import, ImportState};
use crate::finding::{Code, Finding};
use crate::source::{FilePath, Spot};
use crate::vocabulary::Space;

/// What is wrong with what a file uses: the item's id, and what.
pub(super) fn check(
    entry: &Entry,
    shared: &Shared,
    absent: &FxHashMap<FilePath, ImportState>,
    circles: &Circles,
    is_used: bool,
) -> Vec<(u64, Finding)> {
    let mut findings = Vec::new();
    let mut seen: FxHashMap<&FilePath, Spot> = FxHashMap::default();
    let circle = match is_used {
        true => circles.through(entry, shared),
        false => Circle::default(),
    };
    for import in &entry.imports {
        let own = [
            unreadable(import, shared, absent),
            cycle(import, entry, shared, &circle),
            seen.get(&import.target).map(|first| twice(import, first)),
        ];
        findings.extend(own.into_iter().flatten().map(|own| (import.item.id, own)));
        seen.entry(&import.target)
            .or_insert_with(|| import.item.spot(import.span));
    }
    findings.extend(unused(entry, shared, is_used));
    findings
}

/// A file that cannot be had.
fn unreadable(
    import: &Import,
    shared: &Shared,
    absent: &FxHashMap<FilePath, ImportState>,
) -> Option<Finding> {
    let path = import.path();
    let (code, message) = match absent.get(&import.target) {
        Some(ImportState::Missing) => (
            Code::ImportMissing,
            format!(
                "there is no file `{path}`: {}. Until then no name in this file is told as unknown",
                match path {
                    _ if path.contains('\\') => "write `/` between the folders of its path",
                    _ if !path.ends_with(".bell") => "write its whole name, which ends in `.bell`",
                    _ => "mend the path, which is seen from this file's folder, or create the file",
                }
            ),
        ),
        Some(ImportState::Outside) => (
            Code::ImportOutside,
            format!(
                "`{path}` lies outside the workspace folders, where nothing is read: move it inside, or open its folder too (on the command line, name one around both with `--root`)"
            ),
        ),
        None => {
            let entry = shared.entries.get(&import.target)?;
            let why = entry.file.unreadable_because()?;
            let message = format!("`{path}` cannot be read: {why}");
            (Code::ImportMissing, message)
        }
    };
    Some(Finding::new(code, import.span, message))
}

/// A file that uses this one too.
fn cycle(
    import: &Import,
    entry: &Entry,
    shared: &Shared,
    circle: &FxHashSet<FilePath>,
) -> Option<Finding> {
    let own = entry.file.path();
    let message = if import.target == *own {
        "the file uses itself: take this out".to_string()
    } else if circle.contains(&import.target) {
        let path = import.path();
        let used = shared.entries.get(&import.target)?;
        let over = match used.imports.iter().any(|import| import.target == *own) {
            true => "",
            false => ", over others",
        };
        format!("`{path}` uses this file too{over}: put what both need into a file of its own")
    } else {
        return None;
    };
    Some(Finding::new(Code::ImportCycle, import.span, message))
}

/// A file that was used before.
fn twice(import: &Import, first: &Spot) -> Finding {
    let message = format!("`{}` is used twice: take one out", import.path());
    Finding::new(Code::Repeated, import.span, message).with(first.clone(), "the first one")
}

/// Files that use each other, over others or not.
type Circle = Arc<FxHashSet<FilePath>>;

/// The circles that were found while files are worked out together: all files of one have
/// the same, so it is looked for once.
#[derive(Default)]
pub(super) struct Circles(Mutex<FxHashMap<FilePath, Circle>>);

impl Circles {
    /// A file, and those that it uses, over others or not, and that use it again.
    fn through(&self, entry: &Entry, shared: &Shared) -> Circle {
        let own = entry.file.path();
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if !known.contains_key(own) {
            Search::default().follow(own, &mut known, shared);
        }
        known.get(own).cloned().unwrap_or_default()
    }
}

/// A search for the circles among all files that one uses, over others or not: each file is
/// looked at once (strongly connected components, as Tarjan finds them).
#[derive(Default)]
struct Search {
    /// When each file was come to.
    number: FxHashMap<FilePath, usize>,
    /// The files from the first on to the one that is looked at.
    way: Vec<Step>,
    /// Files whose circle is not closed yet, in the order in which they were come to.
    open: Vec<FilePath>,
}

struct Step {
    /// Its number.
    number: usize,
    /// The least number of an open file that it leads back to.
    back_to: usize,
    /// The files that it uses and that are still to be followed.
    uses: Vec<FilePath>,
}

impl Search {
    fn follow(
        &mut self,
        path: &FilePath,
        known: &mut FxHashMap<FilePath, Circle>,
        shared: &Shared,
    ) {
        self.enter(path.clone(), shared);
        while let Some(step) = self.way.last_mut() {
            if let Some(used) = step.uses.pop() {
                match self.number.get(&used) {
                    _ if known.contains_key(&used) => {}
                    Some(number) => step.back_to = step.back_to.min(*number),
                    None => self.enter(used, shared),
                }
                continue;
            }
            let (number, back_to) = (step.number, step.back_to);
            self.way.pop();
            if back_to == number {
                let is_first = |path: &FilePath| self.number.get(path) == Some(&number);
                let first = self.open.iter().rposition(is_first).unwrap_or(0);
                let files = self.open.split_off(first);
                let circle: Circle = Arc::new(files.iter().cloned().collect());
                known.extend(files.into_iter().map(|path| (path, circle.clone())));
            }
            if let Some(before) = self.way.last_mut() {
                before.back_to = before.back_to.min(back_to);
            }
        }
    }

    fn enter(&mut self, path: FilePath, shared: &Shared) {
        let number = self.number.len();
        let entry = shared.entries.get(&path).map(|entry| entry.clone());
        let imports = entry.iter().flat_map(|entry| &entry.imports);
        self.way.push(Step {
            number,
            back_to: number,
            uses: imports.map(|import| import.target.clone()).collect(),
        });
        self.number.insert(path.clone(), number);
        self.open.push(path);
    }
}

/// Files and models that nothing in a file needs.
fn unused(entry: &Entry, shared: &Shared, is_used: bool) -> Vec<(u64, Finding)> {
    let lookups = || entry.evaluations.iter().map(|known| &known.facts().lookups);
    // A name that nothing has may be a misspelt one of any file.
    if lookups().any(|lookups| lookups.lack_a_name()) {
        return Vec::new();
    }
    let asked: FxHashSet<u64> = lookups().flat_map(|lookups| lookups.ids()).collect();
    let mut findings = Vec::new();
    for import in &entry.imports {
        let Some(used) = shared.entries.get(&import.target) else {
            continue;
        };
        let needed = used.file.items().any(|(_, item)| asked.contains(&item.id));
        if !needed && used.file.unreadable_because().is_none() {
            let path = import.path();
            let message = format!("nothing in this file needs `{path}`: take the `use` out");
            let finding = Finding::new(Code::Unused, import.item.root().span, message);
            findings.push((import.item.id, finding));
        }
    }
    // A model beside a site is meant for it; a catalog's models wait for plans.
    let has_site = entry.evaluations.iter().any(|known| known.is_site());
    if is_used || !has_site {
        return findings;
    }
    for (_, item) in entry.file.items() {
        let is_model = Space::of(item) == Some(Space::Model);
        if !is_model || asked.contains(&item.id) {
            continue;
        }
        if let (Some(name), Some(span)) = (item.name(), item.declared().name) {
            let message = format!("nothing uses the model `{name}`");
            findings.push((item.id, Finding::new(Code::Unused, span, message)));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::day::Day;
    use crate::finding::Code;
    use crate::source::{File, FilePath};
    use crate::workspace::{NoFiles, Workspace};

    #[test]
    fn every_file_of_a_circle_is_told_and_no_other() {
        let uses = [
            ("ring-1", "ring-2"),
            ("ring-2", "ring-3"),
            ("ring-3", "ring-1"),
            ("one", "other"),
            ("other", "one"),
            ("beside", "ring-1"),
            ("ring-1", "beyond"),
            ("beyond", "end"),
        ];
        let path = |name: &str| FilePath::new(&format!("/{name}.bell"));
        let names = [
            "ring-1", "ring-2", "ring-3", "one", "other", "beside", "beyond", "end",
        ];
        let files = names.map(|name| {
            let own = uses.iter().filter(|(user, _)| *user == name);
            let text: String = own
                .map(|(_, used)| format!("use \"{used}.bell\"\n"))
                .collect();
            File::new(path(name), &text)
        });
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        workspace.put(files.into());
        let view = workspace.view();
        let mut told = Vec::new();
        for name in names {
            let entry = view.entry(&path(name)).expect("it was put in");
            let found = view.findings(&entry).into_iter().map(|found| found.finding);
            let circles = found.filter(|finding| finding.code == Code::ImportCycle);
            told.extend(circles.map(|finding| {
                let said = finding.message.split(':').next().unwrap_or("").to_string();
                (name, said)
            }));
        }
        let expected = [
            ("ring-1", "`ring-2.bell` uses this file too, over others"),
            ("ring-2", "`ring-3.bell` uses this file too, over others"),
            ("ring-3", "`ring-1.bell` uses this file too, over others"),
            ("one", "`other.bell` uses this file too"),
            ("other", "`one.bell` uses this file too"),
        ];
        assert_eq!(told, expected.map(|(name, said)| (name, said.to_string())));
    }
}
