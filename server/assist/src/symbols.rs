//! Finding a thing anywhere in the workspace, by a few letters of its name.
//!
//! Thousands of sites are searched for every letter typed, so results are
//! built only for the things that turn out to be the best.

use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::source::{File, Span};
use bellwire_plan::vocabulary::Space;
use bellwire_plan::workspace::{Entry, Evaluation, Sort, View};

use crate::thing::Thing;
use crate::walk::{all, entries, evaluation, in_file};

/// A thing that was found.
#[derive(Debug)]
pub struct FoundSymbol {
    /// Its name.
    pub name: String,
    /// What people call it; may be empty.
    pub label: String,
    /// What it is.
    pub thing: Thing,
    /// The site that it is in, if it is in one.
    pub site: Option<String>,
    /// The file.
    pub file: Arc<File>,
    /// The name in the file.
    pub range: Range<usize>,
}

/// The `limit` things that fit `query` best, best first. Each word of the query
/// must fit the name (its letters, in order), the label, or the site around it:
/// `harbour key`. An empty query fits everything; sites come first, then
/// what is outside of them.
pub fn symbols(view: &View, query: &str, limit: usize) -> Vec<FoundSymbol> {
    let terms: Vec<String> = query.split_whitespace().map(str::to_lowercase).collect();
    let mut files: Vec<Arc<Entry>> = Vec::new();
    let mut matches: Vec<Match> = Vec::new();
    for entry in entries(view) {
        for (start, evaluation) in all(&entry) {
            let around = site_around(evaluation);
            for (index, named) in things(evaluation).enumerate() {
                let around = if named.is_inside { &around } else { "" };
                if let Some(score) = named.score(&terms, around) {
                    matches.push(Match {
                        score: -score,
                        rank: named.rank(),
                        length: named.name.len(),
                        file: files.len(),
                        start,
                        index,
                    });
                }
            }
        }
        files.push(entry);
    }
    if let Some(last) = limit.checked_sub(1).filter(|last| *last < matches.len()) {
        matches.select_nth_unstable(last);
    }
    matches.truncate(limit);
    matches.sort_unstable();
    let found = matches.into_iter();
    found.filter_map(|found| found.build(&files)).collect()
}

/// A thing that fits. The fields are in the order of their weight: better ones sort first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Match {
    /// Negative, for the order.
    score: i32,
    rank: u8,
    length: usize,
    file: usize,
    /// Where the item starts.
    start: usize,
    /// Index into the item's things.
    index: usize,
}

impl Match {
    fn build(&self, files: &[Arc<Entry>]) -> Option<FoundSymbol> {
        let entry = files.get(self.file)?;
        let (item, _) = entry.file.item_at(self.start)?;
        let evaluation = evaluation(entry, item)?;
        let named = things(evaluation).nth(self.index)?;
        let site = evaluation.called().filter(|_| named.is_inside);
        Some(FoundSymbol {
            name: named.name.to_string(),
            label: named.label.to_string(),
            thing: named.thing,
            site: site.map(str::to_string),
            file: entry.file.clone(),
            range: in_file(self.start, named.span),
        })
    }
}

/// A thing with a name, inside an item.
struct Named<'a> {
    name: &'a str,
    label: &'a str,
    thing: Thing,
    span: Span,
    /// Whether it is part of a site.
    is_inside: bool,
}

impl Named<'_> {
    /// Sites come first, then what stands outside of them.
    fn rank(&self) -> u8 {
        match self.thing {
            Thing::Site => 0,
            _ => 1 + u8::from(self.is_inside),
        }
    }

    /// How well it fits all terms; `around` is its site, in lower case.
    fn score(&self, terms: &[String], around: &str) -> Option<i32> {
        if terms.is_empty() {
            return Some(0);
        }
        let (name, label) = (self.name.to_lowercase(), self.label.to_lowercase());
        let mut sum = 0;
        for term in terms {
            let name = in_name(term, &name);
            let label = in_text(term, &label).map(|score| score / 2);
            let around = in_text(term, around).map(|score| score / 4);
            sum += name.max(label).max(around)?;
        }
        Some(sum)
    }
}

