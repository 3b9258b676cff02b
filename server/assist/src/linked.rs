//! Names that change together while one of them is typed.
//!
//! Only from the declaration: whoever types in the path of a cable means another
//! device, not another name for this one. And only inside a site, which no
//! other file can look into. A name that is declared twice is left alone: a line
//! was copied, and the copy is about to get a name of its own.

use std::ops::Range;

use bellwire_plan::workspace::Entry;

use crate::highlights::highlights;
use crate::place::name_at;
use crate::references::is_local;

/// The places that take part in the typing at `offset`: a name where it is
/// declared, and wherever else its site says it. Empty if there is nothing to
/// take along.
pub fn linked(entry: &Entry, offset: usize) -> Vec<Range<usize>> {
    let Some((place, found)) = name_at(entry, offset) else {
        return Vec::new();
    };
    let declaration = &found.target;
    let name = place.item.text(found.span);
    let is_declared_here = declaration.item.id == place.item.id && declaration.span == found.span;
    let is_name = !name.starts_with(|c: char| c.is_ascii_digit());
    let is_own =
        is_local(declaration) && declaration.item.declared().name != Some(declaration.span);
    let all = place.evaluation.occurrences().iter();
    let declared = all
        .filter(|other| other.target.item.id == place.item.id && other.target.span == other.span)
        .filter(|other| place.item.text(other.span) == name);
    let mut declared: Vec<_> = declared.map(|other| other.span).collect();
    declared.dedup();
    if !(is_declared_here && is_name && is_own && declared.len() == 1) {
        return Vec::new();
    }
    let places = highlights(entry, offset)
        .into_iter()
        .map(|found| found.range);
    let mut places: Vec<_> = places.collect();
    // The editor writes the same into all of them.
    places.retain(|range| entry.file.text().slice(range.clone()) == name);
    match places.len() {
        0 | 1 => Vec::new(),
        _ => places,
    }
}

#[cfg(test)]
mod tests {
    use super::linked;
    use crate::fixture::harbour;

    fn lines(from: &str, to: &str) -> Vec<usize> {
        let (_, entry, offset) = harbour(from, to);
        let places = linked(&entry, offset).into_iter();
        places
            .map(|range| entry.file.text().line_of(range.start) + 1)
            .collect()
    }

    #[test]
    fn a_declaration_takes_the_paths_of_cables_along() {
        assert_eq!(lines("keypad   front", "keypad   fro$0nt"), [17, 33, 34]);
        assert_eq!(lines("panel main", "panel $0main").len(), 6);
    }

    #[test]
    fn what_stands_in_a_path_means_another_device() {
        assert_eq!(lines("m-- rear", "m-- re$0ar"), [0; 0]);
    }

    #[test]
    fn numbers_models_sites_and_names_that_stand_alone_take_nothing_along() {
        assert_eq!(lines("partition 1 \"", "partition $01 \""), [0; 0]);
        assert_eq!(lines(": K2R,", ": K2$0R,"), [0; 0]);
        assert_eq!(lines("site harbour", "site har$0bour"), [0; 0]);
        assert_eq!(lines("run keys-a", "run ke$0ys-a"), [0; 0]);
    }

    #[test]
    fn a_name_that_is_there_twice_is_left_alone() {
        let copied = "keypad front : K2, address 3\n      keypad   fro$0nt";
        assert_eq!(lines("keypad   front", copied), [0; 0]);
        let copied = "keypad fr$0ont : K2, address 3\n      keypad   front";
        assert_eq!(lines("keypad   front", copied), [0; 0]);
    }
}
