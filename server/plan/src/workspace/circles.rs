//! Which files use each other in circles.

use std::sync::{Arc, Mutex, PoisonError};

use rustc_hash::{FxHashMap, FxHashSet};

use super::entry::Entry;
use super::shared::Shared;
use crate::source::FilePath;

/// Files that use each other, over others or not.
pub(super) type Circle = Arc<FxHashSet<FilePath>>;

/// The circles that were found while files are worked out together: all files of one have
/// the same, so it is looked for once.
#[derive(Default)]
pub(super) struct Circles(Mutex<FxHashMap<FilePath, Circle>>);

impl Circles {
    /// A file, and those that it uses, over others or not, and that use it again.
    pub(super) fn through(&self, entry: &Entry, shared: &Shared) -> Circle {
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
