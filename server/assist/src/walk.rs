//! Ways through a file that several features share.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::library;
use bellwire_plan::source::{FilePath, Item, Span, Statement, Value};
use bellwire_plan::vocabulary::{Context, Slot, Slots, Word, word};
use bellwire_plan::workspace::{Entry, Evaluation, View};

/// All files of the workspace, in the order of their names.
pub(crate) fn entries(view: &View) -> impl Iterator<Item = Arc<Entry>> {
    let paths = view.paths().into_iter();
    paths.filter_map(|path| view.entry(&path))
}

/// The items of a file that touch `range`, each with where it starts. An item
/// that is not worked out yet is left out.
pub(crate) fn evaluated(
    entry: &Entry,
    range: Range<usize>,
) -> impl Iterator<Item = (usize, &Arc<Evaluation>)> {
    entry
        .file
        .items()
        .zip(&entry.evaluations)
        .filter(move |((start, item), evaluation)| {
            let end = start + item.source().len();
            *start <= range.end && range.start <= end && item.id == evaluation.item.id
        })
        .map(|((start, _), evaluation)| (start, evaluation))
}

/// What is known of an item of a file.
pub(crate) fn evaluation<'a>(entry: &'a Entry, item: &Item) -> Option<&'a Arc<Evaluation>> {
    let mut evaluations = entry.evaluations.iter();
    evaluations.find(|evaluation| evaluation.item.id == item.id)
}

/// All items of a file that are worked out.
pub(crate) fn all(entry: &Entry) -> impl Iterator<Item = (usize, &Arc<Evaluation>)> {
    evaluated(entry, 0..usize::MAX)
}

/// The statements that hold `span`, outermost first; the first is the item itself.
pub(crate) fn holders(item: &Item, span: Span) -> Vec<&Statement> {
    let mut found = vec![item.root()];
    let mut statement = item.root();
    while let Some(inner) = statement
        .body
        .iter()
        .find(|inner| inner.span.start <= span.start && span.end <= inner.span.end)
    {
        found.push(inner);
        statement = inner;
    }
    found
}

/// The innermost statement that holds `span`.
pub(crate) fn holder(item: &Item, span: Span) -> &Statement {
    holders(item, span).last().copied().unwrap_or(item.root())
}

/// A statement from its note to the end of its block; the comma before a
/// clause is not part of it.
pub(crate) fn whole(statement: &Statement) -> Span {
    let start = statement.note.unwrap_or(statement.head).start;
    Span {
        start,
        end: statement.span.end,
    }
}

/// A span of an item that starts at `start`, as bytes of the file.
pub(crate) fn in_file(start: usize, span: Span) -> Range<usize> {
    start + span.start as usize..start + span.end as usize
}

/// The word of a statement, and the context that it opens.
pub(crate) fn meaning(
    item: &Item,
    statement: &Statement,
    context: Option<Context>,
) -> (Option<&'static Word>, Option<Context>) {
    let word = context.and_then(|context| word(item.keyword(statement), context));
    let first = statement.arguments.first();
    let inner = word.and_then(|word| word.context(first.map(|value| item.text(value.span))));
    (word, inner)
}

/// A statement with its word, and what may stand in it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around<'a> {
    /// The statement.
    pub statement: &'a Statement,
    /// Its word; `None` if it means nothing where it stands.
    pub word: Option<&'static Word>,
    /// Where it stands; `None` inside what means nothing.
    pub outer: Option<Context>,
    /// What may stand in it.
    pub inner: Option<Context>,
}

/// The words of statements of which each stands in the one before; the first
/// is the item itself.
pub(crate) fn around<'a>(
    item: &Item,
    statements: impl IntoIterator<Item = &'a Statement>,
) -> Vec<Around<'a>> {
    let mut outer = Some(Context::File);
    let mut read = |statement| {
        let (word, inner) = meaning(item, statement, outer);
        let found = Around {
            statement,
            word,
            outer,
            inner,
        };
        outer = inner;
        found
    };
    statements.into_iter().map(&mut read).collect()
}

/// Whether a file is part of the built-in library.
pub(crate) fn is_built_in(path: &FilePath) -> bool {
    library::file(path).is_some()
}

/// Values with the slots of a word that they fill, in order; a surplus value has none.
pub(crate) fn slotted<'a>(
    slots: &'static [Slot],
    values: &'a [Value],
) -> impl Iterator<Item = (&'a Value, Option<&'static Slot>)> {
    let mut slots = Slots::new(slots);
    let fitted = move |value: &'a Value| {
        let slot = slots.put(|slot| slot.what.takes(&value.kind));
        (value, slot)
    };
    values.iter().map(fitted)
}
