//! The owner of the workspace: everything that changes it goes through here,
//! one message at a time.
//!
//! Edits are only noted; they are worked out when somebody asks, or when no
//! more messages wait. So a burst of typing is worked out once, and an answer is
//! about the version that the client had when it asked.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use bellwire_plan::day::Day;
use bellwire_plan::library;
use bellwire_plan::source::{File, FilePath};
use bellwire_plan::workspace::{Entry, Files, Prepared, View, Workspace};
use rustc_hash::FxHashSet;
use tower_lsp::ls_types::{
    FileChangeType, FileEvent, TextDocumentContentChangeEvent, TextDocumentItem, Uri,
};

use super::documents::{Closed, Documents};
use super::edge::Edge;
use super::mailbox;
use super::publisher::{Job, Publisher};
use super::settings::Settings;
use super::snapshot::{Everything, Snapshot};
use crate::disk::{self, Disk};
use crate::paths;
use crate::today::today;

/// How long the reader of the input may be kept from reading.
const QUICK: Duration = Duration::from_millis(4);

/// An edit of a document that more files use than this is never taken to be quick.
const FEW: usize = 4;

/// Workspace, open documents and settings.
pub struct Owner {
    disk: Arc<Disk>,
    workspace: Workspace,
    today: Day,
    documents: Documents,
    edge: Edge,
    settings: Arc<Settings>,
    publisher: Publisher,
    /// Versions that edits have replaced. Freeing them takes time, so it waits until the new
    /// findings are sent.
    past: Vec<Arc<Entry>>,
    /// How many readings of folders are under way. The first one is from the start.
    readings: usize,
    /// Files and folders that have gone while any is: what is read already may hold them.
    gone: FxHashSet<FilePath>,
}

impl Owner {
    /// An owner of nothing yet.
    pub fn new(edge: Edge, disk: Arc<Disk>, settings: Settings, publisher: Publisher) -> Owner {
        let today = today();
        Owner {
            workspace: Workspace::new(disk.clone(), today),
            disk,
            today,
            documents: Documents::new(edge.clone()),
            edge,
            settings: Arc::new(settings),
            publisher,
            past: Vec::new(),
            readings: 1,
            gone: FxHashSet::default(),
        }
    }

    /// A document was opened: its text counts, not the disk's.
    pub fn open(&mut self, item: TextDocumentItem) {
        let name = self.edge.file_name(&item.uri);
        if library::file(&name).is_some() {
            // It comes with the program and does not change.
            return;
        }
        let path = paths::path(&name);
        if path.is_absolute() && !self.disk.holds(&path) {
            let folder = path.parent().unwrap_or(&path);
            self.disk.add_loose(&disk::root_of(&path, folder));
            let touched = self.workspace.look_again();
            self.publish(touched);
        }
        self.documents.open(name, item);
    }

    /// A document was edited.
    pub fn change(&mut self, uri: &Uri, version: i32, events: Vec<TextDocumentContentChangeEvent>) {
        let name = self.edge.file_name(uri);
        if library::file(&name).is_none() {
            self.documents.change(&name, uri, version, events);
        }
    }

    /// A document was closed: the disk's text counts again.
    pub fn close(&mut self, uri: &Uri) {
        self.work_out();
        let name = self.edge.file_name(uri);
        match self.documents.close(&name, uri) {
            Closed::File => self.read_again(vec![name]),
            Closed::OtherName => {}
            Closed::Nothing if library::file(&name).is_some() => {}
            Closed::Nothing => tracing::warn!("`{name}` was closed without being open"),
        }
    }

