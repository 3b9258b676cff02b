//! Another name for a thing, in every file that can see it.
//!
//! Nothing is renamed that the user could not have renamed by hand without a
//! new finding: a name that is taken, or not a name at all, is refused with
//! the reason, and so is everything in the built-in library.

mod namespace;

use std::ops::Range;

use bellwire_plan::model::Site;
use bellwire_plan::source::{File, FilePath, Spot};
use bellwire_plan::workspace::{Entry, View};

use crate::edit::{Edit, FileEdits};
use crate::place::name_at;
use crate::references::{Reference, uses};
use crate::walk::is_built_in;
pub(crate) use namespace::beyond;
use namespace::{Namespace, holder, namespace};

/// A name that can be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renamable {
    /// The name under the cursor.
    pub range: Range<usize>,
    /// Its text.
    pub name: String,
}

/// The name at `offset`, if it can be changed; otherwise why not, a sentence.
pub fn prepare_rename(entry: &Entry, offset: usize) -> Result<Renamable, String> {
    let (place, found) = name_at(entry, offset).ok_or(NOTHING)?;
    namespace(place.evaluation.site(), &found.target)?;
    Ok(Renamable {
        range: place.range(found.span),
        name: found.target.text().to_string(),
    })
}

/// The edits that give the thing whose name is at `offset` the name `new`, file by file, each
/// looked at as it is asked for; otherwise why it cannot have that, a sentence.
pub fn rename(
    view: &View,
    entry: &Entry,
    offset: usize,
    new: &str,
) -> Result<impl Iterator<Item = FileEdits>, String> {
    let (place, found) = name_at(entry, offset).ok_or(NOTHING)?;
    let declaration = &found.target;
    let new = new_name(view, place.evaluation.site(), declaration, new.trim())?;
    let uses = new.map(|new| {
        let edits = move |places: Vec<Reference>| {
            let edit = |place: Reference| Edit {
                range: place.range,
                text: new.clone(),
            };
            places.into_iter().map(edit).collect()
        };
        uses(view, declaration, None).map(move |found| FileEdits {
            file: found.file,
            edits: edits(found.places),
        })
    });
    Ok(uses.into_iter().flatten())
}

/// A new name as it will be written, if it is another one; otherwise why it cannot be had.
fn new_name(
    view: &View,
    site: Option<&Site>,
    declaration: &Spot,
    new: &str,
) -> Result<Option<String>, String> {
    let namespace = namespace(site, declaration)?;
    if new == declaration.text() {
        return Ok(None);
    }
    let new = match &namespace {
        Namespace::Numbers(_) => check_number(new)?,
        _ => check_name(new).map(|()| new.to_string())?,
    };
    if let Some(why) = site.and_then(|site| beyond(site, declaration, &new)) {
        return Err(why);
    }
    match holder(view, declaration, &namespace, &new) {
        None => Ok(Some(new)),
        Some(other) => Err(format!(
            "`{new}` is taken, {}: choose another name, or rename that first",
            place_of(view, &other)
        )),
    }
}

const NOTHING: &str = "there is no name here that is declared anywhere: put the cursor on the name of a device, a partition, a model or the like";

/// A place in words: `in line 12 of sites/harbour.bell`.
fn place_of(view: &View, spot: &Spot) -> String {
    let located = view.locate(spot);
    let own = located.filter(|(file, _)| !is_built_in(file.path()));
    let line = own.map(|(file, range)| {
        let line = file.text().line_of(range.start) + 1;
        format!("in line {line} of {}", file.path())
    });
    line.unwrap_or_else(|| "in the built-in library".to_string())
}

/// What makes a name is for the reader to say: a line with nothing else is read.
fn check_name(new: &str) -> Result<(), String> {
    let file = File::new(FilePath::new(""), new);
    let is_name = file
        .items()
        .any(|(_, item)| item.source() == new && item.word() == new && !new.contains('.'));
    if is_name {
        return Ok(());
    }
    Err(format!(
        "`{new}` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens"
    ))
}

