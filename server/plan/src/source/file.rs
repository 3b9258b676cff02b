//! One version of one file.

use std::ops::Range;
use std::sync::{Arc, OnceLock};

use rustc_hash::FxHashMap;
use tree_sitter::{InputEdit, Parser, Point, Tree};

use super::derived::Derived;
use super::item::{Item, Problem, Span, Spot, Statement};
use super::lower::Lowering;
use super::nest;
use super::text::{Change, Text};

/// The name of a file, as whoever reads files has given it: `/`-separated and
/// without `.` and `..`, so that equal names are the same file.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FilePath(Arc<str>);

impl FilePath {
    /// A name, taken as it is.
    pub fn new(name: &str) -> FilePath {
        FilePath(name.into())
    }

    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The name of the file at `relative`, seen from this file's folder.
    /// Steps above the root are left out.
    pub fn join(&self, relative: &str) -> FilePath {
        let folder = self.0.rsplit_once('/').map_or("", |(folder, _)| folder);
        let absolute = relative.starts_with('/');
        let mut parts: Vec<&str> = Vec::new();
        let base = if absolute { "" } else { folder };
        for part in base.split('/').chain(relative.split('/')) {
            match part {
                "" | "." => {}
                ".." => {
                    parts.pop();
                }
                part => parts.push(part),
            }
        }
        let root = if absolute || folder.starts_with('/') || self.0.starts_with('/') {
            "/"
        } else {
            ""
        };
        FilePath(format!("{root}{}", parts.join("/")).into())
    }
}

impl std::fmt::Display for FilePath {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

#[derive(Debug, Clone)]
struct Placed {
    start: usize,
    item: Arc<Item>,
    /// It stands on the line on which the one before it ends.
    crowded: bool,
}

impl Placed {
    fn end(&self) -> usize {
        self.start + self.item.source().len()
    }
}

/// One version of a file: text, tree, and the top-level statements in order.
#[derive(Debug)]
pub struct File {
    path: FilePath,
    text: Text,
    tree: Option<Tree>,
    items: Vec<Placed>,
    /// The braces do not match, so indentation told what belongs where.
    by_indent: bool,
    unreadable: Option<String>,
    /// Problems of a text that has no item to belong to.
    loose: Vec<Problem>,
    places: OnceLock<FxHashMap<u64, usize>>,
    pub(crate) derived: Derived,
}

impl File {
    /// Reads a text.
    pub fn new(path: FilePath, contents: &str) -> File {
        let text = Text::new(contents);
        let tree = parse(&text, None);
        File::of(path, text, tree, None)
    }

    /// A file that is there but cannot be read; `reason` is a sentence for the user.
    pub fn unreadable(path: FilePath, reason: String) -> File {
        let mut file = File::new(path, "");
        file.unreadable = Some(reason);
        file
    }

    /// The next version: `changes`, one after the other, each in the text that
    /// the one before it left. Ranges that do not fit are moved into the text.
    pub fn edit(&self, changes: &[Change]) -> File {
        let mut text = self.text.clone();
        let mut tree = self.tree.clone();
        // What stays the same at either end of the text, in bytes.
        let (mut head, mut tail) = (usize::MAX, usize::MAX);
        for change in changes {
            let whole = change.range.is_none();
            let range = change.range.clone().unwrap_or(0..text.len());
            let start = text.floor(range.start);
            let old_end = text.floor(range.end).max(start);
            let start_point = point(&text, start);
            let old_end_point = point(&text, old_end);
            tail = tail.min(text.len() - old_end);
            head = head.min(start);
            text.replace(start..old_end, &change.text);
            let new_end = start + change.text.len();
            let edit = InputEdit {
                start_byte: start,
                old_end_byte: old_end,
                new_end_byte: new_end,
                start_position: start_point,
                old_end_position: old_end_point,
                new_end_position: point(&text, new_end),
            };
            match &mut tree {
                _ if whole => tree = None,
                Some(tree) => tree.edit(&edit),
                None => {}
            }
        }
        let tree = parse(&text, tree.as_ref());
        let kept = Kept {
            old: self,
            head,
            tail,
        };
        File::of(self.path.clone(), text, tree, Some(kept))
    }

    fn of(path: FilePath, text: Text, tree: Option<Tree>, kept: Option<Kept>) -> File {
        let mut file = File {
            path,
            text,
            tree,
            items: Vec::new(),
            by_indent: false,
            unreadable: None,
            loose: Vec::new(),
            places: OnceLock::new(),
            derived: Derived::default(),
        };
        if let Some(items) = file.items_by_braces(kept.as_ref()) {
            file.items = items;
        } else {
            file.by_indent = true;
            (file.items, file.loose) = file.items_by_indent(kept.as_ref());
        }
        file
    }

    /// The items of a file whose braces match; `None` if they do not.
    fn items_by_braces(&self, kept: Option<&Kept>) -> Option<Vec<Placed>> {
        let tree = self.tree.as_ref()?;
        let mut old = kept
            .map(|kept| kept.in_place(self.text.len()))
            .unwrap_or_default();
        let mut items = Vec::new();
        let mut cursor = tree.walk();
        let mut note: Option<Range<usize>> = None;
        let mut more = cursor.goto_first_child();
        while more {
            let node = cursor.node();
            match node.kind() {
                "stray_close" => return None,
                "comment" => note = Some(self.grow_note(note, node.byte_range())),
                _ => {
                    let start = match note.take() {
                        Some(note) if self.is_next_line(note.end, node.start_byte()) => note.start,
                        _ => node.start_byte(),
                    };
                    let end = node.end_byte();
                    let crowded = items.last().is_some_and(|last: &Placed| {
                        self.text.line_of(last.end()) == self.text.line_of(start)
                    });
                    let item = match old.remove(&(start, end)) {
                        Some(placed) if placed.crowded == crowded => placed.item,
                        _ => {
                            let source = self.text.slice(start..end);
                            let mut lowering = Lowering::new(&source, start);
                            if start < node.start_byte() {
                                lowering.comment(start..node.start_byte());
                            }
                            lowering.line(node);
                            if crowded {
                                lowering.crowded();
                            }
                            if lowering.unbalanced {
                                return None;
                            }
                            let (events, problems) = lowering.finish();
                            let root = nest::by_braces(events, &source).into_iter().next()?;
                            Arc::new(Item::new(self.path.clone(), source, root, problems))
                        }
                    };
                    items.push(Placed {
                        start,
                        item,
                        crowded,
                    });
                }
            }
            more = cursor.goto_next_sibling();
        }
        Some(items)
    }

