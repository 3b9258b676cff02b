//! The disk: the only place where the program reads files.
//!
//! Invariant: nothing outside the root folders is read because a plan says so,
//! neither by `..` nor over a link. Files are named as the user or the editor
//! names them; links are followed only to see where they lead.

use std::ffi::OsStr;
use std::io::{ErrorKind, Read as _};
use std::path::{Path, PathBuf};
use std::sync::{PoisonError, RwLock};

use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Files, Read};
use ignore::WalkBuilder;
use rayon::prelude::*;
use rustc_hash::FxHashSet;

use crate::paths::{absolute, name, path};

/// The ending of plans' names.
pub const EXTENSION: &str = "bell";

/// A byte-order mark. It is no part of the text; editors leave it out too.
pub const MARK: &[u8] = b"\xef\xbb\xbf";

/// How many files are put into a workspace at a time: few enough for an editor's messages to get
/// through in between.
pub const BATCH: usize = 128;

/// The largest file that is read. Plans have a few kilobytes; whatever is larger is a mistaken path.
const LARGEST: u64 = 16 << 20;

/// How many links a path may go over below its root. Where a link leads back to a folder around it, one
/// file would otherwise have names without end, and be read under each of them.
const MOST_LINKS: usize = 2;

/// The disk, as far as plans may see it.
#[derive(Debug, Default)]
pub struct Disk {
    roots: RwLock<Vec<Root>>,
    /// Folders of single files: they may be read, but are not walked.
    loose: RwLock<Vec<Root>>,
}

#[derive(Debug, Clone)]
struct Root {
    /// As it is named.
    path: PathBuf,
    /// Where that leads.
    real: PathBuf,
    /// All names that it was given. Over a link a folder has several; its files are called by
    /// the first of them, even once that is taken out.
    given: Vec<PathBuf>,
}

impl Disk {
    /// A disk of which the files below `roots` may be read.
    pub fn new(roots: impl IntoIterator<Item = PathBuf>) -> Disk {
        let disk = Disk::default();
        disk.change_roots(&[], roots);
        disk
    }

    /// Takes root folders out and puts others in. One that is there already by another name
    /// is one with it.
    pub fn change_roots(&self, removed: &[PathBuf], added: impl IntoIterator<Item = PathBuf>) {
        let added: Vec<Root> = added.into_iter().map(|path| Root::new(&path)).collect();
        let mut roots = self.roots.write().unwrap_or_else(PoisonError::into_inner);
        for root in roots.iter_mut() {
            root.given.retain(|given| !removed.contains(given));
        }
        roots.retain(|root| !root.given.is_empty());
        for root in added {
            match roots.iter_mut().find(|known| known.real == root.real) {
                Some(known) => known.given.extend(root.given),
                None => roots.push(root),
            }
        }
    }

    /// Lets files below `folder` be read, for a single file that lies in no root.
    pub fn add_loose(&self, folder: &Path) {
        let mut loose = self.loose.write().unwrap_or_else(PoisonError::into_inner);
        loose.push(Root::new(folder));
    }

    /// The root folders, as they are named.
    pub fn roots(&self) -> Vec<PathBuf> {
        self.copy().into_iter().map(|root| root.path).collect()
    }

    /// Whether a file of that name may be read, as far as its name tells.
    pub fn holds(&self, path: &Path) -> bool {
        self.in_roots(path) || is_below(&self.loose, path)
    }

    /// Whether a file of that name lies in a root folder.
    pub fn in_roots(&self, path: &Path) -> bool {
        is_below(&self.roots, path)
    }

