//! The `use` lines of a file.

use std::ops::Range;

use bellwire_plan::model::{Declaration, Space};
use bellwire_plan::source::{File, FilePath, Spot};
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

/// The edit that adds a `use` of `target` to a file.
pub(crate) fn add(file: &File, target: &FilePath) -> Edit {
    let path = relative(file.path(), target);
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
    Edit {
        range: at..at,
        text,
    }
}

/// The way from the folder of one file to another file.
pub(crate) fn relative(from: &FilePath, to: &FilePath) -> String {
    let folder = from
        .as_str()
        .rsplit_once('/')
        .map_or("", |(folder, _)| folder);
    let mut up: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    let mut down: Vec<&str> = to
        .as_str()
        .split('/')
        .filter(|part| !part.is_empty())
        .collect();
    let same = up
        .iter()
        .zip(down.iter().take(down.len().saturating_sub(1)))
        .take_while(|(a, b)| a == b)
        .count();
    up.drain(..same);
    down.drain(..same);
    let steps = up.iter().map(|_| "..").chain(down);
    steps.collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_seen_from_the_files_folder() {
        let way = |from, to| relative(&FilePath::new(from), &FilePath::new(to));
        assert_eq!(way("sites/a.bell", "catalog/m.bell"), "../catalog/m.bell");
        assert_eq!(way("a.bell", "catalog/m.bell"), "catalog/m.bell");
        assert_eq!(way("/w/sites/a.bell", "/w/sites/b.bell"), "b.bell");
        assert_eq!(way("/w/x/y/a.bell", "/w/b.bell"), "../../b.bell");
        for (from, to) in [
            ("sites/a.bell", "catalog/m.bell"),
            ("/w/x/y/a.bell", "/w/b.bell"),
        ] {
            let (from, to) = (FilePath::new(from), FilePath::new(to));
            assert_eq!(from.join(&relative(&from, &to)), to);
        }
    }
}
