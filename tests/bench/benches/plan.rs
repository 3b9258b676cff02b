//! The validation crate by itself, without a server: for profiling.

use std::sync::Arc;

use bellwire_bench::SEED;
use bellwire_bench::workload::Workload;
use bellwire_plan::day::Day;
use bellwire_plan::source::{Change, File, FilePath};
use bellwire_plan::workspace::{Files, Read, Workspace};
use divan::{AllocProfiler, Bencher};

/// Counts what each benchmark allocates.
#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

const LINES: [usize; 2] = [1_000, 10_000];

/// The files of a workload.
struct Memory(Workload);

impl Files for Memory {
    fn read(&self, path: &FilePath) -> Read {
        let found = self
            .0
            .files
            .iter()
            .find(|(name, _)| path.as_str() == format!("/{name}"));
        found.map_or(Read::Absent, |(_, text)| Read::Text(text.clone()))
    }
}

fn path(name: &str) -> FilePath {
    FilePath::new(&format!("/{name}"))
}

/// A workload worked out, and its edited file.
fn workspace(work: Workload) -> (Workspace, File, String) {
    let today = Day {
        year: 2026,
        month: 11,
        day: 25,
    };
    let text = work.files[0].1.clone();
    let file = File::new(path(&work.files[0].0), &text);
    let others: Vec<File> = work
        .files
        .iter()
        .map(|(name, text)| File::new(path(name), text))
        .collect();
    let mut workspace = Workspace::new(Arc::new(Memory(work)), today);
    workspace.put(others);
    (workspace, file, text)
}

/// A length's last digit, from the middle of a text on: where it stands.
fn digit(text: &str) -> usize {
    let middle = text
        .lines()
        .take(text.lines().count() / 2)
        .map(|line| line.len() + 1)
        .sum::<usize>();
    let figure = middle + text[middle..].find(" --").map_or(0, |at| at + 3);
    figure + text[figure..].find(' ').map_or(0, |at| at - 1)
}

fn change(at: usize, round: usize) -> [Change; 1] {
    [Change {
        range: Some(at..at + 1),
        text: (1 + round % 9).to_string(),
    }]
}

#[divan::bench(args = LINES)]
fn read(bencher: Bencher, lines: usize) {
    let work = Workload::file(SEED, lines);
    let text = &work.files[0].1;
    bencher.bench(|| File::new(path("a.bell"), text));
}

#[divan::bench(args = LINES)]
fn edit(bencher: Bencher, lines: usize) {
    let (_, mut file, text) = workspace(Workload::file(SEED, lines));
    let (at, mut round) = (digit(&text), 0);
    bencher.bench_local(|| {
        round += 1;
        file = file.edit(&change(at, round));
    });
}

fn edit_and_put(bencher: Bencher, work: Workload) {
    let (mut workspace, file, text) = workspace(work);
    let (at, mut round) = (digit(&text), 0);
    let view = workspace.view();
    let name = file.path().clone();
    bencher.bench_local(|| {
        round += 1;
        let known = view.file(&name).map(|file| file.edit(&change(at, round)));
        workspace.put(known.into_iter().collect())
    });
}

#[divan::bench(args = LINES)]
fn edit_and_put_in_a_file(bencher: Bencher, lines: usize) {
    edit_and_put(bencher, Workload::file(SEED, lines));
}

#[divan::bench(args = [10, 1_000])]
fn edit_and_put_among_sites(bencher: Bencher, sites: usize) {
    edit_and_put(bencher, Workload::workspace(SEED, sites));
}

#[divan::bench]
fn edit_and_put_in_2000_devices(bencher: Bencher) {
    edit_and_put(bencher, Workload::panel(SEED, 2_000));
}

#[divan::bench(args = LINES)]
fn findings(bencher: Bencher, lines: usize) {
    let (workspace, file, _) = workspace(Workload::file(SEED, lines));
    let view = workspace.view();
    if let Some(entry) = view.entry(file.path()) {
        bencher.bench(|| view.findings(&entry));
    }
}

#[divan::bench(args = [100, 1_000])]
fn put_all(bencher: Bencher, sites: usize) {
    bencher
        .with_inputs(|| Workload::workspace(SEED, sites))
        .bench_local_values(workspace);
}
