//! Where a name is used, across every file that can see its declaration.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::model::Occurrence;
use bellwire_plan::source::{File, FilePath, Span, Spot};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{Entry, Evaluation, View};

use crate::imports;
use crate::place::{Place, name_at};
use crate::walk::{all, entries, in_file, is_built_in};

/// A place where a name stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    /// The name.
    pub range: Range<usize>,
    /// Whether the name is declared there.
    pub is_declaration: bool,
}

/// Where a name stands in one of several files.
#[derive(Debug)]
pub struct References {
    /// The version of the file.
    pub file: Arc<File>,
    /// The places there, in the order of the text.
    pub places: Vec<Reference>,
}

/// Everywhere the name at `offset` stands, in the order of files and texts.
/// At the path of a `use`: everywhere that file is used. Each file is looked at as it is
/// asked for, so that not all of a large workspace are held at once.
pub fn references(
    view: &View,
    entry: &Entry,
    offset: usize,
    with_declaration: bool,
) -> impl Iterator<Item = References> {
    let import = imports::at(entry, offset);
    let name = name_at(entry, offset).filter(|_| import.is_none());
    let users = import.map(|import| users(view, &import.target));
    let uses = name.map(|(place, found)| uses(view, &found.target, only(&place, found)));
    let uses = uses.into_iter().flatten().map(move |mut found| {
        let places = &mut found.places;
        places.retain(|place| with_declaration || !place.is_declaration);
        found
    });
    users.into_iter().flatten().chain(uses)
}

/// The text that other uses must have to be of the same thing. It matters for
/// inputs, which are declared many at once, by their range.
pub(crate) fn only<'a>(place: &Place<'a>, found: &Occurrence) -> Option<&'a str> {
    let is_declaration = found.target.item.id == place.item.id && found.target.span == found.span;
    (!is_declaration).then(|| place.item.text(found.span))
}

/// Everywhere a declared name stands, its declaration included; of the uses,
/// those with the text `only`, if it is given.
pub(crate) fn uses(
    view: &View,
    declaration: &Spot,
    only: Option<&str>,
) -> impl Iterator<Item = References> {
    let built_in = Some(declaration).filter(|of| is_built_in(&of.item.file));
    let built_in = built_in.and_then(|declaration| view.locate(declaration));
    let built_in = built_in.map(|(file, range)| {
        let place = Reference {
            range,
            is_declaration: true,
        };
        References {
            file,
            places: vec![place],
        }
    });
    let seeing = seeing(view, declaration).into_iter();
    let found = seeing.filter_map(move |entry| {
        let places = in_entry(&entry, declaration, only);
        in_one(&entry, places.collect())
    });
    found.chain(built_in)
}

/// The same in one file.
pub(crate) fn in_entry(
    entry: &Entry,
    declaration: &Spot,
    only: Option<&str>,
) -> impl Iterator<Item = Reference> {
    let in_item = move |(start, evaluation): (usize, &Arc<Evaluation>)| {
        let is_home = evaluation.item.id == declaration.item.id;
        let may_use = || !is_local(declaration) && evaluation.has_found(&declaration.item);
        if !is_home && !may_use() {
            return Vec::new();
        }
        let is_declaration = |span: Span| is_home && span == declaration.span;
        let names = evaluation.occurrences().iter();
        let mut spans: Vec<Span> = names
            .filter(|name| name.target == *declaration)
            .map(|name| name.span)
            .filter(|span| {
                let text = evaluation.item.text(*span);
                is_declaration(*span) || only.is_none_or(|only| only == text)
            })
            .collect();
        spans.sort_unstable();
        spans.dedup();
        let place = |span| Reference {
            range: in_file(start, span),
            is_declaration: is_declaration(span),
        };
        spans.into_iter().map(place).collect()
    };
    all(entry).flat_map(in_item)
}

/// The places in a file, if there are any.
fn in_one(entry: &Entry, places: Vec<Reference>) -> Option<References> {
    (!places.is_empty()).then(|| References {
        file: entry.file.clone(),
        places,
    })
}

/// The files of the workspace that can see a declaration, in the order of
/// their names: its own and those that use it; all, if it is built in.
pub(crate) fn seeing(view: &View, declaration: &Spot) -> Vec<Arc<Entry>> {
    let home = &declaration.item.file;
    if is_local(declaration) {
        return view.entry(home).into_iter().collect();
    }
    if is_built_in(home) {
        return entries(view).collect();
    }
    let mut paths = view.users(home);
    paths.push(home.clone());
    paths.sort();
    paths.dedup();
    paths.iter().filter_map(|path| view.entry(path)).collect()
}

/// Whether only the item itself can use the name: everything that a site declares.
pub(crate) fn is_local(declaration: &Spot) -> bool {
    Space::of(&declaration.item) == Some(Space::Site)
}

