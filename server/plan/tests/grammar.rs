//! The reader and the tree-sitter grammar see the same shape in every text.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

mod common;

#[path = "common/shape.rs"]
mod shape;

use proptest::prelude::*;
use shape::compare;

#[test]
fn all_plans_are_read_as_the_grammar_says() {
    for text in common::plans().values() {
        compare(text);
        compare(&text.replace('\n', "\r\n"));
        compare(&text.replace('\n', "\r"));
    }
    for file in bellwire_plan::library::LIBRARY.iter() {
        compare(&file.text().to_string());
    }
}

#[test]
fn every_cut_is_read_as_the_grammar_says() {
    let plans = common::demo();
    for line in plans["sites/harbour.bell"].lines() {
        for (column, _) in line.char_indices() {
            compare(&line[..column]);
            compare(&line[column..]);
        }
    }
}

const TOKENS: &[&str] = &[
    "a",
    "main.aux",
    "x1.3",
    "main.",
    "a-b",
    "a-",
    "12",
    "4.2",
    "4.2.1",
    "-5",
    "−5",
    "12 m",
    "0.5 mm²",
    "53 ohm/km",
    "ohm/",
    "2025-03",
    "2025-03-14",
    "2025-",
    "\"text\"",
    "\"open",
    "\"a\\\"b\"",
    "\\",
    ":",
    ",",
    "{",
    "}",
    "{}",
    "--",
    "-",
    "+",
    "..",
    ".",
    "1 .. 8",
    "7 kohm ..",
    ".. 5 V",
    "#c",
    "\n",
    "\n",
    "\r\n",
    "\r",
    " ",
    "\t",
    "\u{a0}",
    "Ω",
    "µ",
    "°C",
    "%",
    "é",
    "e\u{301}",
    "👍",
    "@",
    "\u{2028}",
    "\u{feff}",
    "_",
    "5 degC",
    "1 a_b",
    "1 a-b",
    "--12 m--",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn random_tokens_are_read_as_the_grammar_says(
        tokens in prop::collection::vec(prop::sample::select(TOKENS), 0..24),
        spaced in prop::collection::vec(any::<bool>(), 24),
    ) {
        let mut text = String::new();
        for (token, space) in tokens.iter().zip(spaced) {
            text += token;
            if space {
                text.push(' ');
            }
        }
        compare(&text);
    }

    #[test]
    fn random_characters_are_read_as_the_grammar_says(text in "[ -~\nΩ²°é]{0,60}") {
        compare(&text);
    }
}
