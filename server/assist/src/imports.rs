//! The `use` lines of a file.

use std::ops::Range;

use bellwire_plan::model::Declaration;
use bellwire_plan::source::{File, FilePath, Spot};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{Entry, Import};

use crate::edit::{Edit, line_break};
use crate::place::Place;

/// The `use` whose path is at `offset`.
pub(crate) fn at(entry: &Entry, offset: usize) -> Option<&Import> {
    let place = Place::at(entry, offset)?;
    let mut imports = entry.imports.iter();
    imports.find(|import| import.item.id == place.item.id && import.span.touches(place.offset))
}

/// Where the path of a `use` stands in its file, between its quotes.
pub(crate) fn place(entry: &Entry, import: &Import) -> Option<Range<usize>> {
    entry.file.locate(&Spot {
        item: import.item.clone(),
        span: import.span,
    })
}

/// The edit that adds a `use` of `target` to a file; `None` if no `use` can name it.
pub(crate) fn add(file: &File, target: &FilePath) -> Option<Edit> {
    let path = file.path().way_to(target)?;
    let line_break = line_break(file);
    let statement = format!("use \"{path}\"");
    let last = file
        .items()
        .filter(|(_, item)| Space::of(item).is_none() && item.declared().name.is_none())
        .filter(|(_, item)| matches!(item.declared().what, Declaration::Use(_)))
        .last();
    let (at, text) = match last {
        Some((start, item)) => {
            // Behind what may stand behind it on its line.
            let end = start + item.root().span.end as usize;
            let text = file.text();
            let line = text.line(text.line_of(end));
            (line.end, format!("{line_break}{statement}"))
        }
        None => {
            let first = file.items().next().map_or(0, |(start, _)| start);
            (first, format!("{statement}{line_break}{line_break}"))
        }
    };
    Some(Edit {
        range: at..at,
        text,
    })
}
