//! One version of one file.

use std::ops::Range;
use std::sync::{Arc, OnceLock};

use rustc_hash::FxHashMap;

use super::derived::Derived;
use super::item::{Item, Problem, Source, Span, Spot, Statement};
use super::lexer::{Lexer, Token};
use super::nest;
use super::path::FilePath;
use super::reader::{self, Raw};
use super::stretch::stretches;
use super::text::{Change, Text};

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

/// One version of a file: its text, and the top-level statements in order.
#[derive(Debug)]
pub struct File {
    path: FilePath,
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

    /// The next version: `changes`, one after the other, each in the text that
    /// the one before it left. Ranges that do not fit are moved into the text.
    pub fn edit(&self, changes: &[Change]) -> File {
        let mut text = self.text().clone();
        // What stays the same at either end of the text, in bytes.
        let (mut head, mut tail) = (usize::MAX, usize::MAX);
        for change in changes {
            let range = change.range.clone().unwrap_or(0..text.len());
            let start = text.floor(range.start);
            let old_end = text.floor(range.end).max(start);
            head = head.min(start);
            tail = tail.min(text.len() - old_end);
            text.replace(start..old_end, &change.text);
        }
        let kept = Kept {
            old: self,
            head,
            tail,
        };
        let items = match self.by_indent {
            false => kept.by_braces(&text).or_else(|| kept.by_stretches(&text)),
            true => kept.by_stretches(&text),
        };
        match items {
            Some(items) => File::with(self.path.clone(), text.into(), items),
            None => {
                let contents = text.to_string();
                let known = Known::of(&self.items);
                File::of(self.path.clone(), text.into(), &contents, known)
            }
        }
    }

    fn with(path: FilePath, text: OnceLock<Text>, items: Vec<Placed>) -> File {
        File {
            path,
            text,
            contents: None,
            by_indent: items.iter().any(|placed| placed.item.by_indent),
            items,
            unreadable: None,
            loose: Vec::new(),
            places: OnceLock::new(),
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
            by_indent: self.by_indent,
            unreadable: self.unreadable.clone(),
            contents: self.contents.clone(),
            loose: self.loose.clone(),
            ..File::with(self.path.clone(), text, items.collect())
        }
    }

    /// The same file for somebody to read, who may have it make what it does not keep.
    pub(crate) fn copy(&self) -> File {
        File {
            derived: self.derived.clone(),
            ..self.with_items(self.items.iter().map(|placed| placed.item.clone()))
        }
    }

