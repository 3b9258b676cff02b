//! Whether statements have the shape that the vocabulary gives them: which
//! words stand where, with which arguments, in which units, how often.

use std::sync::Arc;

use crate::finding::{Code, Finding, did_you_mean};
use crate::model::Words;
use crate::source::{Form, Item, Quantity, Span, Spot, Statement, Value, ValueKind};
use crate::vocabulary::{
    Context, Count, Dimension, KINDS, Names, Presence, Slot, WORDS, What, Word, kind, unit, word,
    words,
};

/// Checks everything in an item.
pub fn check(item: &Arc<Item>, findings: &mut Vec<Finding>) {
    for problem in &item.problems {
        findings.push(Finding::new(Code::Syntax, problem.span, &problem.message));
    }
    Shape { item, findings }.statement(&item.root, Context::File);
}

struct Shape<'a> {
    item: &'a Arc<Item>,
    findings: &'a mut Vec<Finding>,
}

impl<'a> Shape<'a> {
    fn statement(&mut self, statement: &'a Statement, context: Context) {
        match statement.form {
            Form::Path => return self.path(statement, context),
            Form::Fragment => return self.fragment(statement),
            Form::Clause if statement.keyword.is_none() => {
                let message = match statement.arguments.first() {
                    None => {
                        "something is missing behind this comma: a clause, or take the comma out"
                    }
                    Some(_) => "a clause starts with a word: put one here, or take the comma out",
                };
                return self.report(Code::Syntax, statement.span, message);
            }
            Form::Line | Form::Clause => {}
        }
        let name = self.item.keyword(statement);
        let Some(word) = word(name, context) else {
            return self.unknown_word(statement, name, context);
        };
        self.arguments(statement, word);
        self.model(statement, word);
        let kind_word = Words {
            item: self.item,
            statement,
        }
        .name();
        let inner = word.context(kind_word.map(|name| name.value));
        self.body(statement, word, inner, context);
    }

    fn fragment(&mut self, statement: &'a Statement) {
        self.report(
            Code::Syntax,
            statement.span,
            "this line starts with no word that says what it is: begin it with one",
        );
    }

    fn unknown_word(&mut self, statement: &'a Statement, name: &str, context: Context) {
        let span = statement.keyword.unwrap_or(statement.head);
        if context == Context::Run && statement.form == Form::Line {
            let names = statement
                .arguments
                .iter()
                .all(|value| matches!(value.kind, ValueKind::Name(_)));
            let near = did_you_mean(name, words(context).map(|word| word.name));
            if names && statement.model.is_none() && near.is_empty() {
                let next = statement.arguments.first();
                let next = next.map_or("NAME", |value| self.item.text(value.span));
                return self.report(
                    Code::Syntax,
                    statement.head,
                    format!("the way of the cable is not finished: `{name} --12 m-- {next}`"),
                );
            }
        }
        let homes: Vec<Context> = WORDS
            .iter()
            .filter(|word| word.name == name)
            .flat_map(|word| word.within.iter().copied())
            .collect();
        if homes.is_empty() {
            let hint = did_you_mean(name, words(context).map(|word| word.name));
            let hint = match hint.as_str() {
                "" => format!(" What may stand here: {}.", choices(context)),
                _ => hint,
            };
            return self.report(
                Code::UnknownWord,
                span,
                format!("`{name}` means nothing {}.{hint}", place(context)),
            );
        }
        let mut homes: Vec<String> = homes.into_iter().map(place).collect();
        homes.dedup();
        homes.truncate(4);
        self.report(
            Code::Misplaced,
            span,
            format!(
                "`{name}` may not stand {}: it belongs {}",
                place(context),
                homes.join(", or ")
            ),
        );
    }

    // ---- Arguments.

    fn arguments(&mut self, statement: &'a Statement, word: &'static Word) {
        let own: Vec<&Value> = statement.arguments.iter().collect();
        self.slots(statement, word, &own);
    }