    /// Files on disk have come, changed or gone; folders with all that is in them.
    pub fn watched(&mut self, events: Vec<FileEvent>) {
        self.work_out();
        let mut names = Vec::new();
        let view = self.workspace.view();
        let mut known = None;
        for event in events {
            let name = self.edge.file_name(&event.uri);
            let path = paths::path(&name);
            if event.typ == FileChangeType::DELETED {
                let known = known.get_or_insert_with(|| view.paths()).iter();
                names.extend(known.filter(|path| is_in(path, &name)).cloned());
                if self.readings > 0 {
                    self.gone.insert(name);
                }
                continue;
            }
            let came = match self.disk.holds(&path) {
                true => disk::plans(&path),
                false => Vec::new(),
            };
            let came = came.iter().map(|path| paths::name(path));
            let known = view.has(&name).then_some(name);
            let came: Vec<_> = came.chain(known).collect();
            self.gone.retain(|gone| !came.contains(gone));
            names.extend(came);
        }
        if !names.is_empty() {
            self.read_again(names);
        }
    }

    /// The workspace has other folders now. Files of those that are no longer
    /// part of it are forgotten, those of new ones are yet to be [loaded](Owner::loaded).
    pub fn change_roots(&mut self, removed: &[PathBuf], added: Vec<PathBuf>) {
        self.readings += usize::from(!added.is_empty());
        self.work_out();
        self.disk.change_roots(removed, added);
        let mut paths = self.workspace.view().paths();
        // A file may have been opened by itself before, so that it may still be read.
        let is_kept = |name: &FilePath| {
            self.disk.in_roots(&paths::path(name)) || self.documents.is_open(name)
        };
        paths.retain(|name| !is_kept(name));
        let touched = self.workspace.remove(&paths);
        self.publish(touched);
        let touched = self.workspace.look_again();
        self.publish(touched);
    }

    /// The folders of the workspace.
    pub fn roots(&self) -> Vec<PathBuf> {
        self.disk.roots()
    }

    /// Takes in files that were read from the folders. What is known already is newer.
    pub fn loaded(&mut self, mut files: Vec<Prepared>) {
        self.work_out();
        let view = self.workspace.view();
        let is_gone = |name: &FilePath| {
            let mut gone = self.gone.iter();
            gone.any(|gone| is_in(name, gone))
        };
        files.retain(|file| {
            let name = file.path();
            // Its folder may have been taken out of the workspace meanwhile.
            self.disk.in_roots(&paths::path(name))
                && !self.documents.is_open(name)
                && !is_gone(name)
                && !view.has(name)
        });
        let touched = self.workspace.put_prepared(files);
        self.publish(touched);
    }

    /// The folders of one reading have been read.
    pub fn all_loaded(&mut self) {
        self.readings = self.readings.saturating_sub(1);
        if self.readings == 0 {
            self.gone.clear();
        }
    }

    /// The user has set something.
    pub fn configure(&mut self, settings: Settings) {
        self.settings = Arc::new(settings);
        self.publisher.refresh_hints();
    }

    /// A handle on the workspace, which need not be worked out yet.
    pub fn view(&self) -> View {
        self.workspace.view()
    }

    /// A file as it is now; `None` if there is no such file.
    pub fn snapshot(&mut self, uri: &Uri) -> Option<Snapshot> {
        self.work_out();
        let view = self.workspace.view();
        let name = self.edge.file_name(uri);
        let entry = view.entry(&name)?;
        Some(Snapshot {
            view,
            edge: self.edge.clone(),
            settings: self.settings.clone(),
            entry,
        })
    }

    /// All files as they are now.
    pub fn everything(&mut self) -> Everything {
        self.work_out();
        Everything {
            view: self.workspace.view(),
            edge: self.edge.clone(),
        }
    }

    /// Works out the edits that were noted.
    fn work_out(&mut self) {
        if today() != self.today {
            // Batteries have aged since.
            self.rebuild();
        }
        let view = self.workspace.view();
        let files = self.documents.take_edited(|name| view.file(name));
        if !files.is_empty() {
            let began = Instant::now();
            let edited: FxHashSet<FilePath> =
                files.iter().map(|file| file.path().clone()).collect();
            self.past
                .extend(edited.iter().filter_map(|name| view.entry(name)));
            let touched = self.workspace.put(files);
            self.publish_after(touched, &edited);
            self.documents.took(&edited, began.elapsed());
        }
    }