    /// What a file is called: of the names that lead to it over links, the one below its root,
    /// so that a file is one whichever of them an editor has.
    pub fn called(&self, path: &Path) -> PathBuf {
        // Every request asks, nearly always for such a file.
        if self.holds(path) {
            return path.to_path_buf();
        }
        let roots = self.readable();
        // The file, or its folder, may be gone or yet to come.
        let there = path.ancestors().skip(1).find_map(|folder| {
            let real = folder.canonicalize().ok()?;
            Some(real.join(path.strip_prefix(folder).ok()?))
        });
        let below = there.and_then(|real| {
            let mut roots = roots.iter();
            roots.find_map(|root| Some(root.path.join(real.strip_prefix(&root.real).ok()?)))
        });
        below.unwrap_or_else(|| path.to_path_buf())
    }

    /// Those of `paths` that are plans and that a walk of the roots finds.
    pub fn walked(&self, paths: &[PathBuf]) -> FxHashSet<PathBuf> {
        let mut found = FxHashSet::default();
        for root in self.copy() {
            let inside = paths.iter().filter(|path| path.starts_with(&root.path));
            let wanted: FxHashSet<PathBuf> = inside.cloned().collect();
            if wanted.is_empty() {
                continue;
            }
            // The walk goes only where they lie, and only once.
            let ways = wanted.iter().flat_map(|path| path.ancestors());
            let ways: FxHashSet<PathBuf> = ways.map(Path::to_path_buf).collect();
            let mut walk = walk_builder(&root.path);
            walk.filter_entry(move |entry| ways.contains(entry.path()));
            let plans = walk.build().flatten().filter(is_plan);
            let plans = plans.map(ignore::DirEntry::into_path);
            found.extend(plans.filter(|path| wanted.contains(path)));
        }
        found
    }

    fn copy(&self) -> Vec<Root> {
        let roots = self.roots.read().unwrap_or_else(PoisonError::into_inner);
        roots.clone()
    }

    fn readable(&self) -> Vec<Root> {
        let mut roots = self.copy();
        let loose = self.loose.read().unwrap_or_else(PoisonError::into_inner);
        roots.extend(loose.iter().cloned());
        roots
    }
}

/// Whether a file of that name lies below one of these.
fn is_below(roots: &RwLock<Vec<Root>>, path: &Path) -> bool {
    let roots = roots.read().unwrap_or_else(PoisonError::into_inner);
    roots.iter().any(|root| path.starts_with(&root.path))
}

impl Root {
    fn new(path: &Path) -> Root {
        let given = vec![path.to_path_buf()];
        let path = absolute(path);
        let real = real(&path);
        Root { path, real, given }
    }
}

/// Where a path leads over links; itself, if nothing is there.
pub fn real(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

impl Files for Disk {
    fn read(&self, name: &FilePath) -> Read {
        let named = path(name);
        if !named.is_absolute() {
            // Seen from a document that was never saved: the folder that we run in is not its own.
            return Read::Outside;
        }
        let roots = self.readable();
        // What is read is what was looked at: a link may lead elsewhere a moment later.
        let (inside, real) = match named.canonicalize() {
            Ok(real) => (roots.iter().any(|root| real.starts_with(&root.real)), real),
            Err(_) => {
                let inside = roots.iter().any(|root| named.starts_with(&root.path));
                (inside, named.clone())
            }
        };
        match inside {
            false => Read::Outside,
            true if links(&named, &real, &roots) > MOST_LINKS => Read::Unreadable(format!(
                "the path goes over more than {MOST_LINKS} links: name the file where it really is"
            )),
            true => read(&real),
        }
    }
}

/// How many links a path goes over below its root, if it leads elsewhere than it says.
fn links(named: &Path, real: &Path, roots: &[Root]) -> usize {
    if named == real {
        return 0;
    }
    let is_root = |part: &Path| roots.iter().any(|root| root.path == part);
    let parts = named.ancestors().take_while(|part| !is_root(part));
    parts.filter(|part| part.is_symlink()).count()
}

/// Reads a text, wherever it is.
pub fn read(path: &Path) -> Read {
    match read_text(path) {
        Ok(text) => Read::Text(text),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            Read::Absent
        }
        Err(error) => Read::Unreadable(sentence(&error)),
    }
}

