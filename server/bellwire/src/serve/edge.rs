//! What a client is to a feature's answer: how it counts columns, what it calls files.

use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;

use bellwire_plan::library;
use bellwire_plan::source::{Encoding, FilePath, Text};
use bellwire_plan::workspace::View;
use dashmap::DashMap;
use tower_lsp::ls_types::{self as lsp, Location, Uri};

use super::convert;
use crate::disk;

/// A document that the client has open.
#[derive(Debug, Clone)]
pub struct Open {
    /// What the client calls it.
    pub uri: Uri,
    /// Its version.
    pub version: i32,
}

/// The client's side of places. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Edge {
    /// What columns count.
    pub encoding: Encoding,
    open: Arc<DashMap<FilePath, Open>>,
}

impl Edge {
    /// An edge without open documents.
    pub fn new(encoding: Encoding) -> Edge {
        Edge {
            encoding,
            open: Arc::default(),
        }
    }

    /// Notes the newest version of an open document.
    pub fn opened(&self, name: FilePath, open: Open) {
        self.open.insert(name, open);
    }

    /// Notes that a document is open no longer.
    pub fn closed(&self, name: &FilePath) {
        self.open.remove(name);
    }

    /// The URI of a file; one of the built-in library is put where editors can read it.
    pub fn uri(&self, name: &FilePath) -> Option<Uri> {
        if let Some(open) = self.open.get(name) {
            return Some(open.uri.clone());
        }
        match library::file(name) {
            Some(file) => convert::uri(&disk::name(&library_copy(name, &file.text().to_string())?)),
            None => convert::uri(name),
        }
    }

    /// The newest version of an open document.
    pub fn version(&self, name: &FilePath) -> Option<i32> {
        self.open.get(name).map(|open| open.version)
    }

    /// A byte range of a text as a range of the protocol.
    pub fn range(&self, text: &Text, range: &Range<usize>) -> lsp::Range {
        convert::range(text, range, self.encoding)
    }

    /// A byte offset of a text as a position.
    pub fn position(&self, text: &Text, offset: usize) -> lsp::Position {
        convert::position(text, offset, self.encoding)
    }

    /// A place in any file.
    pub fn location(&self, view: &View, name: &FilePath, range: &Range<usize>) -> Option<Location> {
        let file = view.file(name)?;
        Some(Location {
            uri: self.uri(name)?,
            range: self.range(file.text(), range),
        })
    }
}

/// Writes a library file where editors can read it, unless it is there: its path.
fn library_copy(name: &FilePath, text: &str) -> Option<PathBuf> {
    let file = name.as_str().rsplit('/').next()?;
    let folder = cache_folder()
        .join("bellwire")
        .join(env!("CARGO_PKG_VERSION"));
    let path = folder.join(file);
    let is_there = std::fs::read(&path).is_ok_and(|there| there == text.as_bytes());
    if !is_there && let Err(error) = write_read_only(&path, text) {
        tracing::warn!("cannot write `{}`: {error}", path.display());
        return None;
    }
    Some(path)
}

fn write_read_only(path: &std::path::Path, text: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    // Under a name of its own first: two servers may start at once.
    let draft = path.with_extension(format!("{}.draft", std::process::id()));
    std::fs::write(&draft, text)?;
    let mut permissions = std::fs::metadata(&draft)?.permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&draft, permissions)?;
    std::fs::rename(&draft, path)
}

fn cache_folder() -> PathBuf {
    let set = |name: &str| {
        let value = std::env::var_os(name).map(PathBuf::from);
        value.filter(|path| path.is_absolute())
    };
    if let Some(folder) = set("XDG_CACHE_HOME").or_else(|| set("LOCALAPPDATA")) {
        return folder;
    }
    match set("HOME") {
        Some(home) => home.join(".cache"),
        None => std::env::temp_dir(),
    }
}
