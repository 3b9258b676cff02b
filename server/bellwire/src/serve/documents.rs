//! The documents that the client has open, and their edits.

use std::collections::VecDeque;
use std::sync::Arc;
use std::time::Duration;

use bellwire_plan::source::{Change, Encoding, File, FilePath, Text};
use rustc_hash::{FxHashMap, FxHashSet};
use tower_lsp::ls_types::{TextDocumentContentChangeEvent, TextDocumentItem, Uri};

use super::convert;
use super::edge::Edge;

/// A document with the edits that are not worked out yet.
#[derive(Debug)]
struct Document {
    /// What the client has open.
    buffer: Buffer,
    /// What it has open of the same file under other names, over links; the newest last.
    others: Vec<Buffer>,
    /// What leads to its text from the text that is worked out.
    changes: Vec<Change>,
    /// How long it took to work out the last edits; `None` before the first.
    took: Option<Duration>,
}

/// A text that the client edits.
#[derive(Debug)]
struct Buffer {
    /// What the client calls it.
    uri: Uri,
    /// What the client calls its newest version.
    version: i32,
    /// The newest text.
    text: Text,
    /// The last edits in the order of their versions, so that one that was overtaken on the way
    /// can still take its turn.
    recent: VecDeque<Recent>,
}

/// An edit that was made.
#[derive(Debug)]
struct Recent {
    /// The version before it.
    from: i32,
    /// The version that it makes.
    version: i32,
    /// The text before it.
    before: Text,
    events: Vec<TextDocumentContentChangeEvent>,
}

/// So many edits may overtake one. Helix sends each from a task of its own, a fast typist's too.
const MOST_RECENT: usize = 32;

/// An edit of so many places is no typing, and not kept.
const FEW_PLACES: usize = 32;

impl Buffer {
    fn new(uri: Uri, version: i32, text: Text) -> Buffer {
        Buffer {
            uri,
            version,
            text,
            recent: VecDeque::new(),
        }
    }

    /// Where among the last edits one of this version belongs that comes only now: the versions
    /// left room for it there.
    fn turn_of(&self, version: i32) -> Option<usize> {
        let mut recent = self.recent.iter();
        recent.position(|edit| edit.from < version && version < edit.version)
    }

    /// Notes an edit that makes a version of the text as it is.
    fn note(&mut self, version: i32, events: &[TextDocumentContentChangeEvent]) {
        let is_whole = events.iter().any(|event| event.range.is_none());
        if is_whole || events.len() > FEW_PLACES || version <= self.version {
            self.recent.clear();
            return;
        }
        if self.recent.len() == MOST_RECENT {
            self.recent.pop_front();
        }
        self.recent.push_back(Recent {
            from: self.version,
            version,
            before: self.text.clone(),
            events: events.to_vec(),
        });
    }

    /// Whether the client means this one. A name may be escaped in several ways.
    fn is(&self, uri: &Uri) -> bool {
        self.uri == *uri || convert::file_name(&self.uri) == convert::file_name(uri)
    }
}