    /// The items of a file whose braces do not match, and what is wrong where
    /// there is no item.
    fn items_by_indent(&self, kept: Option<&Kept>) -> (Vec<Placed>, Vec<Problem>) {
        let Some(tree) = &self.tree else {
            return (Vec::new(), Vec::new());
        };
        let source = self.text.to_string();
        let mut lowering = Lowering::new(&source, 0);
        lowering.lines(tree.root_node());
        let (events, problems) = lowering.finish();
        let (roots, unmatched) = nest::by_indent(events, &source);
        let mut problems: Vec<_> = problems.into_iter().chain(unmatched).collect();
        problems.sort_by_key(|problem| problem.span.start);
        let mut problems = problems.into_iter().peekable();
        let mut old = kept.map(Kept::by_text).unwrap_or_default();
        let mut items = Vec::new();
        let mut roots = roots.into_iter().peekable();
        while let Some(mut root) = roots.next() {
            let start = root.note.map_or(root.span.start, |note| note.start);
            let end = root.span.end;
            // Problems between items belong to the one before, at its end.
            let next = roots
                .peek()
                .map_or(u32::MAX, |next: &Statement| next.span.start);
            let mut own = Vec::new();
            while let Some(mut problem) = problems.next_if(|problem| problem.span.start < next) {
                let place = |at: u32| at.clamp(start, end) - start;
                problem.span = Span {
                    start: place(problem.span.start),
                    end: place(problem.span.end),
                };
                own.push(problem);
            }
            root.rebase(start);
            let text = source
                .get(start as usize..end as usize)
                .unwrap_or("")
                .to_string();
            let item = Item::new(self.path.clone(), text, root, own);
            let item = match old.remove(item.source()) {
                Some(same) if same.same_as(&item) => same,
                _ => Arc::new(item),
            };
            items.push(Placed {
                start: start as usize,
                item,
                crowded: false,
            });
        }
        (items, problems.collect())
    }

    /// The comment lines directly above what comes next, with one more.
    fn grow_note(&self, note: Option<Range<usize>>, comment: Range<usize>) -> Range<usize> {
        match note {
            Some(note) if self.is_next_line(note.end, comment.start) => note.start..comment.end,
            _ => comment,
        }
    }

    fn is_next_line(&self, end: usize, start: usize) -> bool {
        self.text.line_of(end) + 1 == self.text.line_of(start)
    }

    /// The file's name.
    pub fn path(&self) -> &FilePath {
        &self.path
    }

    /// The text.
    pub fn text(&self) -> &Text {
        &self.text
    }

    /// The syntax tree; `None` only if the parser gave up.
    pub fn tree(&self) -> Option<&Tree> {
        self.tree.as_ref()
    }

    /// Why the file could not be read, a sentence.
    pub fn unreadable_because(&self) -> Option<&str> {
        self.unreadable.as_deref()
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

/// The items of the version before, for those that an edit left alone.
struct Kept<'a> {
    old: &'a File,
    /// Bytes at the start that no change touched.
    head: usize,
    /// Bytes at the end that no change touched.
    tail: usize,
}

impl Kept<'_> {
    /// By the place that they have in the new text, of length `len`.
    fn in_place(&self, len: usize) -> FxHashMap<(usize, usize), Placed> {
        let mut map = FxHashMap::default();
        if self.old.by_indent {
            return map;
        }
        let old_len = self.old.text.len();
        for placed in &self.old.items {
            let (start, end) = (placed.start, placed.end());
            // The line break behind an item is part of what makes it end there.
            if end < self.head {
                map.insert((start, end), placed.clone());
            } else if old_len - start < self.tail {
                map.insert(
                    (len - (old_len - start), len - (old_len - end)),
                    placed.clone(),
                );
            }
        }
        map
    }

    fn by_text(&self) -> FxHashMap<&str, Arc<Item>> {
        let text = |placed: &'_ Placed| placed.item.clone();
        self.old
            .items
            .iter()
            .map(|placed| (placed.item.source(), text(placed)))
            .collect()
    }
}

fn parse(text: &Text, old: Option<&Tree>) -> Option<Tree> {
    thread_local! {
        static PARSER: std::cell::RefCell<Option<Parser>> = const { std::cell::RefCell::new(None) };
    }
    PARSER.with_borrow_mut(|parser| {
        let parser = parser.get_or_insert_with(|| {
            let mut parser = Parser::new();
            let language = tree_sitter_bellwire::LANGUAGE.into();
            // The grammar is generated for an ABI that the library reads; a test holds that.
            let _ = parser.set_language(&language);
            parser
        });
        parser.parse_with_options(&mut |offset, _| text.chunk_from(offset), old, None)
    })
}

fn point(text: &Text, offset: usize) -> Point {
    let position = text.position(offset, super::Encoding::Utf8);
    Point::new(position.line as usize, position.column as usize)
}
