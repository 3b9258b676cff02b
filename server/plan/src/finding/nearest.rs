//! The word that was meant, where another is written: the nearest by spelling, or
//! those that it is a part of.

use crate::sentence::either;

/// How many names are told that may be meant.
const MOST_TOLD: usize = 3;

/// ` Did you mean …?` with the candidate that is written most like `word`, or else those
/// that have it as a part; nothing without any.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> String {
    let meant = meant(word, candidates);
    if meant.is_empty() {
        return String::new();
    }
    let meant: Vec<String> = meant.iter().map(|name| format!("`{name}`")).collect();
    format!(" Did you mean {}?", either(&meant))
}

/// The candidates that `word` may stand for: that which has the same letters, small or capital;
/// or else those that are written most like it, and those that have it as a part.
pub fn meant<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let candidates: Vec<&str> = candidates.into_iter().collect();
    let mut others = candidates.iter().filter(|name| **name != word);
    if let Some(same) = others.find(|name| name.eq_ignore_ascii_case(word)) {
        return vec![same];
    }
    let mut meant = all_nearest(word, candidates.iter().copied());
    for name in having(word, candidates) {
        if !meant.contains(&name) {
            meant.push(name);
        }
    }
    meant.truncate(MOST_TOLD);
    meant
}

/// The shortest part of a name that anybody knows it by.
const SHORTEST_PART: usize = 3;

/// The candidates that have `word` as a part, as `intruder-grade-2` has `grade-2`: those that
/// end so, if there are any; in the order of the alphabet, and only few.
fn having<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    if word.len() < SHORTEST_PART || word.len() > LONGEST * 4 {
        return Vec::new();
    }
    let lower = word.to_lowercase();
    let mut found: Vec<(bool, &str)> = Vec::new();
    for candidate in candidates {
        let name = candidate.to_lowercase();
        let around = |(at, part): (usize, &str)| {
            let (before, behind) = (&name[..at], &name[at + part.len()..]);
            let parted = before.is_empty() || before.ends_with('-');
            let is_part = parted && (behind.is_empty() || behind.starts_with('-'));
            is_part.then_some(!behind.is_empty())
        };
        let goes_on = name.match_indices(&*lower).filter_map(around).last();
        found.extend(goes_on.map(|goes_on| (goes_on, candidate)));
    }
    found.retain(|(_, name)| *name != word);
    let ends_so = found.iter().any(|(more, _)| !more);
    found.retain(|(more, _)| !(ends_so && *more));
    found.sort_unstable_by_key(|(_, name)| *name);
    found.dedup();
    found.truncate(MOST_TOLD);
    found.into_iter().map(|(_, name)| name).collect()
}

/// How alike two words must be for one to be meant by the other, 0 to 1.
const ALIKE: f64 = 0.6;

/// How much a word counts as alike that the trade says for another: more than one that only
/// happens to be near, less than one that is misspelt.
const SAID: f64 = 0.7;

/// What the trade also says for a word of the notation (common practice).
const SPOKEN: &[(&str, &str)] = &[
    ("addr", "address"),
    ("area", "partition"),
    ("batt", "battery"),
    ("bell", "sounder"),
    ("buzzer", "sounder"),
    ("cable", "run"),
    ("det", "detector"),
    ("dialer", "communicator"),
    ("dialler", "communicator"),
    ("eol", "end"),
    ("exp", "expander"),
    ("horn", "sounder"),
    ("import", "use"),
    ("include", "use"),
    ("junction", "joint"),
    ("keyboard", "keypad"),
    ("module", "expander"),
    ("pir", "detector"),
    ("psu", "supply"),
    ("quiescent", "standby"),
    ("rev", "revision"),
    ("sensor", "detector"),
    ("siren", "sounder"),
    ("splice", "joint"),
    ("strobe", "beacon"),
    ("temp", "ambient"),
    ("temperature", "ambient"),
    ("transformer", "mains"),
    ("wire", "run"),
];

/// The longest word that anybody misspells, in characters. To compare words
/// takes time in proportion to the product of their lengths.
const LONGEST: usize = 64;

/// The candidate that is written most like `word`, if any is near; or else the one
/// that the trade says `word` for.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    all_nearest(word, candidates).into_iter().next()
}

/// The candidates that are written most like `word`, all those that are so to one degree, in
/// the order of the alphabet; last those with another number.
fn all_nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    // Bytes bound characters from above; this keeps a long text from being counted.
    if word.len() > LONGEST * 4 || word.chars().count() > LONGEST {
        return Vec::new();
    }
    let lower = word.to_lowercase();
    let letters = Letters::of(&lower);
    let said = SPOKEN.iter().find(|(said, _)| *said == lower);
    let near = candidates
        .into_iter()
        .filter(|candidate| *candidate != word && candidate.len() <= LONGEST * 4)
        .filter_map(|candidate| {
            if said.is_some_and(|(_, word)| *word == candidate) {
                return Some((candidate, SAID, true));
            }
            let other = candidate.to_lowercase();
            if !letters.may_be_like(&Letters::of(&other)) {
                return None;
            }
            let likeness = likeness(&lower, &other);
            (likeness >= ALIKE).then_some((candidate, likeness, same_numbers(&lower, &other)))
        });
    let near: Vec<(&str, f64, bool)> = near.collect();
    let meant = near.iter().filter(|(_, _, same_numbers)| *same_numbers);
    let most = meant
        .map(|(_, likeness, _)| *likeness)
        .fold(f64::NAN, f64::max);
    // One with another number is not meant, but where it is as near as one without, as `aux2`
    // and `aux` are to `aux3`, neither is plainly meant.
    let near = near
        .into_iter()
        .filter(|(_, likeness, _)| *likeness == most);
    let mut near: Vec<(bool, &str)> = near.map(|(name, _, same)| (!same, name)).collect();
    near.sort_unstable();
    near.dedup();
    near.into_iter().map(|(_, name)| name).collect()
}

