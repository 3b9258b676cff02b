//! The documents that the client has open, and their edits.

use std::sync::Arc;
use std::time::Duration;

use bellwire_plan::source::{Change, Encoding, File, FilePath, Text};
use rustc_hash::{FxHashMap, FxHashSet};
use tower_lsp::ls_types::{TextDocumentContentChangeEvent, TextDocumentItem};

use super::convert;
use super::edge::Edge;

/// A document with the edits that are not worked out yet.
#[derive(Debug)]
struct Document {
    /// What the client calls its newest version.
    version: i32,
    /// The newest text.
    text: Text,
    /// What leads to it from the text that is worked out.
    changes: Vec<Change>,
    /// How long it took to work out the last edits; `None` before the first.
    took: Option<Duration>,
}

/// All open documents, by file.
#[derive(Debug)]
pub struct Documents {
    edge: Edge,
    open: FxHashMap<FilePath, Document>,
    edited: FxHashSet<FilePath>,
}

impl Documents {
    /// No documents yet.
    pub fn new(edge: Edge) -> Documents {
        Documents {
            edge,
            open: FxHashMap::default(),
            edited: FxHashSet::default(),
        }
    }

    /// Whether a file is open.
    pub fn is_open(&self, name: &FilePath) -> bool {
        self.open.contains_key(name)
    }

    /// Opens a document, or replaces one that is open already.
    pub fn open(&mut self, name: FilePath, item: TextDocumentItem) {
        if self.is_open(&name) {
            tracing::warn!("`{name}` was opened twice; the newer text counts");
        }
        self.edge.opened(name.clone(), item.uri);
        let document = Document {
            version: item.version,
            text: Text::new(&item.text),
            changes: vec![Change {
                range: None,
                text: item.text,
            }],
            took: None,
        };
        self.open.insert(name.clone(), document);
        self.edited.insert(name);
    }

    /// Edits a document.
    pub fn change(
        &mut self,
        name: &FilePath,
        version: i32,
        events: Vec<TextDocumentContentChangeEvent>,
    ) {
        let encoding = self.edge.can.encoding;
        let Some(document) = self.open.get_mut(name) else {
            tracing::warn!("`{name}` was edited without being open; the edit is left out");
            return;
        };
        // One that counts back is no fault: an editor that takes back the sample of a
        // completion may do so.
        document.version = version;
        for event in events {
            document.apply(event, encoding);
        }
        self.edited.insert(name.clone());
    }

    /// Closes a document; whether it was open.
    pub fn close(&mut self, name: &FilePath) -> bool {
        self.edge.closed(name);
        self.edited.remove(name);
        self.open.remove(name).is_some()
    }

    /// The documents with edits that are not worked out yet, and how long the last
    /// ones took.
    pub fn edited(&self) -> impl Iterator<Item = (&FilePath, Option<Duration>)> {
        let took = |name| self.open.get(name).and_then(|document| document.took);
        self.edited.iter().map(move |name| (name, took(name)))
    }

    /// Notes how long it took to work out edits.
    pub fn took(&mut self, names: &FxHashSet<FilePath>, took: Duration) {
        for name in names {
            if let Some(document) = self.open.get_mut(name) {
                document.took = Some(took);
            }
        }
    }

    /// The new versions of the documents that were edited, made from those of before.
    pub fn take_edited(&mut self, before: impl Fn(&FilePath) -> Option<Arc<File>>) -> Vec<File> {
        let mut files = Vec::new();
        for name in self.edited.drain() {
            let Some(document) = self.open.get_mut(&name) else {
                continue;
            };
            let changes = std::mem::take(&mut document.changes);
            let file = match before(&name) {
                Some(file) => file.edit(&changes),
                None => File::new(name, &document.text.to_string()),
            };
            files.push(file.with_version(document.version));
        }
        files
    }

    /// All documents from their texts, as if they had been opened now.
    pub fn all_anew(&mut self) -> Vec<File> {
        self.edited.clear();
        let documents = self.open.iter_mut();
        documents
            .map(|(name, document)| {
                document.changes.clear();
                let file = File::new(name.clone(), &document.text.to_string());
                file.with_version(document.version)
            })
            .collect()
    }
}

impl Document {
    fn apply(&mut self, event: TextDocumentContentChangeEvent, encoding: Encoding) {
        match event.range {
            Some(range) => {
                let range = convert::bytes(&self.text, range, encoding);
                self.text.replace(range.clone(), &event.text);
                self.changes.push(Change {
                    range: Some(range),
                    text: event.text,
                });
            }
            None => {
                self.text = Text::new(&event.text);
                self.changes = vec![Change {
                    range: None,
                    text: event.text,
                }];
            }
        }
    }
}
