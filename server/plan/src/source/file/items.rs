//! The items of a text, each at its place.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::source::item::{Item, Source};
use crate::source::path::FilePath;
use crate::source::reader::{self, Raw};
use crate::source::span::{Problem, Span};
use crate::source::statement::Statement;
use crate::source::stretch::stretches;

/// An item at its place in a file.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub(super) start: usize,
    pub(super) item: Arc<Item>,
    /// It stands on the line on which the one before it ends.
    pub(super) crowded: bool,
}

impl Placed {
    pub(super) fn end(&self) -> usize {
        self.start + self.item.source().len()
    }
}

/// What new items may share.
#[derive(Default)]
pub(super) struct Known<'a> {
    /// The items of an old version by their text, each to be taken once.
    items: FxHashMap<&'a str, Arc<Item>>,
    /// The whole text, if nothing of it is older: else the few items that an edit
    /// touches would each keep a whole text.
    whole: Option<Arc<str>>,
}

impl<'a> Known<'a> {
    pub(super) fn of(old: &'a [Placed]) -> Known<'a> {
        let by_text = |placed: &'a Placed| (placed.item.source(), placed.item.clone());
        Known {
            items: old.iter().map(by_text).collect(),
            whole: None,
        }
    }

    pub(super) fn sharing(whole: Arc<str>) -> Known<'a> {
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
pub(super) fn place(
    raw: Raw,
    contents: &str,
    offset: usize,
    path: &FilePath,
    known: &mut Known,
) -> Option<Placed> {
    let source = contents.get(raw.start..raw.end)?;
    let mut problems = raw.problems;
    problems.sort_by_key(|problem| problem.span.start);
    let start = offset + raw.start;
    let source = known.source(start, source);
    let item = Item::new(path.clone(), source, raw.root, false, problems);
    Some(Placed {
        start,
        item: known.share(item),
        crowded: raw.crowded,
    })
}

/// The items of a text that starts at `offset` of the file; `None` where its braces
/// do not match.
pub(super) fn by_braces(
    path: &FilePath,
    contents: &str,
    offset: usize,
    known: &mut Known,
) -> Option<Vec<Placed>> {
    let (raws, _) = reader::items(contents, true).ok()?;
    let raws = raws.into_iter();
    let items = raws.filter_map(|raw| place(raw, contents, offset, path, known));
    Some(items.collect())
}

/// The items of a text whose braces do not match, which starts at `offset` of
/// the file, and what is wrong where there is no item.
pub(super) fn by_stretches(
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
        if let Some(own) = by_braces(path, stretch, offset, known) {
            items.extend(own);
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
    let (roots, problems) = reader::by_indent(contents);
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