    /// Reads files from disk again that are not open. Those that no folder holds are forgotten,
    /// unless somebody uses them.
    pub fn read_again(&mut self, mut names: Vec<FilePath>) {
        self.work_out();
        names.retain(|name| !self.documents.is_open(name));
        let view = self.workspace.view();
        let (mut files, mut gone) = (Vec::new(), Vec::new());
        let paths: Vec<PathBuf> = names.iter().map(paths::path).collect();
        let walked = self.disk.walked(&paths);
        for (name, path) in names.into_iter().zip(paths) {
            let file = match walked.contains(&path) {
                true => disk::load(&path),
                false => None,
            };
            match file {
                Some(file) => files.push(file),
                None if view.has(&name) => gone.push(name),
                None => {}
            }
        }
        let touched = self.workspace.put(files);
        self.publish(touched);
        let touched = self.workspace.remove(&gone);
        self.publish(touched);
        let touched = self.workspace.look_again();
        self.publish(touched);
    }

    /// Starts anew from the files that are known. Those that are open go last: it is one of
    /// them, most often, over which the work broke off, and it may do so again.
    fn rebuild(&mut self) {
        self.today = today();
        let known = self.workspace.view();
        self.workspace = Workspace::new(self.disk.clone(), self.today);
        let (mut files, mut gone) = (Vec::new(), Vec::new());
        for name in known.paths() {
            if self.documents.is_open(&name) {
                continue;
            }
            match self.closed(known.file(&name), &name) {
                Some(file) => files.push(file),
                None => gone.push(name),
            }
        }
        let touched = self.workspace.put(files);
        self.publish(touched);
        self.publish(gone);
        let touched = self.workspace.put(self.documents.all_anew());
        self.publish(touched);
    }

    /// A file that is not open, as it is `known`; as it is on the disk, if it was open then.
    fn closed(&self, known: Option<Arc<File>>, name: &FilePath) -> Option<File> {
        match known.filter(|known| known.version().is_none()) {
            Some(known) => Some(match known.unreadable_because() {
                Some(why) => File::unreadable(name.clone(), why.to_string()),
                None => File::closed(name.clone(), &known.text().to_string()),
            }),
            None => self.disk.read(name).file(name.clone()).ok(),
        }
    }

    /// Has the findings of files sent that changed by themselves.
    fn publish(&self, names: Vec<FilePath>) {
        self.publish_after(names, &FxHashSet::default());
    }

    /// Has the findings of files sent. What else is shown of those that the
    /// client has not edited itself, it must be told to ask for again.
    fn publish_after(&self, names: Vec<FilePath>, edited: &FxHashSet<FilePath>) {
        let view = self.workspace.view();
        for name in names {
            if !edited.contains(&name) {
                self.publisher.refresh_findings();
                if self.documents.is_open(&name) {
                    self.publisher.refresh_hints();
                }
            }
            self.publisher.queue(Job {
                entry: view.faulty(&name),
                view: view.clone(),
                name,
            });
        }
    }
}

/// Whether a file is the one that is named, or in the folder that is.
fn is_in(file: &FilePath, name: &FilePath) -> bool {
    let inner = file.as_str().strip_prefix(name.as_str());
    inner.is_some_and(|inner| inner.is_empty() || inner.starts_with('/'))
}

impl mailbox::Worker for Owner {
    fn caught_up(&mut self) {
        self.work_out();
        self.publisher.send();
        self.past.clear();
    }

    fn is_quick(&self) -> bool {
        let is_quick = |(name, took): (&FilePath, Option<Duration>)| {
            took.is_some_and(|took| took < QUICK) && self.workspace.users(name) <= FEW
        };
        today() == self.today && self.documents.edited().all(is_quick)
    }

    fn recover(&mut self) {
        self.rebuild();
    }
}

#[cfg(test)]
mod tests {
    use tempfile::TempDir;
    use tower_lsp::LspService;
    use tower_lsp::ls_types::ClientCapabilities;