/// Every `use` of a file.
fn users(view: &View, target: &FilePath) -> impl Iterator<Item = References> {
    let users = view.users(target).into_iter();
    let in_user = move |path: FilePath| {
        let entry = view.entry(&path)?;
        let uses = entry.imports.iter().filter(|used| used.target == *target);
        let places = uses.filter_map(|used| imports::place(&entry, used));
        let places = places.map(|range| Reference {
            range,
            is_declaration: false,
        });
        in_one(&entry, places.collect())
    };
    users.filter_map(in_user)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    const SECOND: &str = "\
//- catalog/merrow.bell
//- sites/harbour.bell
//- sites/quay.bell
use \"../catalog/merrow.bell\"
site quay {
  panel main : M8 {
    partition 1
    bus keys { keypad front : K2, address 1, partition 1 }
    zone 1, input 2, from d, partition 1, loop single
  }
  detector d : P5
  run r : copper-2x22AWG { main.aux --3 m-- d }
}
//- sites/deaf.bell
site deaf { panel main : M8 }
";

    /// Each row replaces a piece of the file `sites/quay.bell` by one with a cursor.
    fn check(rows: &[(&str, &str)], expected: Expect) {
        let mut shown = String::new();
        for (from, to) in rows {
            assert_eq!(SECOND.matches(from).count(), 1, "`{from}`");
            let (view, entry, offset) = fixture(&SECOND.replace(from, to));
            shown += &format!("{to}\n");
            for References { file, places } in references(&view, &entry, offset, true) {
                for found in places {
                    let line = match is_built_in(file.path()) {
                        true => String::new(),
                        false => format!(":{}", file.text().line_of(found.range.start) + 1),
                    };
                    let text = file.text().slice(found.range);
                    let mark = if found.is_declaration {
                        " declared"
                    } else {
                        ""
                    };
                    shown += &format!("    {}{line} {text}{mark}\n", file.path());
                }
            }
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn names_of_models_and_of_their_parts_are_found_in_every_file_that_sees_them() {
        check(
            &[
                (": K2,", ": K2$0,"),
                ("bus keys", "bus ke$0ys"),
                ("main.aux", "main.au$0x"),
                ("input 2", "input $02"),
                ("loop single", "loop sin$0gle"),
            ],
            expect![[r#"
                : K2$0,
                    catalog/merrow.bell:43 K2 declared
                    sites/harbour.bell:17 K2
                    sites/quay.bell:5 K2
                bus ke$0ys
                    catalog/merrow.bell:13 keys declared
                    sites/harbour.bell:16 keys
                    sites/harbour.bell:33 keys
                    sites/quay.bell:5 keys
                main.au$0x
                    catalog/merrow.bell:10 aux declared
                    catalog/merrow.bell:14 aux
                    sites/harbour.bell:37 aux
                    sites/quay.bell:9 aux
                input $02
                    catalog/merrow.bell:25 1 .. 8 declared
                    sites/harbour.bell:23 2
                    sites/harbour.bell:37 2
                    sites/quay.bell:6 2
                loop sin$0gle
                    catalog/merrow.bell:26 single declared
                    sites/harbour.bell:22 single
                    sites/harbour.bell:24 single
                    sites/quay.bell:6 single
            "#]],
        );
    }

    #[test]
    fn names_of_a_site_are_found_in_that_site_alone() {
        check(
            &[
                ("main.aux", "ma$0in.aux"),
                ("partition 1\n", "partition 1$0\n"),
                ("from d", "from d$0"),
                ("run r", "run $0r"),
            ],
            expect![[r#"
                ma$0in.aux
                    sites/quay.bell:3 main declared
                    sites/quay.bell:9 main
                partition 1$0

                    sites/quay.bell:4 1 declared
                    sites/quay.bell:5 1
                    sites/quay.bell:6 1
                from d$0
                    sites/quay.bell:6 d
                    sites/quay.bell:8 d declared
                    sites/quay.bell:9 d
                run $0r
                    sites/quay.bell:9 r declared
            "#]],
        );
    }

    #[test]
    fn the_path_of_a_file_is_found_wherever_it_is_used() {
        check(
            &[
                ("../catalog/merrow", "../cat$0alog/merrow"),
                ("site quay", "si$0te quay"),
            ],
            expect![[r#"
                ../cat$0alog/merrow
                    sites/harbour.bell:2 ../catalog/merrow.bell
                    sites/quay.bell:1 ../catalog/merrow.bell
                si$0te quay
            "#]],
        );
    }

    #[test]
    fn a_built_in_name_is_found_in_the_library_too() {
        check(
            &[("copper-2x22AWG", "copper-$02x22AWG")],
            expect![[r#"
                copper-$02x22AWG
                    sites/harbour.bell:36 copper-2x22AWG
                    sites/harbour.bell:38 copper-2x22AWG
                    sites/quay.bell:9 copper-2x22AWG
                    bellwire-library/cables.bell copper-2x22AWG declared
            "#]],
        );
    }

    #[test]
    fn the_declaration_may_be_left_out() {
        let (view, entry, offset) = fixture("site a { panel ma$0in : M8 }\n");
        let count = |with_declaration| {
            let found = references(&view, &entry, offset, with_declaration);
            found.map(|found| found.places.len()).sum::<usize>()
        };
        assert_eq!([count(true), count(false)], [1, 0]);
    }
}
