//! Mistakes that people make, each in every place of a file where it can be made.

use std::ops::Range;

use bellwire_plan::source::{File, Form, Item, Quantity, Span, Statement, ValueKind};
use bellwire_plan::vocabulary::{Context, What, is_word, kind, takes, unit, word};

/// A place in a file, and what is written there instead.
pub type Mistake = (Range<usize>, String);

/// A statement, its item, and where that starts in the file.
struct Placed<'a> {
    start: usize,
    item: &'a Item,
    statement: &'a Statement,
}

impl Placed<'_> {
    fn bytes(&self, span: Span) -> Range<usize> {
        self.start + span.start as usize..self.start + span.end as usize
    }

    /// The same without what stands there.
    fn left_out(&self, span: Span) -> Mistake {
        (self.bytes(span), String::new())
    }
}

/// Every statement of the items that start with one of these words; of all, if there are none.
fn statements<'a>(file: &'a File, words: &[&str]) -> Vec<Placed<'a>> {
    let mut found = Vec::new();
    let wanted = |item: &Item| words.is_empty() || words.contains(&item.word());
    for (start, item) in file.items().filter(|(_, item)| wanted(item)) {
        let mut statements = vec![item.root()];
        while let Some(statement) = statements.pop() {
            statements.extend(statement.body.iter().map(AsRef::as_ref));
            found.push(Placed {
                start,
                item,
                statement,
            });
        }
    }
    found
}

/// Statements whose first name is one that they give, and lists that are free.
const GIVING: &[&str] = &[
    "model",
    "site",
    "panel",
    "supply",
    "joint",
    "run",
    "output",
    "bus",
    "rules",
    "monitoring",
    "loop",
    "sounds",
    "colours",
    "accept",
];

/// Where the values of a plan are written, with what is wrong for each: a unit
/// that measures something else, no number where only one will do, a name that
/// nothing has.
pub fn mistakes(file: &File) -> Vec<Mistake> {
    let mut found = Vec::new();
    for of in statements(file, &[]) {
        let wrong = wrong_values(of.item, of.statement).into_iter();
        found.extend(wrong.map(|(span, wrong)| (of.bytes(span), wrong.to_string())));
    }
    found
}

fn wrong_values(item: &Item, statement: &Statement) -> Vec<(Span, &'static str)> {
    let mut found = Vec::new();
    let keyword = item.keyword(statement);
    let in_zone = keyword == "loop" && statement.body.is_empty();
    let gives = !in_zone && (GIVING.contains(&keyword) || kind(keyword).is_some());
    let mut number = |quantity: &Quantity, whole: Span| match quantity.unit {
        Some(unit) => {
            let time = ["s", "min", "h", "years"].contains(&item.text(unit));
            found.push((unit, if time { "ohm" } else { "day" }));
        }
        None => found.push((whole, "\"one\"")),
    };
    let mut names: Vec<Span> = Vec::new();
    for value in &statement.arguments {
        for quantity in value.quantities() {
            number(&quantity, value.span);
        }
        if value.is_name() && !gives {
            names.push(value.span);
        }
    }
    let legs = statement.path.iter().flat_map(|path| &path.legs);
    for length in legs.filter_map(|leg| leg.length) {
        number(&length, length.span());
    }
    let models = statement.model.iter().flat_map(|(_, names)| names);
    let points = statement.path.iter().flat_map(|path| &path.points);
    let references = points.flat_map(|point| &point.references);
    names.extend(models.chain(references).map(|value| value.span));
    found.extend(names.into_iter().map(|span| (span, "nosuch")));
    found
}

/// The word of each line and clause, in another language.
pub fn words_that_mean_nothing(file: &File) -> Vec<Mistake> {
    let all = statements(file, &[]).into_iter();
    // What stands in a list is none.
    let all = all.filter(|of| is_word(of.item.keyword(of.statement)));
    let words = all.filter_map(|of| Some((of.bytes(of.statement.keyword?), "xyzzy".to_string())));
    words.collect()
}

/// Where ranges are written, with ways in which other people write them: back to front,
/// with a hyphen, with a word.
pub fn ranges_written_otherwise(file: &File) -> Vec<Mistake> {
    let mut found = Vec::new();
    for of in statements(file, &[]) {
        for value in &of.statement.arguments {
            let ValueKind::Range(Some(_), Some(_)) = &value.kind else {
                continue;
            };
            let text = of.item.text(value.span);
            let (from, to) = text.split_once("..").expect("a range");
            let (from, to) = (from.trim(), to.trim());
            let place = of.bytes(value.span);
            // One end is as good as the other where they are the same.
            if from != to {
                found.push((place.clone(), format!("{to} .. {from}")));
            }
            found.push((place.clone(), format!("{from}-{to}")));
            found.push((place.clone(), format!("{from} - {to}")));
            found.push((place, format!("{from} to {to}")));
        }
    }
    found
}

