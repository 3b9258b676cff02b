//! How places and values are called in sentences.

use crate::vocabulary::{Context, Dimension, WORDS, Word, words};

pub(super) fn usage(word: &Word) -> String {
    format!("write it as in `{}`", word.example)
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
    let list = crate::model::list(&names);
    if more > 0 {
        format!("{list} and {more} more")
    } else {
        list
    }
}

pub(super) fn names_of(dimensions: &[Dimension]) -> String {
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

pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

pub(super) fn or_list(names: &[&str]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    names.join(" or ")
}