/// How alike two words are, 0 to 1: the edits from one to the other (Damerau and Levenshtein)
/// against the longer one's characters.
fn likeness(a: &str, b: &str) -> f64 {
    let longer = a.chars().count().max(b.chars().count());
    if longer == 0 {
        return 1.0;
    }
    // What both start and end with takes no edit. Names of one plan often share most of
    // their letters, and the time goes with the square of those that are compared.
    let same = |(a, b): &(char, char)| a == b;
    let head: usize = a.chars().zip(b.chars()).take_while(same).map(len).sum();
    let (a, b) = (&a[head..], &b[head..]);
    let ends = a.chars().rev().zip(b.chars().rev());
    let tail: usize = ends.take_while(same).map(len).sum();
    let (a, b) = (&a[..a.len() - tail], &b[..b.len() - tail]);
    1.0 - strsim::damerau_levenshtein(a, b) as f64 / longer as f64
}

/// Whether the digits of one are those of the other, some left out at most. Whoever writes
/// another digit means another thing: a battery of 7.2 Ah is none of 1.2 Ah misspelt.
fn same_numbers(a: &str, b: &str) -> bool {
    let digits = |word: &str| word.bytes().filter(u8::is_ascii_digit).collect::<Vec<u8>>();
    let (a, b) = (digits(a), digits(b));
    let (fewer, more) = if a.len() < b.len() { (a, b) } else { (b, a) };
    let mut more = more.iter();
    fewer.iter().all(|digit| more.any(|other| other == digit))
}

fn len((c, _): (char, char)) -> usize {
    c.len_utf8()
}

/// What of a word tells quickly that another is not like it.
struct Letters {
    count: usize,
    /// One bit for each of 64 classes of characters that occur.
    set: u64,
}

impl Letters {
    fn of(word: &str) -> Letters {
        let mut letters = Letters { count: 0, set: 0 };
        for c in word.chars() {
            letters.count += 1;
            letters.set |= 1 << (u32::from(c) % 64);
        }
        letters
    }

    /// Every class that only one of the two has costs an edit, and an edit
    /// changes two classes at most: one goes, one comes.
    fn may_be_like(&self, other: &Letters) -> bool {
        let longer = self.count.max(other.count) as f64;
        let apart = self.count.abs_diff(other.count) as f64;
        let classes = f64::from((self.set ^ other.set).count_ones());
        let edits = apart.max(classes / 2.0);
        edits <= longer * (1.0 - ALIKE) + 1e-9
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_of_a_name_stands_for_those_that_end_so_or_have_it() {
        let sets = [
            "household-grade-2",
            "grade-2-as-reported",
            "european-grade-2",
            "fire-24h",
        ];
        assert_eq!(
            having("grade-2", sets),
            ["european-grade-2", "household-grade-2"]
        );
        assert_eq!(having("Fire", sets), ["fire-24h"]);
        for nothing in ["rade-2", "household-grade-2", "2", ""] {
            assert_eq!(
                having(nothing, sets[..1].iter().copied()),
                [""; 0],
                "{nothing}"
            );
        }
        assert_eq!(
            did_you_mean("grade-2", sets),
            " Did you mean `european-grade-2` or `household-grade-2`?"
        );
    }

    #[test]
    fn the_quick_look_leaves_out_nothing_that_is_alike() {
        let words = [
            "",
            "a",
            "ab",
            "keypad",
            "keypda",
            "kepad",
            "keyypad",
            "panel",
            "Ω",
            "zone9",
            "ωΩ",
            "abab",
            "baab",
            "aabb",
            "bb",
            "aab",
            "aba",
            "keypadkeypad",
            "ékeypad",
            "keypadé",
        ];
        for a in words {
            for b in words {
                let by_the_book = strsim::normalized_damerau_levenshtein(a, b);
                assert_eq!(likeness(a, b), by_the_book, "{a} {b}");
                let alike = by_the_book >= ALIKE;
                assert!(
                    !alike || Letters::of(a).may_be_like(&Letters::of(b)),
                    "{a} {b}"
                );
            }
        }
        assert_eq!(
            nearest("kaypad", ["panel", "keypad", "key"]),
            Some("keypad")
        );
        assert_eq!(nearest("x", ["panel"]), None);
        assert_eq!(nearest("Siren", ["site", "sounder"]), Some("sounder"));
        assert_eq!(nearest("psu", ["supply", "psu1"]), Some("psu1"));
        assert_eq!(
            nearest("zone-7-2", ["zone-1-2", "zone-7"]),
            Some("zone-7"),
            "another digit is another thing"
        );
        assert_eq!(nearest("grade-5", ["grade-1", "grade-4"]), None);
        assert_eq!(
            meant("aux3", ["aux2", "siren", "aux"]),
            ["aux", "aux2"],
            "one is as near as the other"
        );
        assert_eq!(
            nearest("addr", ["partition", "address", "sounds"]),
            Some("address"),
            "too short to be near, and said for it"
        );
        let long = "x".repeat(1_000_000);
        assert_eq!(nearest(&long, [&long[1..]]), None);
    }
}