/// Where numbers with units are written, with what nothing has less of than none below none.
pub fn negatives(file: &File) -> Vec<Mistake> {
    let mut found = Vec::new();
    for of in statements(file, &[]) {
        for quantity in of.statement.quantities() {
            let signed = |name| ["°C", "AWG"].contains(&name);
            let has_less = quantity.number.value == 0.0
                || quantity.unit.is_none_or(|unit| signed(of.item.text(unit)));
            if !has_less {
                let at = of.bytes(quantity.number.span).start;
                found.push((at..at, "-".to_string()));
            }
        }
    }
    found
}

/// Where numbers are written that must keep within bounds, with one outside for each.
pub fn out_of_bounds(file: &File) -> Vec<Mistake> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut statements = vec![(item.root(), Context::File)];
        while let Some((statement, context)) = statements.pop() {
            let Some(word) = word(item.keyword(statement), context) else {
                continue;
            };
            let first = statement.arguments.first();
            let inner = word.context(first.map(|value| item.text(value.span)));
            let body = statement.body.iter().map(AsRef::as_ref);
            statements.extend(body.filter_map(|of| Some((of, inner?))));
            let bounds = word.slots.iter().flat_map(|slot| slot.bounds);
            let counts = word.slots.iter().any(|slot| slot.what == What::HowMany);
            for value in &statement.arguments {
                let ValueKind::Quantity(quantity) = &value.kind else {
                    continue;
                };
                let unit = quantity.unit.and_then(|name| unit(item.text(name)));
                let told = |number: f64| {
                    let own = unit.map_or(number, |unit| unit.to_own_unit(number));
                    let of = unit.map(|unit| unit.dimension);
                    let mut bounds = bounds.clone();
                    let is_none = counts && number == 0.0;
                    is_none || bounds.any(|bounds| bounds.told(of, own, "").is_some())
                };
                let numbers = [0.0, 0.5, 50.0, 120.0].into_iter();
                let outside = numbers.filter(|number| told(*number)).take(1);
                let span = quantity.number.span;
                let place = span.start as usize + start..span.end as usize + start;
                found.extend(outside.map(|outside| (place.clone(), outside.to_string())));
            }
        }
    }
    found
}

/// Every statement in a file's sites.
fn in_sites(file: &File) -> impl Iterator<Item = Placed<'_>> {
    let all = statements(file, &["site"]).into_iter();
    all.filter(|of| !std::ptr::eq(of.statement, of.item.root()))
}

/// Where names stand in front of blocks in sites, with nothing in their place.
pub fn names_left_out(file: &File) -> Vec<Mistake> {
    let with_block = in_sites(file).filter(|of| of.statement.block.is_some());
    let name = |of: Placed| {
        let first = of.statement.arguments.first()?;
        first.is_name().then(|| of.left_out(first.span))
    };
    with_block.filter_map(name).collect()
}

/// Where names of models, rule sets and monitoring centres stand, and what is named inside
/// models, with nothing in their place.
pub fn names_of_models_left_out(file: &File) -> Vec<Mistake> {
    let name = |of: Placed| {
        let arguments = &of.statement.arguments;
        let name = match of.item.keyword(of.statement) {
            "model" => arguments.get(1),
            "rules" | "monitoring" | "output" | "bus" | "loop" => arguments.first(),
            _ => None,
        };
        Some(of.left_out(name?.span))
    };
    let all = statements(file, &["model", "rules", "monitoring"]).into_iter();
    all.filter_map(name).collect()
}

/// Where a line could be broken and go on below, with a mark: its block, its model, or a clause.
pub fn breaks(file: &File) -> Vec<usize> {
    let text = file.text().to_string();
    let marks = |of: Placed| {
        // In a block on one line it would be the block that is broken.
        let start = of.bytes(of.statement.span).start;
        if text[..start]
            .lines()
            .next_back()
            .is_some_and(|before| before.contains('{'))
        {
            return Vec::new();
        }
        let block = of.statement.block.map(|block| block.open);
        let model = of.statement.model.as_ref().map(|(colon, _)| *colon);
        let clause = (of.statement.form == Form::Clause).then_some(of.statement.span);
        let all = [block, model, clause].into_iter().flatten();
        all.map(move |mark| of.bytes(mark).start)
            .collect::<Vec<_>>()
    };
    statements(file, &[]).into_iter().flat_map(marks).collect()
}

/// Where two lines of a block could be drawn together by a comma: where one ends,
/// where the other starts, and where it ends.
pub fn neighbours(file: &File) -> Vec<[usize; 3]> {
    let mut found = Vec::new();
    for of in statements(file, &[]) {
        for pair in of.statement.body.windows(2) {
            let [first, second] = pair else { continue };
            let joins = first.form == Form::Line
                && first.block.is_none()
                && second.form == Form::Line
                && second.block.is_none()
                && second.model.is_none()
                && !takes(of.item.keyword(first), of.item.keyword(second));
            let ends = [first.span.end, second.span.start, second.span.end];
            if joins {
                found.push(ends.map(|end| of.start + end as usize));
            }
        }
    }
    found
}
