//! Plans as designers write them, from a seed: the same seed gives the same bytes.

mod columns;
mod fault;
pub mod other;
mod panel;
mod site;

pub use fault::Fault;

use std::io;
use std::path::Path;

use bellwire_tests::random::Random;

/// A catalog that so many sites of a workspace use.
pub const SHARED: (&str, usize) = ("catalog/dunmarl-second.bell", 500);

/// A folder of plans.
#[derive(Debug, Clone)]
pub struct Workload {
    /// Each file's path in the folder, and its text. The first is the one to edit.
    pub files: Vec<(String, String)>,
    /// Each finding that there must be, and no other: the file, and the code, once for each.
    pub expected: Vec<(String, &'static str)>,
}

impl Workload {
    /// A workspace of so many sites, a file each.
    pub fn workspace(seed: u64, sites: usize) -> Workload {
        let mut work = Workload::shared();
        let (catalog, users) = SHARED;
        // The same models under another roof, so that the sites are the same too.
        let second = include_str!("../../catalogs/dunmarl.bell").to_string();
        work.files.push((catalog.to_string(), second));
        let uses = site::USES.replace("catalog/dunmarl.bell", catalog);
        for number in 0..sites {
            // The first is edited, and starts without a mistake.
            let fault = fault(seed, number).filter(|_| number > 0);
            let path = format!("sites/s{number:05}.bell");
            work.expect(&path, fault);
            let uses = if number < users { &uses } else { site::USES };
            let text = format!("{uses}\n{}", site::site(seed, number, fault));
            work.files.push((path, text));
        }
        work.edited_first();
        work
    }

    /// One file with sites until it has so many lines.
    pub fn file(seed: u64, lines: usize) -> Workload {
        let mut work = Workload::shared();
        let path = "sites/all.bell".to_string();
        let mut text = site::USES.to_string();
        let mut count = text.lines().count();
        for number in 0.. {
            let fault = fault(seed, number).filter(|_| number > 0);
            let site = site::site(seed, number, fault);
            let more = site.lines().count() + 1;
            if number > 0 && count + more > lines {
                break;
            }
            count += more;
            text.push('\n');
            text.push_str(&site);
            work.expect(&path, fault);
        }
        for line in count..lines {
            text.push_str(if line == count {
                "\n"
            } else {
                "# End of the plan.\n"
            });
        }
        work.files.push((path, text));
        work.edited_first();
        work
    }

    /// One panel with so many devices.
    pub fn panel(seed: u64, devices: usize) -> Workload {
        let mut work = Workload::shared();
        let text = format!("{}\n{}", site::USES, panel::site(seed, devices));
        work.files.push(("sites/works.bell".to_string(), text));
        work.edited_first();
        work
    }

    fn shared() -> Workload {
        let file = |path: &str, text: &str| (path.to_string(), text.to_string());
        Workload {
            files: vec![
                file(
                    "catalog/quillback.bell",
                    include_str!("../../catalogs/quillback.bell"),
                ),
                file(
                    "catalog/dunmarl.bell",
                    include_str!("../../catalogs/dunmarl.bell"),
                ),
                file(
                    "catalog/ossel.bell",
                    include_str!("../../catalogs/ossel.bell"),
                ),
                file(
                    "shared/monitoring.bell",
                    include_str!("../../catalogs/monitoring.bell"),
                ),
            ],
            expected: Vec::new(),
        }
    }

    fn expect(&mut self, path: &str, fault: Option<Fault>) {
        let codes = fault.map_or(&[][..], Fault::codes);
        self.expected
            .extend(codes.iter().map(|code| (path.to_string(), *code)));
    }

    /// Moves the file to edit to the front.
    fn edited_first(&mut self) {
        let first = self
            .files
            .iter()
            .position(|(path, _)| path.starts_with("sites/"));
        self.files.swap(0, first.unwrap_or(0));
    }

    /// Writes the files into a folder.
    ///
    /// # Errors
    /// What the disk says.
    pub fn write(&self, folder: &Path) -> io::Result<()> {
        for (path, text) in &self.files {
            let path = folder.join(path);
            if let Some(parent) = path.parent() {
                std::fs::create_dir_all(parent)?;
            }
            std::fs::write(path, text)?;
        }
        Ok(())
    }

    /// The file to edit: its path in the folder, and its text.
    pub fn edited(&self) -> (&str, &str) {
        let (path, text) = &self.files[0];
        (path, text)
    }

    /// The lines of all files.
    pub fn lines(&self) -> usize {
        self.files
            .iter()
            .map(|(_, text)| text.lines().count())
            .sum()
    }
}

fn fault(seed: u64, number: usize) -> Option<Fault> {
    Fault::draw(&mut Random::new(seed ^ 0xfa17, number as u64))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use bellwire_plan::day::Day;
    use bellwire_plan::source::{File, FilePath};
    use bellwire_plan::workspace::{NoFiles, Workspace};

    use super::Workload;
    use crate::SEED;

    /// The measuring client waits until there are these findings and no others.
    #[test]
    fn plans_have_the_findings_that_they_are_said_to_have() {
        let today = Day {
            year: 2026,
            month: 11,
            day: 25,
        };
        for work in [
            Workload::workspace(SEED, 60),
            Workload::file(SEED, 3_000),
            Workload::panel(SEED, 2_000),
        ] {
            let files = work.files.iter();
            let files = files.map(|(name, text)| File::new(FilePath::new(name), text));
            let mut workspace = Workspace::new(Arc::new(NoFiles), today);
            workspace.put(files.collect());
            let view = workspace.view();
            let mut found = Vec::new();
            for path in view.paths() {
                let entry = view.entry(&path).unwrap();
                let findings = view.findings(&entry).into_iter();
                found.extend(findings.map(|at| (path.to_string(), at.finding.code.name())));
            }
            let mut expected = work.expected.clone();
            expected.sort();
            found.sort();
            assert_eq!(found, expected, "{} files", work.files.len());
        }
    }
}