fn read_text(path: &Path) -> std::io::Result<String> {
    let refuse = |why: &str| Err(std::io::Error::other(why));
    // Asked before opening: to open a device may set it off.
    let data = std::fs::metadata(path)?;
    if data.is_dir() {
        return refuse("this is a folder, where a file is needed");
    }
    if !data.is_file() {
        return refuse("this is a device or a pipe, where a file is needed");
    }
    // Room for all of it, and to see that it ends there.
    let size = data.len().min(LARGEST) as usize + 1;
    let mut bytes = Vec::with_capacity(size);
    open(path)?.take(LARGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST {
        return refuse("the file is larger than 16 MiB, which no plan is: check the path");
    }
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return refuse("the file is UTF-16: save it as UTF-8");
    }
    if bytes.starts_with(MARK) {
        bytes.drain(..MARK.len());
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(error) => {
            let good = error.utf8_error().valid_up_to();
            let lines = error
                .as_bytes()
                .iter()
                .take(good)
                .filter(|byte| **byte == b'\n');
            let line = lines.count() + 1;
            refuse(&format!(
                "the file is not UTF-8 text, first in line {line}: save it as UTF-8"
            ))
        }
    }
}

/// Opens a file to read what is there. What has nothing yet, as a log of the system below `/proc`
/// that counts as a file, says so rather than have us wait.
fn open(path: &Path) -> std::io::Result<std::fs::File> {
    let mut options = std::fs::OpenOptions::new();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::custom_flags(
        &mut options,
        rustix::fs::OFlags::NONBLOCK.bits() as i32,
    );
    options.read(true).open(path)
}

/// Whether a file starts with a byte-order mark.
///
/// # Errors
/// The file cannot be read.
pub fn is_marked(path: &Path) -> std::io::Result<bool> {
    let mut start = Vec::new();
    open(path)?
        .take(MARK.len() as u64)
        .read_to_end(&mut start)?;
    Ok(start == MARK)
}

fn sentence(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you may not read this file: see its permissions".into(),
        ErrorKind::Other => error.to_string(),
        _ => format!("the file cannot be read: {error}"),
    }
}

/// Reads files on all cores, and gives what each core makes of those that it has read.
pub fn read_all<T: Send>(
    paths: &[PathBuf],
    make: impl Fn(FilePath, Read) -> Option<T> + Sync,
) -> Vec<T> {
    let made = |path: &PathBuf| {
        let (name, read) = read_named(path);
        make(name, read)
    };
    // One at a time: a core that is done takes over from the other.
    paths.par_iter().with_max_len(1).filter_map(made).collect()
}

/// Reads and parses a file; `None` if it is not there.
pub fn load(path: &Path) -> Option<File> {
    let (name, read) = read_named(path);
    read.file(name).ok()
}

fn read_named(path: &Path) -> (FilePath, Read) {
    let read = match path.to_str() {
        Some(_) => read(path),
        None => Read::Unreadable("the file's name is not Unicode: rename it".to_string()),
    };
    (name(path), read)
}

/// Every plan below a folder, in the order of their names. Links, hidden files and those that git
/// ignores are left out. With them comes what could not be read on the way, as sentences.
pub fn walk(folder: &Path) -> (Vec<PathBuf>, Vec<String>) {
    let (mut found, mut unreadable) = (Vec::new(), Vec::new());
    for entry in walk_builder(folder).build() {
        match entry {
            Ok(entry) if is_plan(&entry) => found.push(entry.into_path()),
            Ok(_) => {}
            Err(error) => unreadable.push(error.to_string()),
        }
    }
    (found, unreadable)
}

/// The plans that a path stands for: itself, or all that are in it.
pub fn plans(path: &Path) -> Vec<PathBuf> {
    match path.extension() {
        _ if path.is_dir() => walk(path).0,
        Some(ending) if ending == EXTENSION => vec![path.to_path_buf()],
        _ => Vec::new(),
    }
}