    /// Matches values to the word's slots, in order.
    fn slots(&mut self, statement: &'a Statement, word: &'static Word, values: &[&'a Value]) {
        let mut slots = word.slots.iter();
        let mut slot = slots.next();
        let mut taken = 0;
        for value in values {
            loop {
                let Some(current) = slot else {
                    self.too_much(statement, word, value);
                    break;
                };
                let wrong = self.fits(current, value, word);
                let skippable = current.presence == Presence::Optional
                    || current.presence == Presence::Several && taken > 0;
                match wrong {
                    None if current.presence == Presence::Several => taken += 1,
                    None => {
                        slot = slots.next();
                        taken = 0;
                    }
                    Some(_) if skippable => {
                        slot = slots.next();
                        taken = 0;
                        continue;
                    }
                    Some(finding) => {
                        self.findings.push(finding);
                        if current.presence != Presence::Several {
                            slot = slots.next();
                        } else {
                            taken += 1;
                        }
                    }
                }
                break;
            }
        }
        let missing = slot
            .into_iter()
            .filter(|_| taken == 0)
            .chain(slots)
            .find(|slot| slot.presence != Presence::Optional);
        if let Some(slot) = missing {
            self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its {}, as in `{}`",
                    word.name, slot.title, word.example
                ),
            );
        }
    }

    fn too_much(&mut self, statement: &Statement, word: &Word, value: &Value) {
        let text = self.item.text(value.span);
        let comma = word.opens.is_some_and(|inner| {
            let first = text.split_whitespace().next().unwrap_or("");
            crate::vocabulary::word(first, inner).is_some()
        });
        let colon = word.model.is_some()
            && statement.model.is_none()
            && matches!(value.kind, ValueKind::Name(_));
        let message = if comma {
            format!("a comma is missing before `{text}`")
        } else if colon {
            format!("a colon is missing before the model: `: {text}`")
        } else {
            format!("`{text}` is too much here: {}", usage(word))
        };
        self.report(Code::Misplaced, value.span, message);
    }

    /// What is wrong with a value in a slot, if anything.
    fn fits(&self, slot: &Slot, value: &Value, word: &Word) -> Option<Finding> {
        let wrong = |code, message: String| Some(Finding::new(code, value.span, message));
        let needs = |what: &str| {
            let text = self.item.text(value.span);
            wrong(
                Code::WrongKind,
                format!("{what} belongs here, not `{text}`: {}", usage(word)),
            )
        };
        match (slot.what, &value.kind) {
            (What::NewName | What::Word, ValueKind::Name(parts)) if parts.len() == 1 => None,
            (What::NewName | What::Word, _) => needs("a name"),
            (What::Label, ValueKind::Text(_)) => None,
            (What::Label, _) => needs("a text in quotes"),
            (What::PathText, ValueKind::Text(_)) => None,
            (What::PathText, _) => needs("a file's path in quotes"),
            (
                What::NewNumber
                | What::Count
                | What::Address
                | What::Place
                | What::Counts
                | What::Named(Names::Partition | Names::Input),
                ValueKind::Quantity(quantity),
            ) => self.whole_number(quantity, word),
            (What::Place, ValueKind::Name(_)) if self.item.text(value.span) == "off" => None,
            (What::Named(Names::Input), ValueKind::Name(_)) => None,
            (What::Counts, ValueKind::Range(from, to)) => self.counts(value.span, from, to, word),
            (What::NewNumber | What::Count | What::Address | What::Named(Names::Partition), _) => {
                needs("a whole number")
            }
            (What::Counts, _) => needs("a number or a range of numbers"),
            (What::Place, _) => needs("an address or `off`"),
            (What::Factor | What::Version, ValueKind::Quantity(quantity)) => {
                quantity.unit.and_then(|unit| {
                    let text = self.item.text(unit);
                    let finding = format!("a plain number belongs here: take `{text}` out");
                    Some(Finding::new(Code::WrongUnit, unit, finding))
                })
            }
            (What::Factor, _) => needs("a number"),
            (What::Version, _) => needs("a version such as `4.2`"),
            (What::Amount(dimensions), ValueKind::Quantity(quantity)) => {
                self.amount(quantity, dimensions, word)
            }
            (What::Amount(dimensions), _) => needs(&names_of(dimensions)),
            (What::Span(dimension), ValueKind::Range(from, to)) => {
                self.span_of(value.span, from, to, dimension, word)
            }
            (What::Span(_), _) => needs("a range, with `..` between its ends,"),
            (What::Date, ValueKind::Date) => {
                let text = self.item.text(value.span);
                if is_date(text) {
                    return None;
                }
                wrong(
                    Code::WrongKind,
                    format!(
                        "there is no day `{text}`: write year, month and day, as in `2025-03-14`"
                    ),
                )
            }
            (What::Date, _) => needs("a day or a month"),
            (What::Choice(choices), ValueKind::Name(_)) => {
                let text = self.item.text(value.span);
                if choices.iter().any(|(choice, _)| *choice == text) {
                    return None;
                }
                let all: Vec<&str> = choices.iter().map(|(choice, _)| *choice).collect();
                let hint = did_you_mean(text, all.iter().copied());
                wrong(
                    Code::UnknownWord,
                    format!(
                        "`{text}` means nothing here: write {}.{hint}",
                        or_list(&all)
                    ),
                )
            }
            (What::Choice(choices), _) => {
                let all: Vec<&str> = choices.iter().map(|(choice, _)| *choice).collect();
                needs(&or_list(&all))
            }
            (What::Kind, ValueKind::Name(_)) => {
                let text = self.item.text(value.span);
                if kind(text).is_some() {
                    return None;
                }
                let hint = did_you_mean(text, KINDS.iter().map(|kind| kind.name));
                wrong(
                    Code::UnknownWord,
                    format!("there is no kind of thing called `{text}`.{hint}"),
                )
            }
            (What::Kind, _) => needs("a kind of thing"),
            (What::Named(_), ValueKind::Name(_)) => None,
            (What::Named(Names::Input), _) => needs("an input"),
            (What::Named(_), _) => needs("a name"),
        }
    }

    fn whole_number(&self, quantity: &Quantity, word: &Word) -> Option<Finding> {
        if let Some(unit) = quantity.unit {
            let text = self.item.text(unit);
            let comma = word
                .opens
                .is_some_and(|inner| crate::vocabulary::word(text, inner).is_some());
            let message = if comma {
                format!("a comma is missing before `{text}`")
            } else {
                format!("a plain number belongs here: take `{text}` out")
            };
            return Some(Finding::new(Code::WrongUnit, unit, message));
        }
        let number = quantity.number;
        let text = self.item.text(number.span);
        let plain = text.chars().all(|c| c.is_ascii_digit()) && text.len() < 10;
        (!plain).then(|| {
            Finding::new(
                Code::WrongKind,
                number.span,
                format!("a whole number belongs here, not `{text}`: {}", usage(word)),
            )
        })
    }

    fn counts(
        &self,
        span: Span,
        from: &Option<Quantity>,
        to: &Option<Quantity>,
        word: &Word,
    ) -> Option<Finding> {
        let (Some(from), Some(to)) = (from, to) else {
            let message = format!("both ends of the range are needed: {}", usage(word));
            return Some(Finding::new(Code::Missing, span, message));
        };
        self.whole_number(from, word)
            .or_else(|| self.whole_number(to, word))
            .or_else(|| backwards(span, from.number.value, to.number.value))
    }

    fn span_of(
        &self,
        span: Span,
        from: &Option<Quantity>,
        to: &Option<Quantity>,
        dimension: Dimension,
        word: &Word,
    ) -> Option<Finding> {
        if from.is_none() && to.is_none() {
            let message = format!("the range has no ends: {}", usage(word));
            return Some(Finding::new(Code::Missing, span, message));
        }
        // `5 .. 35 °C`: the unit of one end serves both.
        let unit_of = |end: &Option<Quantity>| end.and_then(|end| end.unit);
        let shared = unit_of(to).or(unit_of(from));
        let ends = [from, to].map(|end| {
            end.map(|end| Quantity {
                unit: end.unit.or(shared),
                ..end
            })
        });
        for end in ends.iter().flatten() {
            if let Some(finding) = self.amount(end, &[dimension], word) {
                return Some(finding);
            }
        }
        let si = |end: Option<Quantity>| {
            let end = end?;
            Some(unit(self.item.text(end.unit?))?.to_si(end.number.value))
        };
        match (si(ends[0]), si(ends[1])) {
            (Some(from), Some(to)) => backwards(span, from, to),
            _ => None,
        }
    }

    fn amount(
        &self,
        quantity: &Quantity,
        dimensions: &[Dimension],
        word: &Word,
    ) -> Option<Finding> {
        let usual = dimensions
            .first()
            .and_then(|dimension| dimension.units().next())
            .map_or("", |unit| unit.name());
        let number = self.item.text(quantity.number.span);
        let Some(unit_span) = quantity.unit else {
            return Some(Finding::new(
                Code::WrongUnit,
                quantity.number.span,
                format!("the unit is missing: `{number} {usual}`, for example"),
            ));
        };
        let text = self.item.text(unit_span);
        let Some(unit) = unit(text) else {
            let comma = word
                .opens
                .is_some_and(|inner| crate::vocabulary::word(text, inner).is_some());
            let all: Vec<&str> = dimensions
                .iter()
                .flat_map(|dimension| dimension.units())
                .flat_map(|unit| unit.names.iter().copied())
                .collect();
            let hint = match nearest_unit(text, &all) {
                Some(name) => format!(" Did you mean `{name}`?"),
                None => format!(
                    " {} is written in {usual}, for example.",
                    capital(&names_of(dimensions))
                ),
            };
            let message = if comma {
                format!("a comma, or the unit, is missing before `{text}`")
            } else {
                format!("there is no unit `{text}`.{hint}")
            };
            return Some(Finding::new(Code::WrongUnit, unit_span, message));
        };
        if !dimensions.contains(&unit.dimension) {
            return Some(Finding::new(
                Code::WrongUnit,
                quantity.span(),
                format!(
                    "`{number} {text}` is {}, but {} belongs here: write it in {usual}, for example",
                    unit.dimension.name(),
                    names_of(dimensions)
                ),
            ));
        }
        let signed = matches!(unit.dimension, Dimension::Temperature | Dimension::Gauge);
        (quantity.number.value < 0.0 && !signed).then(|| {
            Finding::new(
                Code::WrongKind,
                quantity.span(),
                format!("{} cannot be below zero", unit.dimension.name()),
            )
        })
    }

    // ---- The model and the body.

    fn model(&mut self, statement: &'a Statement, word: &'static Word) {
        match (&statement.model, word.model) {
            (Some((colon, _)), None) => self.report(
                Code::Misplaced,
                *colon,
                format!("`{}` has no model: {}", word.name, usage(word)),
            ),
            (Some((colon, values)), Some(_)) => match values.as_slice() {
                [] => self.report(
                    Code::Missing,
                    *colon,
                    format!("the model is missing behind the colon: {}", usage(word)),
                ),
                [value] if matches!(&value.kind, ValueKind::Name(parts) if parts.len() == 1) => {}
                [value] => {
                    let text = self.item.text(value.span);
                    self.report(
                        Code::WrongKind,
                        value.span,
                        format!("the name of a model belongs here, not `{text}`"),
                    );
                }
                [_, more, ..] => {
                    let text = self.item.text(more.span);
                    self.report(
                        Code::Misplaced,
                        more.span,
                        format!(
                            "`{text}` is too much here: put a comma before it if it is a clause"
                        ),
                    );
                }
            },
            (None, Some(_)) if word.needs_model => self.report(
                Code::Missing,
                statement.head,
                format!(
                    "`{}` needs its model behind a colon, as in `{}`",
                    word.name, word.example
                ),
            ),
            (None, _) => {}
        }
    }

    fn body(
        &mut self,
        statement: &'a Statement,
        word: &'static Word,
        inner: Option<Context>,
        around: Context,
    ) {
        if word.list {
            for clause in &statement.body {
                self.list_item(clause, word);
            }
            return;
        }
        let Some(inner) = inner else {
            // A model of a kind that does not exist is reported at its kind.
            if word.name == "model" {
                return;
            }
            if let Some(first) = statement.body.first() {
                let text = self.item.text(first.head);
                let name = self.item.keyword(first);
                let mend = if crate::vocabulary::word(name, around).is_some() {
                    "write it on a line of its own"
                } else {
                    "take it out"
                };
                self.report(
                    Code::Misplaced,
                    first.head,
                    format!("`{text}` is no part of `{}`: {mend}", word.name),
                );
            } else if let Some(block) = statement.block {
                self.report(
                    Code::Misplaced,
                    block.open,
                    format!("`{}` takes no block", word.name),
                );
            }
            return;
        };
        for line in &statement.body {
            self.statement(line, inner);
        }
        self.counts_of(statement, inner);
    }

    /// A further set of arguments behind a comma.
    fn list_item(&mut self, clause: &'a Statement, word: &'static Word) {
        let Some(keyword) = clause.keyword else {
            return self.report(
                Code::Syntax,
                clause.span,
                "something is missing behind this comma, or take the comma out",
            );
        };
        let first = Value {
            span: keyword,
            kind: ValueKind::Name(vec![keyword]),
        };
        // The keyword is the set's first argument; only its kind is looked at.
        let wrong = word
            .slots
            .first()
            .and_then(|slot| self.fits(slot, &first, word));
        self.findings.extend(wrong);
        let rest = Word {
            slots: word.slots.get(1..).unwrap_or(&[]),
            ..*word
        };
        let mut slots = rest.slots.iter();
        for value in &clause.arguments {
            match slots.next() {
                Some(slot) => self.findings.extend(self.fits(slot, value, word)),
                None => self.too_much(clause, word, value),
            }
        }
        if let Some(slot) = slots.next() {
            let text = self.item.text(keyword);
            self.report(
                Code::Missing,
                clause.head,
                format!(
                    "`{text}` needs its {}, as in `{}`",
                    slot.title, word.example
                ),
            );
        }
    }

    fn counts_of(&mut self, statement: &'a Statement, context: Context) {
        for word in words(context) {
            if word.count == Count::Many {
                continue;
            }
            let mut found = statement
                .body
                .iter()
                .filter(|line| self.item.keyword(line) == word.name);
            let Some(first) = found.next() else {
                if word.count == Count::Required {
                    self.report(
                        Code::Missing,
                        statement.head,
                        format!("`{}` is missing here, as in `{}`", word.name, word.example),
                    );
                }
                continue;
            };
            for again in found {
                let spot = Spot {
                    item: self.item.clone(),
                    span: first.head,
                };
                self.findings.push(
                    Finding::new(
                        Code::Repeated,
                        again.head,
                        format!("`{}` may stand here only once: take one out", word.name),
                    )
                    .with(spot, "the first one"),
                );
            }
        }
    }

    // ---- Paths.

    fn path(&mut self, statement: &'a Statement, context: Context) {
        if context != Context::Run {
            return self.report(
                Code::Misplaced,
                statement.head,
                "the way of a cable may only stand in the block of a `run`",
            );
        }
        let Some(path) = &statement.path else { return };
        for value in &statement.arguments {
            let text = self.item.text(value.span);
            self.report(
                Code::Syntax,
                value.span,
                format!("`{text}` is no part of a way: `main.keys --12 m-- front`"),
            );
        }
        if let Some(more) = statement.body.first() {
            self.report(
                Code::Misplaced,
                more.head,
                "a way takes no clauses: put them behind the cable in the `run` line",
            );
        }
        let unfinished = path.points.len() <= path.legs.len()
            || path.points.iter().any(|point| point.references.is_empty());
        if unfinished {
            let example = "`main.keys --12 m-- front`";
            self.report(
                Code::Syntax,
                statement.head,
                format!("the way of the cable is not finished: a length in every leg, a name at every end, as in {example}"),
            );
        } else if path.legs.is_empty() {
            self.report(
                Code::Syntax,
                statement.head,
                "the way of the cable is not finished: go on with `--12 m-- NAME`",
            );
        }
        for leg in &path.legs {
            match &leg.length {
                Some(length) => {
                    let wrong = self.amount(length, &[Dimension::Length], &RUN);
                    self.findings.extend(wrong);
                }
                None if unfinished => {}
                None if leg.span.is_empty() => self.report(
                    Code::Missing,
                    leg.span,
                    "the cable between these two is missing: `--12 m--`",
                ),
                None => self.report(Code::Missing, leg.span, "the length is missing: `--12 m--`"),
            }
        }
    }

    fn report(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.findings.push(Finding::new(code, span, message));
    }
}