/// What a document that was closed leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Closed {
    /// Its file, which is open no longer.
    File,
    /// The same file, which is open under another name too.
    OtherName,
    /// Nothing: it was not open.
    Nothing,
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

    /// Opens a document, or replaces one that is open already. Of a file that is open under
    /// another name too, the text counts that was opened or edited last.
    pub fn open(&mut self, name: FilePath, item: TextDocumentItem) {
        self.edge.opened(name.clone(), item.uri.clone());
        let mut others = Vec::new();
        if let Some(known) = self.open.remove(&name) {
            others = known.others;
            others.push(known.buffer);
            let count = others.len();
            others.retain(|other| !other.is(&item.uri));
            if others.len() < count {
                tracing::warn!("`{name}` was opened twice; the newer text counts");
            }
        }
        let document = Document {
            buffer: Buffer::new(item.uri, item.version, Text::new(&item.text)),
            others,
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
        uri: &Uri,
        version: i32,
        events: Vec<TextDocumentContentChangeEvent>,
    ) {
        let encoding = self.edge.can.encoding;
        let document = self.open.get_mut(name);
        let Some(document) = document.filter(|document| document.has(uri)) else {
            tracing::warn!("`{name}` was edited without being open; the edit is left out");
            return;
        };
        if !document.buffer.is(uri) {
            document.turn_to(uri);
            self.edge.opened(name.clone(), uri.clone());
        }
        match document.buffer.turn_of(version) {
            Some(turn) => document.put_in(turn, version, events, encoding),
            // One that counts back in any other way is no fault: an editor that takes back the
            // sample of a completion may do so.
            None => document.edit(version, events, encoding),
        }
        self.edited.insert(name.clone());
    }

    /// Closes a document.
    pub fn close(&mut self, name: &FilePath, uri: &Uri) -> Closed {
        let document = self.open.get_mut(name);
        let Some(document) = document.filter(|document| document.has(uri)) else {
            return Closed::Nothing;
        };
        if document.buffer.is(uri) {
            let Some(other) = document.others.last().map(|other| other.uri.clone()) else {
                self.edge.closed(name);
                self.edited.remove(name);
                self.open.remove(name);
                return Closed::File;
            };
            document.turn_to(&other);
            self.edge.opened(name.clone(), other);
            self.edited.insert(name.clone());
        }
        document.others.retain(|other| !other.is(uri));
        Closed::OtherName
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
                None => File::new(name, &document.buffer.text.to_string()),
            };
            files.push(file.with_version(document.buffer.version));
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
                let file = File::new(name.clone(), &document.buffer.text.to_string());
                file.with_version(document.buffer.version)
            })
            .collect()
    }
}

impl Document {
    /// Whether the client has it open under a name.
    fn has(&self, uri: &Uri) -> bool {
        self.buffer.is(uri) || self.others.iter().any(|other| other.is(uri))
    }

    /// Has the text count that is open under another name.
    fn turn_to(&mut self, uri: &Uri) {
        let Some(index) = self.others.iter().position(|other| other.is(uri)) else {
            return;
        };
        let buffer = self.others.remove(index);
        self.changes = vec![Change {
            range: None,
            text: buffer.text.to_string(),
        }];
        self.others
            .push(std::mem::replace(&mut self.buffer, buffer));
    }

    fn edit(
        &mut self,
        version: i32,
        events: Vec<TextDocumentContentChangeEvent>,
        encoding: Encoding,
    ) {
        self.buffer.note(version, &events);
        self.buffer.version = version;
        for event in events {
            self.apply(event, encoding);
        }
    }

    /// Makes an edit that others have overtaken, and those once more behind it.
    fn put_in(
        &mut self,
        turn: usize,
        version: i32,
        events: Vec<TextDocumentContentChangeEvent>,
        encoding: Encoding,
    ) {
        let overtaking = self.buffer.recent.split_off(turn);
        if let Some(first) = overtaking.front() {
            self.buffer.version = first.from;
            self.buffer.text = first.before.clone();
        }
        self.edit(version, events, encoding);
        for edit in overtaking {
            self.edit(edit.version, edit.events, encoding);
        }
        self.changes = vec![Change {
            range: None,
            text: self.buffer.text.to_string(),
        }];
    }

    fn apply(&mut self, event: TextDocumentContentChangeEvent, encoding: Encoding) {
        match event.range {
            Some(range) => {
                let range = convert::bytes(&self.buffer.text, range, encoding);
                self.buffer.text.replace(range.clone(), &event.text);
                self.changes.push(Change {
                    range: Some(range),
                    text: event.text,
                });
            }
            None => {
                self.buffer.text = Text::new(&event.text);
                self.changes = vec![Change {
                    range: None,
                    text: event.text,
                }];
            }
        }
    }
}