    /// Reads all of a text; items that are known are shared.
    fn of(path: FilePath, text: OnceLock<Text>, contents: &str, mut known: Known) -> File {
        if let Ok((raws, _)) = reader::items(contents, true) {
            let items = raws
                .into_iter()
                .filter_map(|raw| place(raw, contents, 0, &path, &mut known))
                .collect();
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

/// What new items may share.
#[derive(Default)]
struct Known<'a> {
    /// The items of an old version by their text, each to be taken once.
    items: FxHashMap<&'a str, Arc<Item>>,
    /// The whole text, if nothing of it is older: else the few items that an edit
    /// touches would each keep a whole text.
    whole: Option<Arc<str>>,
}

impl<'a> Known<'a> {
    fn of(old: &'a [Placed]) -> Known<'a> {
        let by_text = |placed: &'a Placed| (placed.item.source(), placed.item.clone());
        Known {
            items: old.iter().map(by_text).collect(),
            whole: None,
        }
    }

    fn sharing(whole: Arc<str>) -> Known<'a> {
        Known {
            items: FxHashMap::default(),
            whole: Some(whole),
        }
    }

    /// The text of an item that starts at `start` of the file.
    fn source(&self, start: usize, text: &str) -> Source {
        match &self.whole {
            Some(whole) => Source::part(whole, start..start + text.len()),
            None => Source::copy(text),
        }
    }

    /// The old item that says the same, or the new one.
    fn share(&mut self, item: Item) -> Arc<Item> {
        match self.items.remove(item.source()) {
            Some(old) if old.same_as(&item) => old,
            _ => Arc::new(item),
        }
    }
}

/// An item as read from `contents`, which starts at `offset` of the file.
fn place(
    raw: Raw,
    contents: &str,
    offset: usize,
    path: &FilePath,
    known: &mut Known,
) -> Option<Placed> {
    let source = contents.get(raw.start..raw.end)?;
    let mut problems = raw.problems;
    problems.sort_by_key(|problem| problem.span.start);
    let root = nest::by_braces(raw.events, source).into_iter().next()?;
    let start = offset + raw.start;
    let source = known.source(start, source);
    let item = Item::new(path.clone(), source, root, false, problems);
    Some(Placed {
        start,
        item: known.share(item),
        crowded: raw.crowded,
    })
}

/// The items of a text whose braces do not match, which starts at `offset` of
/// the file, and what is wrong where there is no item.
fn by_stretches(
    path: &FilePath,
    contents: &str,
    offset: usize,
    known: &mut Known,
) -> (Vec<Placed>, Vec<Problem>) {
    let mut items = Vec::new();
    let mut loose = Vec::new();
    for range in stretches(contents).ranges {
        let offset = offset + range.start;
        let stretch = contents.get(range).unwrap_or("");
        if let Ok((raws, _)) = reader::items(stretch, true) {
            let raws = raws.into_iter();
            items.extend(raws.filter_map(|raw| place(raw, stretch, offset, path, known)));
        } else {
            let (own, unplaced) = items_by_indent(path, stretch, offset, known);
            items.extend(own);
            loose.extend(unplaced);
        }
    }
    (items, loose)
}

/// The items of a stretch whose braces do not match, likewise.
fn items_by_indent(
    path: &FilePath,
    contents: &str,
    offset: usize,
    known: &mut Known,
) -> (Vec<Placed>, Vec<Problem>) {
    let (events, problems) = reader::lines(contents);
    let (roots, unmatched) = nest::by_indent(events, contents);
    let mut problems: Vec<_> = problems.into_iter().chain(unmatched).collect();
    problems.sort_by_key(|problem| problem.span.start);
    let mut problems = problems.into_iter().peekable();
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
        let source = contents.get(start as usize..end as usize).unwrap_or("");
        let start = offset + start as usize;
        let source = known.source(start, source);
        let item = Item::new(path.clone(), source, root, true, own);
        items.push(Placed {
            start,
            item: known.share(item),
            crowded: false,
        });
    }
    (items, problems.collect())
}

/// What an edit left alone of the version before.
struct Kept<'a> {
    old: &'a File,
    /// Bytes at the start that no change touched.
    head: usize,
    /// Bytes at the end that no change touched.
    tail: usize,
}