/// A number as it will be written.
fn check_number(new: &str) -> Result<String, String> {
    let digits = new.len() < 10 && new.bytes().all(|byte| byte.is_ascii_digit());
    let number: Option<u32> = new.parse().ok().filter(|_| digits);
    number.map(|number| number.to_string()).ok_or_else(|| {
        format!("`{new}` is not a whole number: partitions and zones have numbers for names")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::harbour;
    use expect_test::{Expect, expect};

    /// Each row replaces a piece of the demo's site by one with a cursor, and
    /// renames what is there.
    fn check(rows: &[(&str, &str, &str)], expected: Expect) {
        let mut shown = String::new();
        for (from, to, new) in rows {
            let (view, entry, offset) = harbour(from, to);
            shown += &format!("{to} → {new}\n");
            let edits = match rename(&view, &entry, offset, new) {
                Ok(edits) => edits,
                Err(why) => {
                    shown += &format!("    {why}\n");
                    continue;
                }
            };
            for FileEdits { file, edits } in edits {
                for edit in edits {
                    let line = file.text().line_of(edit.range.start);
                    let mut text = file.text().slice(file.text().line(line));
                    let start = edit.range.start - file.text().line(line).start;
                    text.replace_range(start..start + edit.range.len(), &edit.text);
                    shown += &format!("    {}:{}: {}\n", file.path(), line + 1, text.trim());
                }
            }
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn every_use_is_renamed_in_every_file() {
        check(
            &[
                ("-- rear", "-- re$0ar", "back"),
                (": K2,", ": K2$0,", "K3"),
                ("main.keys --", "main.ke$0ys --", "data"),
                ("main.keys --", "ma$0in.keys --", "m1"),
                ("sounds silent", "sounds sil$0ent", "quiet"),
                ("loop double", "loop dou$0ble", "two-resistor"),
                ("northgate", "north$0gate", "southgate"),
                ("site harbour", "site har$0bour", "quay"),
                ("run z9", "run z$09", "zone-nine"),
                ("partition 2, sounds", "partition $02, sounds", "0"),
                ("zone 9", "zone 9$0", "0010"),
                ("main.aux +", "main.au$0x +", "aux"),
            ],
            expect![[r#"
                -- re$0ar → back
                    sites/harbour.bell:18: keypad   back  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13
                    sites/harbour.bell:33: main.keys --12 m-- front --31 m-- back
                : K2$0, → K3
                    catalog/merrow.bell:43: model keypad K3 "Two-line keypad" {
                    sites/harbour.bell:17: keypad   front "Shop door"     : K3,  address 1, partition 1
                main.ke$0ys -- → data
                    catalog/merrow.bell:13: bus data {
                    sites/harbour.bell:16: bus data {
                    sites/harbour.bell:33: main.data --12 m-- front --31 m-- rear
                ma$0in.keys -- → m1
                    sites/harbour.bell:11: panel m1 "Stock room" : M8, revision 4.2 {
                    sites/harbour.bell:33: m1.keys --12 m-- front --31 m-- rear
                    sites/harbour.bell:36: run z1 : copper-2x22AWG { m1.1 --14 m-- rc1 }
                    sites/harbour.bell:37: run z2 : copper-6x22AWG { m1.aux + main.2 --22 m-- pir1 }
                    sites/harbour.bell:37: run z2 : copper-6x22AWG { main.aux + m1.2 --22 m-- pir1 }
                    sites/harbour.bell:39: run b1 : copper-4x22AWG, doubled { m1.siren --18 m-- s1 }
                sounds sil$0ent → quiet
                    catalog/merrow.bell:54: sounds  all, chime-off, quiet
                    sites/harbour.bell:18: keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds quiet, receiver 13
                loop dou$0ble → two-resistor
                    catalog/merrow.bell:32: loop two-resistor {
                    sites/harbour.bell:23: zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop two-resistor
                north$0gate → southgate
                    shared/monitoring.bell:2: monitoring southgate "Northgate monitoring" {
                    sites/harbour.bell:8: report  southgate, account 4411
                site har$0bour → quay
                    sites/harbour.bell:5: site quay "Tidewheel Cycles, Harbour Street" {
                run z$09 → zone-nine
                    sites/harbour.bell:38: run zone-nine : copper-2x22AWG { x1.1 --6 m-- rc2 }
                partition $02, sounds → 0
                    sites/harbour.bell:14: partition 0 "Workshop"
                    sites/harbour.bell:18: keypad   rear  "Workshop door" : K2R, address 2, partition 0, sounds silent, receiver 13
                    sites/harbour.bell:24: zone 9 "Workshop window", input x1.1, from rc2,  partition 0, loop single
                zone 9$0 → 0010
                    sites/harbour.bell:24: zone 10 "Workshop window", input x1.1, from rc2,  partition 2, loop single
                main.au$0x + → aux
            "#]],
        );
    }

    #[test]
    fn what_cannot_be_renamed_is_refused_with_the_reason() {
        check(
            &[
                ("-- rear", "-- re$0ar", "x1"),
                ("run z9", "run z$09", "z1"),
                (": K2,", ": K2$0,", "K2R"),
                (": K2,", ": K2$0,", "copper-2x22AWG"),
                ("main.aux +", "main.au$0x +", "keys"),
                ("partition 2, sounds", "partition $02, sounds", "1"),
                ("partition 2, sounds", "partition $02, sounds", "7"),
                ("partition 2, sounds", "partition $02, sounds", "two"),
                ("partition 2, sounds", "partition $02, sounds", "-2"),
                ("zone 9", "zone 9$0", "2"),
                ("-- rear", "-- re$0ar", "2nd"),
                ("-- rear", "-- re$0ar", "back door"),
                ("-- rear", "-- re$0ar", "back.door"),
                ("-- rear", "-- re$0ar", "back-"),
                ("-- rear", "-- re$0ar", "back # door"),
                ("-- rear", "-- re$0ar", ""),
                ("main.1 --", "main.1$0 --", "2"),
                ("intruder-grade-2", "intruder-$0grade-2", "mine"),
                ("ambient 5", "amb$0ient 5", "x"),
                ("../catalog/merrow", "../cata$0log/merrow", "x"),
            ],
            expect![[r#"
                -- re$0ar → x1
                    `x1` is taken, in line 19 of sites/harbour.bell: choose another name, or rename that first
                run z$09 → z1
                    `z1` is taken, in line 36 of sites/harbour.bell: choose another name, or rename that first
                : K2$0, → K2R
                    `K2R` is taken, in line 50 of catalog/merrow.bell: choose another name, or rename that first
                : K2$0, → copper-2x22AWG
                    `copper-2x22AWG` is taken, in the built-in library: choose another name, or rename that first
                main.au$0x + → keys
                    `keys` is taken, in line 13 of catalog/merrow.bell: choose another name, or rename that first
                partition $02, sounds → 1
                    `1` is taken, in line 13 of sites/harbour.bell: choose another name, or rename that first
                partition $02, sounds → 7
                    main can have 2 partitions, so there is no partition 7: choose a number up to 2
                partition $02, sounds → two
                    `two` is not a whole number: partitions and zones have numbers for names
                partition $02, sounds → -2
                    `-2` is not a whole number: partitions and zones have numbers for names
                zone 9$0 → 2
                    `2` is taken, in line 23 of sites/harbour.bell: choose another name, or rename that first
                -- re$0ar → 2nd
                    `2nd` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                -- re$0ar → back door
                    `back door` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                -- re$0ar → back.door
                    `back.door` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                -- re$0ar → back-
                    `back-` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                -- re$0ar → back # door
                    `back # door` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                -- re$0ar → 
                    `` is not a name: it starts with a letter and has letters, digits, `_` and, between them, hyphens
                main.1$0 -- → 2
                    inputs have the numbers that their model gives them: change the range there
                intruder-$0grade-2 → mine
                    `intruder-grade-2` is part of the built-in library, which cannot be changed: declare one of your own under another name
                amb$0ient 5 → x
                    there is no name here that is declared anywhere: put the cursor on the name of a device, a partition, a model or the like
                ../cata$0log/merrow → x
                    there is no name here that is declared anywhere: put the cursor on the name of a device, a partition, a model or the like
            "#]],
        );
    }

    #[test]
    fn the_name_under_the_cursor_is_what_is_offered() {
        let (_, entry, offset) = harbour("main.keys --", "main.ke$0ys --");
        let name = prepare_rename(&entry, offset).expect("a bus can be renamed");
        assert_eq!(name.name, "keys");
        assert_eq!(entry.file.text().slice(name.range), "keys");
        let (_, entry, offset) = harbour("ambient 5", "amb$0ient 5");
        assert!(prepare_rename(&entry, offset).is_err());
    }

    #[test]
    fn a_site_of_another_file_keeps_its_name_to_itself() {
        let (view, entry, offset) =
            crate::fixture::fixture("site qu$0ay {\n}\n//- sites/harbour.bell\n");
        let refused = rename(&view, &entry, offset, "harbour")
            .err()
            .expect("it is taken");
        assert!(refused.contains("sites/harbour.bell"), "{refused}");
    }
}
