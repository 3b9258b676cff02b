//! What the words of the notation mean.

use bellwire_plan::finding::Code;
use bellwire_plan::source::Span;
use bellwire_plan::vocabulary::{Measures, Names, Slot, What, Word, kind};

use super::page::code;
use crate::place::Place;
use crate::walk::slotted;

/// A word's shape, meaning and example, for a plan that is measured so.
pub(crate) fn word(word: &Word, measures: Measures) -> String {
    let shape = word.shape();
    let example = match word.example == shape {
        true => String::new(),
        false => {
            let example = measures.example(word.example);
            format!("\n\n```bellwire\n{example}\n```")
        }
    };
    format!("`{shape}`\n\n{}{example}", word.meaning)
}

/// The word under the cursor: a keyword, or an argument that the notation
/// itself gives a meaning.
pub(super) fn word_at(place: &Place) -> Option<(Span, String)> {
    let words = place.words();
    let (statement, row) = *words.last()?;
    if let Some(keyword) = statement.keyword.filter(|span| span.touches(place.offset)) {
        return Some((keyword, word(row, place.item.measures())));
    }
    // Further sets of a list word: `chime-off` of `sounds all, chime-off`.
    let clause = statement
        .body
        .iter()
        .find(|clause| clause.span.touches(place.offset));
    if let Some(clause) = clause.filter(|_| row.list) {
        let keyword = clause.keyword.filter(|span| span.touches(place.offset))?;
        let meaning = argument(place.item.text(keyword), row.slots.first()?)?;
        return Some((keyword, meaning));
    }
    let mut values = slotted(row.slots, &statement.arguments);
    let (value, slot) = values.find(|(value, _)| value.span.touches(place.offset))?;
    let slot = slot.filter(|_| value.is_name())?;
    let meaning = argument(place.item.text(value.span), slot)?;
    Some((value.span, meaning))
}

fn argument(text: &str, slot: &Slot) -> Option<String> {
    let meaning = match slot.what {
        What::Choice(choices) => {
            let (_, meaning) = choices.iter().find(|(choice, _)| *choice == text)?;
            meaning.to_string()
        }
        What::Kind(_) => kind(text)?.meaning.to_string(),
        What::Named(Names::Code) => {
            let code = Code::parse(text)?;
            let explanation = code.explanation();
            format!(
                "{}.\n\n{}\n\n{}",
                code.title(),
                explanation.why,
                explanation.mend
            )
        }
        _ => return None,
    };
    (!meaning.is_empty()).then(|| format!("{}\n\n{meaning}", code(text)))
}