/// Stands for a run's paths where a word is asked for.
const RUN: Word = Word {
    name: "run",
    within: &[],
    slots: &[],
    list: false,
    model: None,
    needs_model: false,
    count: Count::Many,
    opens: None,
    meaning: "",
    example: "main.keys --12 m-- front",
};

fn usage(word: &Word) -> String {
    format!("write it as in `{}`", word.example)
}

/// Where a context is, for sentences: `in a bus`.
fn place(context: Context) -> String {
    match context {
        Context::File => "at the top level of a file".to_string(),
        Context::UnitModel => "in the model of a panel or supply".to_string(),
        Context::DeviceModel => "in the model of a device".to_string(),
        Context::CableModel => "in the model of a cable".to_string(),
        Context::BatteryModel => "in the model of a battery".to_string(),
        Context::Device => "in a device".to_string(),
        Context::OutputModel | Context::BusModel => {
            let word = opener(context);
            format!("in the {word} of a model")
        }
        _ => format!("in `{}`", opener(context)),
    }
}

fn opener(context: Context) -> &'static str {
    WORDS
        .iter()
        .find(|word| word.opens == Some(context))
        .map_or("", |word| word.name)
}

fn choices(context: Context) -> String {
    let mut names: Vec<&str> = words(context).map(|word| word.name).collect();
    names.dedup();
    let more = names.len().saturating_sub(8);
    names.truncate(8);
    let list = crate::model::list(&names);
    if more > 0 {
        format!("{list} and {more} more")
    } else {
        list
    }
}

