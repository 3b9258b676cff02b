//! The plans that a command is about: from the paths on the command line to a
//! worked-out workspace.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use bellwire_plan::day::Day;
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{View, Workspace};
use rayon::prelude::*;

use crate::args::Plans;
use crate::disk::{self, Disk};
use crate::output::plain;
use crate::paths;

/// How many files are worked out at a time. The memory that this takes is used again for
/// the next ones.
const BATCH: usize = 128;

/// Why the plans could not be read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// Nothing is there.
    #[error("there is no file or folder `{}`", .0.display())]
    NoSuchPath(PathBuf),
    /// `-`, which many programs read their standard input for.
    #[error(
        "plans are not read from standard input, since `use` is seen from a file's folder: name a file or a folder instead of `-`"
    )]
    StandardInput,
    /// The root is a file.
    #[error("`{path}` is not a folder: `--root` takes the folder that `use` may not leave", path = .0.display())]
    RootIsNotAFolder(PathBuf),
    /// A file that was asked for by name, or a folder on the way.
    #[error("cannot read `{path}`: {1}", path = .0.display())]
    Unreadable(PathBuf, String),
}

/// Says that there is no plan, which the counts of a result are easily taken for all
/// is well. No failure: a folder may be still to be filled.
fn nothing_under(paths: &str) {
    eprintln!(
        "bellwire: no plan under `{}`: none of its files ends in .bell, or git ignores them",
        plain(paths)
    );
}

/// What is asked for, before any of it is read.
#[derive(Default)]
struct Found {
    /// The folders that a plan may use files of.
    roots: BTreeSet<PathBuf>,
    /// The files that are named themselves.
    named: BTreeSet<PathBuf>,
    /// Those, and all in the folders that are named.
    all: BTreeSet<PathBuf>,
}

impl Found {
    fn under(plans: &Plans, current: &Path) -> Result<Found, LoadError> {
        let mut found = Found::default();
        if let Some(root) = &plans.root {
            let path = paths::absolute(root);
            if !path.exists() {
                return Err(LoadError::NoSuchPath(root.clone()));
            }
            if !path.is_dir() {
                return Err(LoadError::RootIsNotAFolder(root.clone()));
            }
            found.roots.insert(path);
        }
        for given in &plans.paths {
            let path = paths::absolute(given);
            if !path.exists() {
                return Err(match given.as_os_str() == "-" {
                    true => LoadError::StandardInput,
                    false => LoadError::NoSuchPath(given.clone()),
                });
            }
            if plans.root.is_none() {
                found.roots.insert(disk::root_of(&path, current));
            }
            if path.is_dir() {
                let (walked, unreadable) = disk::walk(&path);
                if let Some(why) = unreadable.into_iter().next() {
                    return Err(LoadError::Unreadable(given.clone(), why));
                }
                found.all.extend(walked);
            } else {
                found.all.insert(path.clone());
                found.named.insert(path);
            }
        }
        Ok(found)
    }
}

/// Plans, worked out.
pub struct Loaded {
    /// All files: those asked for and those that they use.
    pub view: View,
    /// The files asked for: named, or found in a folder.
    pub asked: Vec<FilePath>,
    current: PathBuf,
}

impl Loaded {
    /// Reads the plans under the paths, and what they use. The age of batteries is that of the
    /// day `today`.
    ///
    /// # Errors
    /// A path that leads to nothing, or to something that cannot be read.
    pub fn new(plans: &Plans, today: Day) -> Result<Loaded, LoadError> {
        let current = paths::absolute(Path::new("."));
        let Found { roots, named, all } = Found::under(plans, &current)?;
        if all.is_empty() {
            let given = plans.paths.iter().map(|path| path.display().to_string());
            nothing_under(&given.collect::<Vec<_>>().join("`, `"));
        }
        let all: Vec<PathBuf> = all.into_iter().collect();
        let mut workspace = Workspace::new(Arc::new(Disk::new(roots)), today);
        let view = workspace.view();
        let (mut asked, mut files) = (Vec::new(), Vec::new());
        // Each batch is read while the one before it is worked out; the empty one is for the last.
        for batch in all.chunks(BATCH).chain([&[][..]]) {
            let read = || -> Vec<File> {
                let files = batch.par_iter().filter_map(|path| disk::load(path));
                files.collect()
            };
            let (_, next) = rayon::join(|| workspace.put(files), read);
            for file in &next {
                let path = paths::path(file.path());
                if let Some(why) = file.unreadable_because()
                    && named.contains(&path)
                {
                    return Err(LoadError::Unreadable(path, why.to_string()));
                }
            }
            asked.extend(next.iter().map(|file| file.path().clone()));
            files = next;
            // What others use has been read with them.
            files.retain(|file| !view.has(file.path()));
        }
        // The process ends with the command; taking all this apart would only cost time.
        std::mem::forget(workspace.view());
        Ok(Loaded {
            view: workspace.view(),
            asked,
            current,
        })
    }

    /// What a file is called in output: seen from the current folder, with `/`.
    pub fn relative(&self, file: &FilePath) -> String {
        let path = paths::path(file);
        let common = path
            .components()
            .zip(self.current.components())
            .take_while(|(a, b)| a == b)
            .count();
        // The library, another drive, or nothing shared but the disk's root.
        if common <= 1 {
            return file.to_string();
        }
        let ups = self
            .current
            .components()
            .skip(common)
            .map(|_| "..".to_string());
        let downs = path.components().skip(common);
        let downs = downs.map(|part| part.as_os_str().to_string_lossy().into_owned());
        ups.chain(downs).collect::<Vec<_>>().join("/")
    }

    /// How many sites there are.
    pub fn sites(&self) -> usize {
        let entries = self.view.paths();
        let entries = entries.iter().filter_map(|path| self.view.entry(path));
        entries
            .map(|entry| {
                entry
                    .evaluations
                    .iter()
                    .filter(|known| known.is_site())
                    .count()
            })
            .sum()
    }
}
