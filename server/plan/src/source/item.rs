//! Top-level statements, each with its text.

use std::ops::Range;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};

use super::derived::Derived;
use super::path::FilePath;
use super::reader;
use super::span::{Problem, Span};
use super::statement::Statement;

/// The text of an item: a part of the text that its file was read from, or, where
/// an edit touched it, a copy of its own.
#[derive(Debug, Clone)]
pub(super) struct Source {
    text: Arc<str>,
    part: Span,
}

impl Source {
    /// A part of a text that is kept as a whole.
    pub(super) fn part(text: &Arc<str>, range: Range<usize>) -> Source {
        Source {
            text: text.clone(),
            part: Span::new(range.start, range.end),
        }
    }

    /// A copy.
    pub(super) fn copy(text: &str) -> Source {
        Source::part(&text.into(), 0..text.len())
    }

    fn as_str(&self) -> &str {
        self.get(Span::new(0, (self.part.end - self.part.start) as usize))
    }

    fn get(&self, span: Span) -> &str {
        let (start, end) = (self.part.start + span.start, self.part.start + span.end);
        let own = self.text.get(start as usize..end as usize);
        own.filter(|_| end <= self.part.end).unwrap_or("")
    }
}

/// A top-level statement with its text, note included. Never changes; equal
/// contents may be shared between versions of a file.
#[derive(Debug)]
pub struct Item {
    /// Tells items apart for as long as the program runs.
    pub id: u64,
    /// The file that it stands in.
    pub file: FilePath,
    source: Source,
    /// Where the keyword stands.
    keyword: Option<Span>,
    root: OnceLock<Statement>,
    /// Its braces do not match, so indentation told what belongs where: its
    /// text by itself does not.
    pub(super) by_indent: bool,
    /// What could not be read.
    pub problems: Vec<Problem>,
    /// What the layers above make of it.
    pub derived: Derived,
}

impl Item {
    pub(super) fn new(
        file: FilePath,
        source: Source,
        root: Statement,
        by_indent: bool,
        problems: Vec<Problem>,
    ) -> Item {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Item {
            id: NEXT.fetch_add(1, Ordering::Relaxed),
            file,
            source,
            keyword: root.keyword,
            root: OnceLock::from(root),
            by_indent,
            problems,
            derived: Derived::default(),
        }
    }

    /// The same item without what can be read again from its text.
    pub(crate) fn at_rest(&self) -> Item {
        Item {
            id: self.id,
            file: self.file.clone(),
            source: self.source.clone(),
            keyword: self.keyword,
            root: match self.by_indent {
                true => self.root.clone(),
                false => OnceLock::new(),
            },
            by_indent: self.by_indent,
            problems: self.problems.clone(),
            derived: self.derived.clone(),
        }
    }

    /// Whether nothing is kept of it that can be read again.
    pub(crate) fn rests(&self) -> bool {
        self.by_indent || self.root.get().is_none()
    }

    /// The statement. An item at rest is read again for it, and keeps it then.
    pub fn root(&self) -> &Statement {
        self.root.get_or_init(|| reader::statement(self.source()))
    }

    /// Whether indentation had to tell what belongs where, its braces not matching.
    pub fn is_by_indent(&self) -> bool {
        self.by_indent
    }

    /// The word that it starts with; empty if it has none.
    pub fn word(&self) -> &str {
        self.keyword.map_or("", |span| self.text(span))
    }

    /// The text at `span`; empty for a span that is not of this item.
    pub fn text(&self, span: Span) -> &str {
        self.source.get(span)
    }

    /// The whole text.
    pub fn source(&self) -> &str {
        self.source.as_str()
    }

    /// The word that a statement starts with; empty if it has none.
    pub fn keyword(&self, statement: &Statement) -> &str {
        statement.keyword.map_or("", |span| self.text(span))
    }

    /// Whether nothing but the place in the file tells the two apart.
    pub(super) fn same_as(&self, other: &Item) -> bool {
        self.source() == other.source()
            && self.by_indent == other.by_indent
            && self.problems == other.problems
            && self.root() == other.root()
    }

    /// The statements that hold `offset`, outermost first: the root, then
    /// block lines and clauses down to the innermost.
    pub fn path_to(&self, offset: u32) -> Vec<&Statement> {
        let mut path = vec![self.root()];
        while let Some(inner) = path
            .last()
            .and_then(|s| s.body.iter().rfind(|s| s.span.touches(offset)))
        {
            path.push(inner);
        }
        path
    }

    /// A place in the item as one that stands by itself.
    pub fn spot(self: &Arc<Self>, span: Span) -> Spot {
        Spot {
            item: self.clone(),
            span,
        }
    }
}

/// A place in any file: an item and a span in it. It stays right while the
/// item lives, wherever edits around it move it.
#[derive(Debug, Clone)]
pub struct Spot {
    /// The item.
    pub item: Arc<Item>,
    /// The place in it.
    pub span: Span,
}

impl Spot {
    /// The text that stands there.
    pub fn text(&self) -> &str {
        self.item.text(self.span)
    }
}

impl PartialEq for Spot {
    fn eq(&self, other: &Spot) -> bool {
        self.item.id == other.item.id && self.span == other.span
    }
}