fn names_of(dimensions: &[Dimension]) -> String {
    let names: Vec<&str> = dimensions
        .iter()
        .map(|dimension| dimension.name())
        .collect();
    match names.as_slice() {
        [] => String::new(),
        [only] => only.to_string(),
        [init @ .., last] => format!("{} or {last}", init.join(", ")),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

fn or_list(names: &[&str]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    names.join(" or ")
}

/// The unit that is written most like `text`; letter case first of all.
fn nearest_unit<'a>(text: &str, all: &[&'a str]) -> Option<&'a str> {
    let mut names = all.iter().copied();
    names
        .clone()
        .find(|name| name.eq_ignore_ascii_case(text))
        .or_else(|| names.find(|name| name.len() > 1 && text.starts_with(*name)))
        .or_else(|| crate::finding::nearest(text, all.iter().copied()))
}

fn backwards(span: Span, from: f64, to: f64) -> Option<Finding> {
    (from > to).then(|| {
        Finding::new(
            Code::WrongKind,
            span,
            "the range is back to front: write the lower end first",
        )
    })
}

fn is_date(text: &str) -> bool {
    let mut parts = text.split('-').map(|part| part.parse::<u32>().unwrap_or(0));
    let (Some(_), Some(month)) = (parts.next(), parts.next()) else {
        return false;
    };
    let day = parts.next().unwrap_or(1);
    (1..=12).contains(&month) && (1..=31).contains(&day)
}
