//! Files: what a plan has from those that it uses.

use bellwire_plan::source::{File, Span};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{Entry, View};

use super::page::{Page, code, escaped};
use crate::imports;

/// How many names are shown of each sort.
const MOST: usize = 12;

/// The file whose path is at `offset`, in a `use`.
pub(super) fn used(view: &View, entry: &Entry, offset: usize) -> Option<(Span, String)> {
    let import = imports::at(entry, offset)?;
    let file = view.file(&import.target)?;
    Some((import.span, page(&file)))
}

/// A file: what it declares.
fn page(file: &File) -> String {
    let mut page = Page::of(file.path().as_str(), None, "file");
    if let Some(why) = file.unreadable_because() {
        page.add(escaped(why));
        return page.finish();
    }
    let sorts = [
        ("Models", Space::Model),
        ("Rule sets", Space::Rules),
        ("Monitoring centres", Space::Monitoring),
        ("Sites", Space::Site),
    ];
    let lines = sorts.map(|(what, space)| {
        let items = file.all(space);
        let names: Vec<String> = items
            .iter()
            .filter_map(|item| item.name())
            .map(code)
            .collect();
        match (names.get(..MOST), names.len()) {
            (_, 0) => String::new(),
            (Some(first), all) if all > MOST => {
                format!("{what} {} and {} more", first.join(", "), all - MOST)
            }
            _ => format!("{what} {}", names.join(", ")),
        }
    });
    match lines.iter().all(String::is_empty) {
        true => page.add("It declares nothing."),
        false => page.lines(lines),
    }
    page.finish()
}
