//! The plans that a command is about: from the paths on the command line to a
//! worked-out workspace.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use bellwire_plan::day::Day;
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Prepared, Read, View, Workspace};
use rustc_hash::FxHashSet;

use crate::args::Plans;
use crate::disk::{self, Disk};
use crate::output::tell;
use crate::paths;

/// Why the plans could not be read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// Nothing is there.
    #[error("there is no file or folder `{}`", .0.display())]
    NoSuchPath(PathBuf),
    /// A link, but not what it leads to.
    #[error("`{}` is a link that leads nowhere: mend it, or name the file itself", .0.display())]
    LeadsNowhere(PathBuf),
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
    tell(&format!(
        "no plan under `{paths}`: none of its files ends in .bell, or git ignores them"
    ));
}

/// The plans that are asked for, found and not read yet.
pub struct Asked {
    /// The folders that a plan may use files of.
    roots: BTreeSet<PathBuf>,
    /// The files that are named themselves.
    named: BTreeSet<PathBuf>,
    /// Those, and all in the folders that are named, each once.
    all: Vec<PathBuf>,
    current: PathBuf,
}

impl Asked {
    /// The plans under the paths.
    ///
    /// # Errors
    /// A path that leads to nothing, or to something that cannot be read.
    pub fn under(plans: &Plans) -> Result<Asked, LoadError> {
        let mut asked = Asked {
            roots: BTreeSet::new(),
            named: BTreeSet::new(),
            all: Vec::new(),
            current: paths::absolute(Path::new(".")),
        };
        if let Some(root) = &plans.root {
            let path = paths::absolute(root);
            if !path.exists() {
                return Err(LoadError::NoSuchPath(root.clone()));
            }
            if !path.is_dir() {
                return Err(LoadError::RootIsNotAFolder(root.clone()));
            }
            asked.roots.insert(path);
        }
        // Where each of them is: over a link a file has several names, and counts once.
        let mut real = FxHashSet::default();
        for given in &plans.paths {
            let path = paths::absolute(given);
            if !path.exists() {
                return Err(match given.as_os_str() == "-" {
                    true => LoadError::StandardInput,
                    false if path.is_symlink() => LoadError::LeadsNowhere(given.clone()),
                    false => LoadError::NoSuchPath(given.clone()),
                });
            }
            if plans.root.is_none() {
                asked.roots.insert(disk::root_of(&path, &asked.current));
            }
            if path.is_dir() {
                let (walked, unreadable) = disk::walk(&path);
                if let Some(why) = unreadable.into_iter().next() {
                    return Err(LoadError::Unreadable(given.clone(), why));
                }
                // A walk follows no links.
                let folder = disk::real(&path);
                asked.all.extend(walked.into_iter().filter(|file| {
                    let inner = file.strip_prefix(&path);
                    real.insert(inner.map_or_else(|_| file.clone(), |inner| folder.join(inner)))
                }));
            } else {
                if real.insert(disk::real(&path)) {
                    asked.all.push(path.clone());
                }
                asked.named.insert(path);
            }
        }
        asked.all.sort();
        if asked.all.is_empty() {
            let given = plans.paths.iter().map(|path| path.display().to_string());
            nothing_under(&given.collect::<Vec<_>>().join("`, `"));
        }
        Ok(asked)
    }

    /// All of them, read.
    ///
    /// # Errors
    /// A file that is named itself cannot be read.
    pub fn files(&self) -> Result<Vec<File>, LoadError> {
        self.read(&self.all, |name, read| read.file(name).ok())
    }

    /// What is made of some of them, as they are read.
    ///
    /// # Errors
    /// A file that is named itself cannot be read.
    fn read<T: Send>(
        &self,
        paths: &[PathBuf],
        make: impl Fn(FilePath, Read) -> Option<T> + Sync,
    ) -> Result<Vec<T>, LoadError> {
        let made = disk::read_all(paths, |name, read| match self.refused(&name, &read) {
            Some(why) => Some(Err(why)),
            None => make(name, read).map(Ok),
        });
        made.into_iter().collect()
    }

    /// What a file is called in output.
    pub fn relative(&self, file: &FilePath) -> String {
        paths::relative(file, &self.current)
    }

    /// Why a file cannot be read, if it is named itself.
    fn refused(&self, file: &FilePath, read: &Read) -> Option<LoadError> {
        let Read::Unreadable(why) = read else {
            return None;
        };
        let is_named = self.named.contains(&paths::path(file));
        is_named.then(|| LoadError::Unreadable(self.relative(file).into(), why.clone()))
    }
}

/// Plans, worked out.
pub struct Loaded {
    /// All files: those asked for and those that they use.
    pub view: View,
    current: PathBuf,
}

impl Loaded {
    /// Reads the plans under the paths, and what they use. The age of batteries is that of the
    /// day `today`.
    ///
    /// # Errors
    /// A path that leads to nothing, or to something that cannot be read.
    pub fn new(plans: &Plans, today: Day) -> Result<Loaded, LoadError> {
        let asked = Asked::under(plans)?;
        let disk = Arc::new(Disk::new(asked.roots.iter().cloned()));
        let mut workspace = Workspace::new(disk, today);
        let view = workspace.view();
        let prepare = |name, read| view.prepare(name, read).ok();
        let mut prepared: Vec<Prepared> = Vec::new();
        // Each batch is prepared while the one before it is put in; the empty one is for the last.
        for batch in asked.all.chunks(disk::BATCH).chain([&[][..]]) {
            // What others use has been read with them.
            prepared.retain(|file| !view.has(file.path()));
            let put = || workspace.put_prepared(prepared);
            let (_, next) = rayon::join(put, || asked.read(batch, prepare));
            prepared = next?;
        }
        // The process ends with the command; taking all this apart would only cost time.
        std::mem::forget(workspace.view());
        Ok(Loaded {
            view: workspace.view(),
            current: asked.current,
        })
    }

    /// What a file is called in output.
    pub fn relative(&self, file: &FilePath) -> String {
        paths::relative(file, &self.current)
    }
}