impl Kept<'_> {
    /// Whether the edit begins on the line on which the item before `first`
    /// ends: what comes there may go on with it.
    fn is_on_line_of(&self, first: usize, text: &Text) -> bool {
        let items = &self.old.items;
        let Some(before) = first.checked_sub(1).and_then(|before| items.get(before)) else {
            return false;
        };
        let next = items.get(first).map_or(self.head, |next| next.start);
        let between = text.slice(before.end()..next.min(self.head).max(before.end()));
        !between.contains(['\n', '\r'])
    }

    /// The items of the new text, only those read again that the edit touched.
    /// `None` where that does not tell: the braces do not match any more.
    fn by_braces(&self, text: &Text) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let (first, mut last) = self.touched(text);
        loop {
            let start = match first.checked_sub(1) {
                Some(before) => old.get(before)?.end(),
                None => 0,
            };
            // On the line of the edit, a quote or a comment may now reach further.
            while old.get(last).is_some_and(|next| next.crowded) {
                last += 1;
            }
            let next = old.get(last);
            let end = next.map_or(text.len(), |next| self.shift(next.start, text));
            let region = text.slice(start..end);
            let (raws, rest) = reader::items(&region, first == 0).ok()?;
            if next.is_some() {
                let below = Span::new(region.len(), region.len());
                let joins = rest
                    .note
                    .is_some_and(|note| reader::is_next_line(&region, note, below));
                // The region's end says something about the item behind it.
                if joins || !rest.breaks || rest.in_comment {
                    last += 1;
                    continue;
                }
            }
            let mut known = Known::default();
            let raws = raws.into_iter();
            let read = raws.map(|raw| place(raw, &region, start, &self.old.path, &mut known));
            return self.joined(first, read.collect::<Option<_>>()?, last, text);
        }
    }

    /// The same for a text whose braces do not match. `None` where the old
    /// version does not tell either: all of the text is to be read again.
    fn by_stretches(&self, text: &Text) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let (first, last) = self.touched(text);
        // What lies between two items belongs to the first of them, and what
        // comes before all items to the first.
        let mut first = first.saturating_sub(1);
        while first > 0 && !self.starts_stretch(first) {
            first -= 1;
        }
        let mut last = last.max(first + 1).min(old.len());
        let is_one_stretch = |placed: &Placed| stretches(placed.item.source()).ranges.len() == 1;
        if !self.old.by_indent {
            let mut others = old.get(..first)?.iter().chain(old.get(last..)?);
            if !others.all(is_one_stretch) {
                return None;
            }
        }
        let start = old.get(first).filter(|_| first > 0);
        let start = start.map_or(0, |placed| placed.start);
        loop {
            while last < old.len() && !self.starts_stretch(last) {
                last += 1;
            }
            let next = old.get(last);
            let end = next.map_or(text.len(), |next| self.shift(next.start, text));
            let region = text.slice(start..end);
            // The edit may have put something before what comes behind it.
            let follows = next.is_some() && !starts_line(&region, next);
            if follows || next.is_some() && stretches(&region).ends_with_note {
                last += 1;
                continue;
            }
            let mut known = Known::of(old.get(first..last)?);
            let (read, loose) = by_stretches(&self.old.path, &region, start, &mut known);
            let items = self.joined(first, read, last, text)?;
            let is_told = loose.is_empty() && !is_balanced(&items, text);
            return is_told.then_some(items);
        }
    }

    /// The items that an edit touched: the first, and the one behind the last.
    fn touched(&self, text: &Text) -> (usize, usize) {
        let old = &self.old.items;
        let old_len = self.old.text().len();
        // The byte behind an item is part of what makes it end there, and the
        // one before it of what makes it start there.
        let mut first = old.partition_point(|placed| placed.end() < self.head);
        if self.is_on_line_of(first, text) {
            first -= 1;
        }
        let last = old.partition_point(|placed| old_len - placed.start >= self.tail);
        (first, last.max(first))
    }

    /// Where a place behind all changes is now.
    fn shift(&self, at: usize, text: &Text) -> usize {
        text.len() - (self.old.text().len() - at)
    }

    /// The old items before `first`, what was read, and the old ones from `last` on.
    fn joined(
        &self,
        first: usize,
        read: Vec<Placed>,
        last: usize,
        text: &Text,
    ) -> Option<Vec<Placed>> {
        let old = &self.old.items;
        let mut items = Vec::with_capacity(old.len() + read.len());
        items.extend_from_slice(old.get(..first)?);
        items.extend(read);
        items.extend(old.get(last..)?.iter().map(|placed| Placed {
            start: self.shift(placed.start, text),
            ..placed.clone()
        }));
        Some(items)
    }

    /// Whether an item is the first of a stretch.
    fn starts_stretch(&self, index: usize) -> bool {
        self.old.items.get(index).is_some_and(|placed| {
            let item = &placed.item;
            match item.root().note {
                Some(_) => nest::indent(item.source(), item.root().span.start as usize) == Some(0),
                None => {
                    let text = self.old.text();
                    text.line(text.line_of(placed.start)).start == placed.start
                }
            }
        })
    }
}

/// Whether an item that comes behind `region` still starts its line: it stands
/// at the margin, or, where a note begins it, behind nothing but blanks.
fn starts_line(region: &str, next: Option<&Placed>) -> bool {
    let line = region.rsplit(['\n', '\r']).next().unwrap_or(region);
    match next.and_then(|placed| placed.item.root().note) {
        Some(_) => Lexer::new(line).peek() == Token::End,
        None => line.is_empty(),
    }
}

/// Whether the stretches of a text whose braces do not match make up for each
/// other, so that braces do tell what belongs where.
fn is_balanced(items: &[Placed], text: &Text) -> bool {
    let mut stretches = String::new();
    for (index, placed) in items.iter().enumerate() {
        if placed.item.by_indent {
            let start = if index == 0 { 0 } else { placed.start };
            let end = items.get(index + 1).map_or(text.len(), |next| next.start);
            stretches += &text.slice(start..end);
        }
    }
    !stretches.is_empty() && reader::items(&stretches, true).is_ok()
}