fn walk_builder(folder: &Path) -> WalkBuilder {
    let mut walk = WalkBuilder::new(folder);
    // `.ignore` files are other programs' business; git's rules hold outside a checkout too.
    walk.ignore(false).require_git(false);
    // Paths as a whole take ten times as long to put in order.
    walk.sort_by_file_name(OsStr::cmp);
    walk
}

fn is_plan(entry: &ignore::DirEntry) -> bool {
    let is_file = entry.file_type().is_some_and(|kind| kind.is_file());
    is_file
        && entry
            .path()
            .extension()
            .is_some_and(|ending| ending == EXTENSION)
}

/// The folder that plans at `path` may `use` files of: the nearest around it that holds `.git`,
/// else `current` if the path lies there, else its own.
pub fn root_of(path: &Path, current: &Path) -> PathBuf {
    let folder = if path.is_dir() {
        path
    } else {
        path.parent().unwrap_or(path)
    };
    let checkout = folder
        .ancestors()
        .find(|folder| folder.join(".git").exists());
    match checkout {
        Some(checkout) => checkout.to_path_buf(),
        None if folder.starts_with(current) => current.to_path_buf(),
        None => folder.to_path_buf(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder() -> tempfile::TempDir {
        tempfile::tempdir().unwrap()
    }

    #[test]
    fn files_outside_the_roots_are_not_read() {
        let folder = folder();
        let (inside, outside) = (folder.path().join("in"), folder.path().join("out.bell"));
        std::fs::create_dir(&inside).unwrap();
        std::fs::write(&outside, "secret").unwrap();
        std::fs::write(inside.join("a.bell"), "use \"b\"").unwrap();
        let disk = Disk::new([inside.clone()]);
        assert_eq!(
            disk.read(&name(&inside.join("a.bell"))),
            Read::Text("use \"b\"".into())
        );
        assert_eq!(disk.read(&name(&outside)), Read::Outside);
        assert_eq!(disk.read(&name(&inside.join("none.bell"))), Read::Absent);
        assert_eq!(
            disk.read(&name(&folder.path().join("none.bell"))),
            Read::Outside
        );
    }

    #[test]
    fn nothing_is_looked_for_in_the_folder_that_the_program_runs_in() {
        let here = std::env::current_dir().unwrap();
        let disk = Disk::new([here.clone()]);
        assert!(matches!(
            disk.read(&name(&here.join("Cargo.toml"))),
            Read::Text(_)
        ));
        assert_eq!(disk.read(&FilePath::new("Cargo.toml")), Read::Outside);
    }

    #[cfg(unix)]
    #[test]
    fn links_do_not_lead_outside() {
        let folder = folder();
        let inside = folder.path().join("in");
        std::fs::create_dir(&inside).unwrap();
        std::fs::write(folder.path().join("out.bell"), "secret").unwrap();
        std::os::unix::fs::symlink(folder.path().join("out.bell"), inside.join("l.bell")).unwrap();
        std::os::unix::fs::symlink(folder.path(), inside.join("up")).unwrap();
        std::os::unix::fs::symlink("nowhere", inside.join("dangling.bell")).unwrap();
        let disk = Disk::new([inside.clone()]);
        assert_eq!(disk.read(&name(&inside.join("l.bell"))), Read::Outside);
        assert_eq!(disk.read(&name(&inside.join("up/out.bell"))), Read::Outside);
        assert_eq!(
            disk.read(&name(&inside.join("dangling.bell"))),
            Read::Absent
        );
        assert_eq!(walk(&inside), (Vec::new(), Vec::new()));
    }

    #[cfg(unix)]
    #[test]
    fn a_path_goes_over_few_links() {
        use std::os::unix::fs::symlink;
        let folder = folder();
        let at = |name: &str| folder.path().join(name);
        std::fs::create_dir(at("real")).unwrap();
        std::fs::write(at("real/a.bell"), "site a").unwrap();
        symlink("real", at("linked")).unwrap();
        symlink(".", at("real/here")).unwrap();
        // Those on the way to the root do not count.
        let disk = Disk::new([at("linked")]);
        let read = |path: &str| disk.read(&name(&at(path)));
        let text = Read::Text("site a".to_string());
        assert_eq!(read("linked/a.bell"), text);
        assert_eq!(read("linked/here/here/a.bell"), text);
        match read("linked/here/here/here/a.bell") {
            Read::Unreadable(why) => assert!(why.contains("more than 2 links"), "{why}"),
            other => panic!("{other:?}"),
        }
    }

    #[cfg(unix)]
    #[test]
    fn nobody_waits_for_what_has_nothing_to_read() {
        let folder = folder();
        let pipe = folder.path().join("a.bell");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.unwrap().success());
        let both_ends = std::fs::OpenOptions::new()
            .read(true)
            .write(true)
            .open(&pipe);
        let _writer = both_ends.unwrap();
        let read = open(&pipe).unwrap().read(&mut [0]);
        assert_eq!(read.unwrap_err().kind(), ErrorKind::WouldBlock);
        assert!(matches!(super::read(&pipe), Read::Unreadable(why) if why.contains("pipe")));
    }

    #[cfg(unix)]
    #[test]
    fn a_folder_by_two_names_is_one_until_both_are_taken_out() {
        let folder = folder();
        let [real, link] = ["real", "link"].map(|name| folder.path().join(name));
        std::fs::create_dir(&real).unwrap();
        std::fs::write(real.join("a.bell"), "").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        let disk = Disk::new([real.clone(), link.clone()]);
        for removed in [&real, &link] {
            assert_eq!(disk.roots(), std::slice::from_ref(&real));
            assert_eq!(disk.called(&link.join("a.bell")), real.join("a.bell"));
            disk.change_roots(std::slice::from_ref(removed), []);
        }
        assert!(disk.roots().is_empty());
    }

    #[test]
    fn what_is_no_text_is_said_so() {
        let folder = folder();
        let at = |name: &str| folder.path().join(name);
        std::fs::create_dir(at("folder.bell")).unwrap();
        std::fs::write(at("latin.bell"), b"site a\nsite caf\xe9").unwrap();
        std::fs::write(at("wide.bell"), b"\xff\xfes\0").unwrap();
        std::fs::write(at("mark.bell"), b"\xef\xbb\xbfsite a").unwrap();
        let why = |name: &str| match read(&at(name)) {
            Read::Unreadable(why) => why,
            other => panic!("{other:?}"),
        };
        assert!(why("folder.bell").contains("folder"));
        assert!(why("latin.bell").contains("line 2"));
        assert!(why("wide.bell").contains("UTF-16"));
        assert_eq!(read(&at("mark.bell")), Read::Text("site a".into()));
        assert_eq!(read(&at("latin.bell/x.bell")), Read::Absent);
    }

    #[test]
    fn a_walk_leaves_out_what_git_and_the_user_hide() {
        let folder = folder();
        for name in [
            "a.bell",
            "b.txt",
            "sub/c.bell",
            "old/d.bell",
            ".hidden/e.bell",
        ] {
            let path = folder.path().join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, "").unwrap();
        }
        std::fs::write(folder.path().join(".gitignore"), "old/\n").unwrap();
        std::fs::write(folder.path().join(".ignore"), "sub/\n").unwrap();
        let (found, _) = walk(folder.path());
        assert_eq!(
            found,
            [
                folder.path().join("a.bell"),
                folder.path().join("sub/c.bell")
            ]
        );
        let disk = Disk::new([folder.path().to_path_buf()]);
        let named = ["a.bell", "b.txt", "sub/c.bell", "old/d.bell", "none.bell"];
        let named = named.map(|name| folder.path().join(name));
        assert_eq!(disk.walked(&named), found.into_iter().collect());
    }
}