/// The things of an item that have names.
fn things(evaluation: &Evaluation) -> Box<dyn Iterator<Item = Named<'_>> + '_> {
    let item = &evaluation.item;
    if evaluation.is_site() {
        return Box::new(evaluation.names().iter().map(|named| Named {
            name: item.text(named.span),
            label: named.label,
            thing: match named.sort {
                Sort::Site => Thing::Site,
                Sort::Unit => Thing::Unit,
                Sort::Device => Thing::Device,
                Sort::Joint => Thing::Joint,
                Sort::Run => Thing::Run,
            },
            span: named.span,
            is_inside: named.sort != Sort::Site,
        }));
    }
    let thing = match Space::of(item) {
        Some(Space::Model) => Thing::Model,
        Some(Space::Rules) => Thing::RuleSet,
        Some(Space::Monitoring) => Thing::Monitoring,
        Some(Space::Site) | None => return Box::new(std::iter::empty()),
    };
    let label = item.model().and_then(|model| model.label.as_deref());
    Box::new(item.declared().name.into_iter().map(move |span| Named {
        name: item.text(span),
        label: label.unwrap_or(""),
        thing,
        span,
        is_inside: false,
    }))
}

/// The name and label of an item's site, in lower case.
fn site_around(evaluation: &Evaluation) -> String {
    evaluation.called().map_or(String::new(), |called| {
        let mut names = evaluation.names().iter();
        let site = names.find(|named| named.sort == Sort::Site);
        let label = site.map_or("", |site| site.label);
        format!("{called} {label}").to_lowercase()
    })
}

const WHOLE: i32 = 120;
const START: i32 = 100;
const WORD: i32 = 80;
const INSIDE: i32 = 40;
const SCATTERED: i32 = 20;

fn in_name(term: &str, name: &str) -> Option<i32> {
    in_text(term, name).or_else(|| scattered(term, name))
}

/// How well a term fits a part of a text.
fn in_text(term: &str, text: &str) -> Option<i32> {
    let at = text.find(term)?;
    let starts_word = |at: usize| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        before.is_none_or(|c| !c.is_alphanumeric())
    };
    if text.len() == term.len() {
        return Some(WHOLE);
    }
    if at == 0 {
        return Some(START);
    }
    let is_word = text.match_indices(term).any(|(at, _)| starts_word(at));
    Some(if is_word { WORD } else { INSIDE })
}

/// Whether a term's letters are in a name, in order; the fewer gaps, the better.
fn scattered(term: &str, name: &str) -> Option<i32> {
    let mut letters = name.chars();
    let mut gaps = 0;
    for wanted in term.chars() {
        let skipped = letters.position(|letter| letter == wanted)?;
        gaps += i32::from(skipped > 0);
    }
    Some((SCATTERED - gaps).max(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    const PLANS: &str = "\
//- sites/harbour.bell
//- sites/quay.bell
site quay \"Harbour Quay\" { # no panel
  keypad front \"Shop door\" : K9
  joint frond
}
monitoring fort { }
";

    fn check(query: &str, limit: usize, expected: Expect) {
        let (view, _, _) = fixture(PLANS);
        let mut shown = String::new();
        for found in symbols(&view, query, limit) {
            assert_eq!(found.file.text().slice(found.range), found.name);
            let site = found
                .site
                .map_or(String::new(), |site| format!(" in {site}"));
            shown += &format!("{:?} {} “{}”{site}\n", found.thing, found.name, found.label);
        }
        expected.assert_eq(&shown);
    }

    #[test]
    fn a_name_fits_better_the_more_of_it_is_typed() {
        check(
            "front",
            9,
            expect![[r#"
            Device front “Shop door” in harbour
            Device front “Shop door” in quay
            Device s1 “Front elevation” in harbour
        "#]],
        );
    }

    #[test]
    fn letters_may_be_left_out() {
        check(
            "frt",
            9,
            expect![[r#"
            Monitoring fort “”
            Device front “Shop door” in harbour
            Device front “Shop door” in quay
        "#]],
        );
    }

    #[test]
    fn several_words_narrow_it_down_to_a_site() {
        check(
            "quay front",
            9,
            expect![[r#"
            Device front “Shop door” in quay
        "#]],
        );
        check(
            "door RC",
            9,
            expect![[r#"
            Device rc1 “Shop door” in harbour
        "#]],
        );
    }

    #[test]
    fn without_a_query_sites_come_first() {
        check(
            "",
            5,
            expect![[r#"
                Site quay “Harbour Quay”
                Site harbour “Tidewheel Cycles, Harbour Street”
                Model M8 “Eight-zone panel”
                Model K2 “Two-line keypad”
                Model E8 “Eight-input expander”
            "#]],
        );
    }

    #[test]
    fn nothing_fits_what_is_nowhere() {
        check("xyzzy", 9, expect![[""]]);
        check("front", 0, expect![[""]]);
    }
}