    use super::mailbox::Worker as _;
    use super::*;
    use crate::serve::abilities::Abilities;
    use crate::serve::backend::Backend;
    use crate::serve::outlet::Outlet;
    use crate::serve::pipes::Output;

    /// An owner of the plans in a folder, none of them read yet. It is never told to send anything.
    fn owner(folder: &TempDir) -> Owner {
        let outlet = Outlet::new(Output::new().unwrap());
        let mut client = None;
        let _ = LspService::new(|given| {
            client = Some(given.clone());
            Backend::new(given, outlet.clone())
        });
        let disk = Arc::new(Disk::new([folder.path().to_path_buf()]));
        let can = Abilities::new(&ClientCapabilities::default());
        let edge = Edge::new(can, disk.clone());
        let publisher = Publisher::start(&client.unwrap(), &outlet, &edge, false).unwrap();
        Owner::new(edge, disk, Settings::default(), publisher)
    }

    fn prepared(owner: &Owner, paths: &[PathBuf]) -> Vec<Prepared> {
        let view = owner.view();
        disk::read_all(paths, |name, read| view.prepare(name, read).ok())
    }

    fn plan(folder: &TempDir, name: impl AsRef<std::path::Path>) -> PathBuf {
        let path = folder.path().join(name);
        std::fs::write(&path, "site a {}\n").unwrap();
        path
    }

    fn event(path: &std::path::Path, typ: FileChangeType) -> FileEvent {
        let uri = Uri::from_file_path(path).unwrap();
        FileEvent { uri, typ }
    }

    #[tokio::test]
    async fn what_goes_while_any_folder_is_read_does_not_come_back() {
        let folder = tempfile::tempdir().unwrap();
        let mut owner = owner(&folder);
        let path = plan(&folder, "a.bell");
        let read = prepared(&owner, std::slice::from_ref(&path));
        // Another folder is added, and read through, in the middle of reading the first.
        owner.change_roots(&[], vec![folder.path().join("other")]);
        owner.all_loaded();
        std::fs::remove_file(&path).unwrap();
        owner.watched(vec![event(&path, FileChangeType::DELETED)]);
        owner.loaded(read);
        assert!(!owner.workspace.view().has(&paths::name(&path)));
        // Once both are read, it may come as any other.
        owner.all_loaded();
        plan(&folder, "a.bell");
        owner.loaded(prepared(&owner, std::slice::from_ref(&path)));
        assert!(owner.workspace.view().has(&paths::name(&path)));
    }

    #[cfg(unix)]
    #[tokio::test]
    async fn every_file_that_is_known_outlives_starting_again() {
        use std::os::unix::ffi::OsStrExt as _;
        let folder = tempfile::tempdir().unwrap();
        let mut owner = owner(&folder);
        let strange = std::ffi::OsStr::from_bytes(b"caf\xe9.bell");
        let paths = [plan(&folder, "a.bell"), plan(&folder, strange)];
        let opened = plan(&folder, "open.bell");
        let uri = Uri::from_file_path(&opened).unwrap();
        owner.loaded(prepared(&owner, &paths));
        owner.open(TextDocumentItem {
            uri: uri.clone(),
            language_id: "bellwire".into(),
            version: 1,
            text: "site b {}\n".into(),
        });
        let before = owner.everything().view;
        owner.recover();
        let after = owner.everything().view;
        assert_eq!(before.paths().len(), 3);
        assert_eq!(after.paths(), before.paths());
        for name in before.paths() {
            let known = [&before, &after].map(|view| {
                let file = view.file(&name).unwrap();
                let why = file.unreadable_because().map(str::to_string);
                (file.text().to_string(), file.version(), why)
            });
            assert_eq!(known[0], known[1]);
        }
        // One that was open when the work on its closing broke off is as it is on the disk.
        let name = paths::name(&opened);
        owner.documents.close(&name, &uri);
        owner.recover();
        let file = owner.everything().view.file(&name).unwrap();
        assert_eq!(file.text().to_string(), "site a {}\n");
    }
}
