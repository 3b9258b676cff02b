//! One version of one file.

mod edit;
mod items;
mod line;

use std::ops::Range;
use std::sync::{Arc, Mutex, OnceLock, PoisonError, Weak};

use rustc_hash::FxHashMap;

use super::derived::Derived;
use super::item::{Item, Spot};
use super::path::FilePath;
use super::span::Problem;
use super::text::Text;
use items::{Known, Placed, by_braces, by_stretches};

/// One version of a file: its text, and the top-level statements in order.
#[derive(Debug)]
pub struct File {
    path: FilePath,
    /// What the editor that has it open calls this version.
    version: Option<i32>,
    text: OnceLock<Text>,
    /// The text of a file that nobody has open, of which the items are parts.
    contents: Option<Arc<str>>,
    items: Vec<Placed>,
    /// The braces do not match, so indentation told what belongs where.
    by_indent: bool,
    unreadable: Option<String>,
    /// Problems of a text that has no item to belong to.
    loose: Vec<Problem>,
    places: OnceLock<FxHashMap<u64, usize>>,
    /// The copy of a file that nobody has open, while anybody reads it.
    lent: Mutex<Weak<File>>,
    pub(crate) derived: Derived,
}

impl File {
    /// Reads a text.
    pub fn new(path: FilePath, contents: &str) -> File {
        let known = Known::sharing(contents.into());
        File::of(path, Text::new(contents).into(), contents, known)
    }

    /// A file that nobody has open in an editor, and of which a workspace keeps
    /// only what others need.
    pub fn closed(path: FilePath, contents: &str) -> File {
        let contents: Arc<str> = contents.into();
        let known = Known::sharing(contents.clone());
        File {
            contents: Some(contents.clone()),
            ..File::of(path, OnceLock::new(), &contents, known)
        }
    }

    /// A file that is there but cannot be read; `reason` is a sentence for the user.
    pub fn unreadable(path: FilePath, reason: String) -> File {
        let mut file = File::new(path, "");
        file.unreadable = Some(reason);
        file
    }

    /// The same file as a version of a document that an editor has open.
    pub fn with_version(self, version: i32) -> File {
        File {
            version: Some(version),
            ..self
        }
    }

    fn with(path: FilePath, text: OnceLock<Text>, items: Vec<Placed>) -> File {
        File {
            path,
            version: None,
            text,
            contents: None,
            by_indent: items.iter().any(|placed| placed.item.by_indent),
            items,
            unreadable: None,
            loose: Vec::new(),
            places: OnceLock::new(),
            lent: Mutex::default(),
            derived: Derived::default(),
        }
    }

    /// The same file with other values of the same items, in the same order. What is
    /// made of the text of one that nobody has open goes with the copy.
    pub(crate) fn with_items(&self, items: impl Iterator<Item = Arc<Item>>) -> File {
        let items = self.items.iter().zip(items);
        let items = items.map(|(placed, item)| Placed {
            item,
            ..placed.clone()
        });
        let text = match self.contents {
            Some(_) => OnceLock::new(),
            None => self.text.clone(),
        };
        File {
            version: self.version,
            by_indent: self.by_indent,
            unreadable: self.unreadable.clone(),
            contents: self.contents.clone(),
            loose: self.loose.clone(),
            ..File::with(self.path.clone(), text, items.collect())
        }
    }

    /// The same file for somebody to read, who may have it make what is not kept of one that
    /// nobody has open: its text, above all. All who read it at the same time share that, and
    /// it goes with the last of them.
    pub(crate) fn lent(self: &Arc<File>) -> Arc<File> {
        if !self.is_closed() {
            return self.clone();
        }
        let mut lent = self.lent.lock().unwrap_or_else(PoisonError::into_inner);
        lent.upgrade().unwrap_or_else(|| {
            let items = self.items.iter().map(|placed| placed.item.clone());
            let copy = Arc::new(File {
                derived: self.derived.clone(),
                ..self.with_items(items)
            });
            *lent = Arc::downgrade(&copy);
            copy
        })
    }

    /// Reads all of a text; items that are known are shared.
    fn of(path: FilePath, text: OnceLock<Text>, contents: &str, mut known: Known) -> File {
        if let Some(items) = by_braces(&path, contents, 0, &mut known) {
            return File::with(path, text, items);
        }
        let (items, loose) = by_stretches(&path, contents, 0, &mut known);
        File {
            by_indent: true,
            loose,
            ..File::with(path, text, items)
        }
    }

    /// The file's name.
    pub fn path(&self) -> &FilePath {
        &self.path
    }

    /// The number that an editor gave this version of a document; `None` for a file that no
    /// editor has open. It goes with the text, so what was worked out from the one is never
    /// sent as an answer about the other.
    pub fn version(&self) -> Option<i32> {
        self.version
    }

    /// The text.
    pub fn text(&self) -> &Text {
        let contents = || self.contents.as_deref().unwrap_or("");
        self.text.get_or_init(|| Text::new(contents()))
    }

    /// Why the file could not be read, a sentence.
    pub fn unreadable_because(&self) -> Option<&str> {
        self.unreadable.as_deref()
    }

    /// Whether nobody has it open in an editor.
    pub fn is_closed(&self) -> bool {
        self.contents.is_some()
    }

    /// What is wrong with a text that has no statement at all; the places
    /// count from the start of the file.
    pub fn loose_problems(&self) -> &[Problem] {
        &self.loose
    }

    /// Whether indentation had to tell what belongs where, the braces not matching.
    pub fn is_by_indent(&self) -> bool {
        self.by_indent
    }

    /// The top-level statements and the byte offset at which each starts.
    pub fn items(&self) -> impl Iterator<Item = (usize, &Arc<Item>)> {
        self.items.iter().map(|placed| (placed.start, &placed.item))
    }

    /// The item that holds `offset`, and the offset inside it.
    pub fn item_at(&self, offset: usize) -> Option<(&Arc<Item>, u32)> {
        let after = self.items.partition_point(|placed| placed.start <= offset);
        let placed = self.items.get(after.checked_sub(1)?)?;
        (offset <= placed.end()).then(|| (&placed.item, (offset - placed.start) as u32))
    }

    /// The byte range of a place, if its item is part of this version.
    pub fn locate(&self, spot: &Spot) -> Option<Range<usize>> {
        let places = self.places.get_or_init(|| {
            let start = |placed: &Placed| (placed.item.id, placed.start);
            self.items.iter().map(start).collect()
        });
        let start = places.get(&spot.item.id)?;
        Some(start + spot.span.start as usize..start + spot.span.end as usize)
    }
}
