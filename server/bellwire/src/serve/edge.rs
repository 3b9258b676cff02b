//! What an answer must know of the client: what it can do, and what it calls files.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::library;
use bellwire_plan::source::{File, FilePath, Text};
use dashmap::DashMap;
use tower_lsp::ls_types::{Location, Uri};

use super::abilities::Abilities;
use super::convert::{self, Positions};
use super::shelf;
use crate::disk::Disk;
use crate::paths;

/// The client's side of places. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Edge {
    /// What it can do.
    pub can: Abilities,
    /// What it calls the documents that it has open.
    uris: Arc<DashMap<FilePath, Uri>>,
    disk: Arc<Disk>,
}

impl Edge {
    /// The edge to a client that has no documents open.
    pub fn new(can: Abilities, disk: Arc<Disk>) -> Edge {
        Edge {
            can,
            disk,
            uris: Arc::default(),
        }
    }

    /// Notes what the client calls a document that it opens.
    pub fn opened(&self, name: FilePath, uri: Uri) {
        self.uris.insert(name, uri);
    }

    /// Notes that a document is open no longer.
    pub fn closed(&self, name: &FilePath) {
        self.uris.remove(name);
    }

    /// What a file of the client is called here.
    pub fn file_name(&self, uri: &Uri) -> FilePath {
        let name = convert::file_name(uri);
        let path = paths::path(&name);
        match path.is_absolute() {
            true => paths::name(&self.disk.called(&path)),
            false => name,
        }
    }

    /// The URI of a file; one of the built-in library is put where editors can read it.
    pub fn uri(&self, name: &FilePath) -> Option<Uri> {
        if let Some(uri) = self.uris.get(name) {
            return Some(uri.clone());
        }
        match library::file(name) {
            Some(_) => Uri::from_file_path(shelf::library_file(name)?),
            None => convert::uri(name),
        }
    }

    /// The places of a text, as the client counts them.
    pub fn positions<'a>(&self, text: &'a Text) -> Positions<'a> {
        Positions::new(text, self.can.encoding)
    }

    /// A place in any file.
    pub fn location(&self, file: &File, range: &Range<usize>) -> Option<Location> {
        Some(Location {
            uri: self.uri(file.path())?,
            range: self.positions(file.text()).range(range),
        })
    }
}
