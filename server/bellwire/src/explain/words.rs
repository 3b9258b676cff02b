//! What the words of the notation mean, and where they may stand.

use std::fmt::Write as _;

use bellwire_plan::reference::CHAPTERS;
use bellwire_plan::sentence::lower;
use bellwire_plan::vocabulary::{Context, KINDS, WORDS, What, Word, kind, words};

use crate::output::{measure, wrapped};

/// Every word and every kind of thing.
pub(super) fn names<'a>() -> impl Iterator<Item = &'a str> {
    let kinds = KINDS.iter().map(|kind| kind.name);
    WORDS.iter().map(|word| word.name).chain(kinds)
}

/// All that a word means, place by place; `None` if it is no word.
pub(super) fn explained(name: &str) -> Option<String> {
    let rows = WORDS.iter().filter(|word| word.name == name).map(row);
    let model = kind(name).map(|kind| {
        let mut text = format!("model {name} NAME [LABEL]\nat the top level of a file\n\n");
        paragraph(&mut text, kind.meaning);
        taken(&mut text, kind.group.context());
        text
    });
    let parts: Vec<String> = rows.chain(model).collect();
    (!parts.is_empty()).then(|| parts.join("\n\n"))
}

/// One meaning of a word.
fn row(word: &Word) -> String {
    let places = CHAPTERS
        .iter()
        .filter(|(context, _)| word.within.contains(context))
        .map(|(_, heading)| lower(heading));
    let mut text = format!("{}\n", word.shape());
    paragraph(&mut text, &places.collect::<Vec<_>>().join(", "));
    text.push('\n');
    paragraph(&mut text, word.meaning);
    for slot in word.slots {
        let What::Choice(choices @ [_, _, ..]) = slot.what else {
            continue;
        };
        let width = choices.iter().map(|(choice, _)| choice.len()).max();
        let width = width.unwrap_or(0);
        text.push('\n');
        for (choice, meaning) in choices {
            let line = format!("  {choice:width$}  {meaning}");
            let _ = writeln!(text, "{}", line.trim_end());
        }
    }
    if let Some(inner) = word.opens {
        taken(&mut text, inner);
    }
    let example = word.example.replace('\n', "\n    ");
    let _ = writeln!(text, "\n    {example}");
    text
}

/// The words that may stand in a context.
fn taken(text: &mut String, context: Context) {
    text.push('\n');
    paragraph(text, &format!("It takes: {}.", listed(context)));
}

fn listed(context: Context) -> String {
    let mut names: Vec<&str> = words(context).map(|word| word.name).collect();
    names.dedup();
    names.join(", ")
}

fn paragraph(text: &mut String, words: &str) {
    for line in wrapped(words, measure()) {
        let _ = writeln!(text, "{line}");
    }
}

/// All words, by where they may stand.
pub(super) fn list() -> String {
    let mut text = "Words of the notation\n".to_string();
    for (context, heading) in CHAPTERS {
        let _ = writeln!(text, "  {heading}");
        for line in wrapped(&listed(*context), measure() - 4) {
            let _ = writeln!(text, "    {line}");
        }
    }
    text
}
