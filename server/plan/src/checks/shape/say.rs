//! How places and values are called in sentences.

use std::borrow::Cow;

use super::Shape;
use crate::sentence::{either, list};
use crate::vocabulary::{Context, Dimension, Names, WORDS, What, Word, words};

impl Shape<'_> {
    /// How a word is used, in the units of the plan.
    pub(super) fn example(&self, word: &Word) -> Cow<'static, str> {
        self.item.measures().example(word.example)
    }

    pub(super) fn usage(&self, word: &Word) -> String {
        format!("write it as in `{}`", self.example(word))
    }

    /// A leg as this plan would write one.
    pub(super) fn leg(&self) -> Cow<'static, str> {
        self.item.measures().example("--12 m--")
    }
}

/// Where a context is, for sentences: `in a bus`.
pub(super) fn place(context: Context) -> String {
    match context {
        Context::File => "at the top level of a file".to_string(),
        Context::UnitModel => "in the model of a panel or supply".to_string(),
        Context::DeviceModel => "in the model of a device".to_string(),
        Context::CableModel => "in the model of a cable".to_string(),
        Context::BatteryModel => "in the model of a battery".to_string(),
        Context::SeriesModel => "in the model of a series".to_string(),
        Context::Device => "in a device".to_string(),
        Context::OutputModel | Context::BusModel => {
            let word = opener(context);
            format!("in the {word} of a model")
        }
        _ => format!("in `{}`", opener(context)),
    }
}

pub(super) fn opener(context: Context) -> &'static str {
    WORDS
        .iter()
        .find(|word| word.opens == Some(context))
        .map_or("", |word| word.name)
}

pub(super) fn choices(context: Context) -> String {
    let mut names: Vec<&str> = words(context).map(|word| word.name).collect();
    names.dedup();
    let more = names.len().saturating_sub(8);
    names.truncate(8);
    let mut marked: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    if more > 0 {
        marked.push(format!("{more} more"));
    }
    list(&marked)
}

pub(super) fn names_of(dimensions: &[Dimension]) -> String {
    let names: Vec<&str> = dimensions
        .iter()
        .map(|dimension| dimension.name())
        .collect();
    either(&names)
}

/// What belongs into an argument, to start a sentence with.
pub(super) fn wanted(what: What) -> String {
    match what {
        What::NewName | What::Word => "a name".to_string(),
        What::Label => "a text in quotes".to_string(),
        What::PathText => "a file's path in quotes".to_string(),
        What::NewNumber
        | What::HowMany
        | What::Number
        | What::Address
        | What::Named(Names::Partition) => "a whole number".to_string(),
        What::Numbers => "a number or a range of numbers".to_string(),
        What::Place => "an address or `off`".to_string(),
        What::Factor => "a number".to_string(),
        What::Version => "a version such as `4.2`".to_string(),
        What::Amount(dimensions) => names_of(dimensions),
        What::Range(_) => "a range, with `..` between its ends,".to_string(),
        What::Date => "a day or a month, the year first,".to_string(),
        What::Choice(choices) => {
            let words = choices.iter().map(|(choice, _)| format!("`{choice}`"));
            words.collect::<Vec<_>>().join(" or ")
        }
        What::Kind(_) => "a kind of thing".to_string(),
        What::Named(Names::Input) => "an input".to_string(),
        What::Named(_) => "a name".to_string(),
    }
}
