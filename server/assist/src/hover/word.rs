//! What a word of the notation means.

use bellwire_plan::vocabulary::Word;

/// A word's shape, meaning and example.
pub(crate) fn word(word: &Word) -> String {
    let shape = word.shape();
    let example = match word.example == shape {
        true => String::new(),
        false => format!("\n\n```bellwire\n{}\n```", word.example),
    };
    format!("`{shape}`\n\n{}{example}", word.meaning)
}
