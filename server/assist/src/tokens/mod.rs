//! What every word of a text is, for an editor's colours.
//!
//! Statements say where words, numbers and texts stand; the vocabulary says
//! what each is for: a word that opens a thing, a property, a choice, a name.

mod delta;
mod names;
mod shapes;

pub use delta::{Splice, delta};

use std::ops::Range;

use bellwire_plan::source::comments;
use bellwire_plan::workspace::Entry;

use crate::walk::{evaluated, in_file};
use names::Marks;
use shapes::Shapes;

/// What a word is. Each is one of the standard types of the protocol.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TokenKind {
    /// A word that starts a thing.
    Keyword,
    /// A word that starts a property.
    Property,
    /// A terminal, a bus, a loop: what a thing has that others are joined to.
    Method,
    /// A model.
    Class,
    /// A site.
    Namespace,
    /// A rule set, a monitoring centre, a unit of measure.
    Type,
    /// A panel, a device, a joint, a run.
    Variable,
    /// One of several words that may stand somewhere.
    EnumMember,
    /// A number or a date.
    Number,
    /// A text in quotes.
    String,
    /// A comment.
    Comment,
    /// `--`, `+`, `..`
    Operator,
}

impl TokenKind {
    /// All kinds, in the order of their numbers.
    pub const ALL: [TokenKind; 12] = [
        TokenKind::Keyword,
        TokenKind::Property,
        TokenKind::Method,
        TokenKind::Class,
        TokenKind::Namespace,
        TokenKind::Type,
        TokenKind::Variable,
        TokenKind::EnumMember,
        TokenKind::Number,
        TokenKind::String,
        TokenKind::Comment,
        TokenKind::Operator,
    ];

    /// Its name among the standard types of the Language Server Protocol 3.17,
    /// `SemanticTokenTypes`.
    pub fn name(self) -> &'static str {
        match self {
            TokenKind::Keyword => "keyword",
            TokenKind::Property => "property",
            TokenKind::Method => "method",
            TokenKind::Class => "class",
            TokenKind::Namespace => "namespace",
            TokenKind::Type => "type",
            TokenKind::Variable => "variable",
            TokenKind::EnumMember => "enumMember",
            TokenKind::Number => "number",
            TokenKind::String => "string",
            TokenKind::Comment => "comment",
            TokenKind::Operator => "operator",
        }
    }
}

/// A word, and what it is. It does not go over the end of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// Where it stands.
    pub range: Range<usize>,
    /// What it is.
    pub kind: TokenKind,
    /// The name is declared here: the standard modifier `declaration`.
    pub is_declaration: bool,
    /// The name is declared in the built-in library: `defaultLibrary`.
    pub is_built_in: bool,
}

/// The tokens of a file that touch `range`, in the order of the text; none
/// lies over another.
pub fn tokens(entry: &Entry, range: Range<usize>) -> Vec<Token> {
    let text = entry.file.text();
    // A comment is told from a text in quotes by what stands before it on its line.
    let first = text.line(text.line_of(range.start)).start;
    let lines = text.slice(first..range.end);
    let comments = comments(&lines).map(|comment| in_file(first, comment));
    let mut comments = comments
        .filter(|comment| touches(comment, &range))
        .peekable();
    let mut tokens = Vec::new();
    for (start, evaluation) in evaluated(entry, range.clone()) {
        let item = &evaluation.item;
        let end = start + item.source().len();
        while let Some(comment) = comments.next_if(|comment| comment.start < start) {
            tokens.push(plain(comment, TokenKind::Comment));
        }
        let mut shapes = Shapes::of(item, start, &range);
        while let Some(comment) = comments.next_if(|comment| comment.start < end) {
            shapes.push((comment, Some(TokenKind::Comment)));
        }
        shapes.sort_by_key(|(shape, _)| shape.start);
        let mut names = Marks::of(start, evaluation, &range).into_iter().peekable();
        for (shape, kind) in shapes.into_iter().filter(|(all, _)| touches(all, &range)) {
            while names
                .next_if(|name| name.range.start < shape.start)
                .is_some()
            {}
            match (names.peek(), kind) {
                (Some(name), _) if name.range == shape => tokens.push(name.clone()),
                (_, Some(kind)) => tokens.push(plain(shape, kind)),
                (_, None) => {}
            }
        }
    }
    tokens.extend(comments.map(|comment| plain(comment, TokenKind::Comment)));
    tokens
}

/// Whether two ranges have a byte in common.
fn touches(one: &Range<usize>, other: &Range<usize>) -> bool {
    one.start < other.end && other.start < one.end
}

fn plain(range: Range<usize>, kind: TokenKind) -> Token {
    Token {
        range,
        kind,
        is_declaration: false,
        is_built_in: false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    /// The text, each token in marks with what it is.
    fn show(entry: &Entry, tokens: &[Token]) -> String {
        let mut shown = String::new();
        let mut end = 0;
        for token in tokens {
            assert!(end <= token.range.start, "tokens are in order");
            end = token.range.end;
            let text = entry.file.text().slice(token.range.clone());
            let declared = if token.is_declaration { "!" } else { "" };
            let library = if token.is_built_in { "*" } else { "" };
            let line = entry.file.text().line_of(token.range.start) + 1;
            let name = token.kind.name();
            shown += &format!("{line} {name}{declared}{library} {text}\n");
        }
        shown
    }

    fn check(text: &str, expected: Expect) {
        let (_, entry, _) = fixture(text);
        let tokens = tokens(&entry, 0..entry.file.text().len());
        expected.assert_eq(&show(&entry, &tokens));
    }

    #[test]
    fn the_words_of_a_site() {
        check(
            "\
use \"../catalog/merrow.bell\"
# A note.
site quay \"Quay\" { # behind
  rules intruder-grade-2
  panel main : M8, revision 4.2 {
    battery : sealed-12V-7Ah, fitted 2025-03
    partition 1
    bus keys { keypad front : K2R, address 1, sounds silent, receiver off }
    zone 1, input x1.2, from d, partition 1, entry 30 s, loop single
    accept voltage-low \"Known\"
  }
  run r : copper-2x22AWG, doubled {
    main.aux + main.3 --3 m-- front
  }
}
",
            expect![[r#"
                1 keyword use
                1 string "../catalog/merrow.bell"
                2 comment # A note.
                3 keyword site
                3 namespace! quay
                3 string "Quay"
                3 comment # behind
                4 keyword rules
                4 type* intruder-grade-2
                5 keyword panel
                5 variable! main
                5 class M8
                5 property revision
                5 number 4.2
                6 property battery
                6 class* sealed-12V-7Ah
                6 property fitted
                6 number 2025-03
                7 keyword partition
                7 number! 1
                8 keyword bus
                8 method keys
                8 keyword keypad
                8 variable! front
                8 class K2R
                8 property address
                8 number 1
                8 property sounds
                8 enumMember silent
                8 property receiver
                8 enumMember off
                9 keyword zone
                9 number! 1
                9 property input
                9 variable x1
                9 method 2
                9 property from
                9 variable d
                9 property partition
                9 number 1
                9 property entry
                9 number 30
                9 type s
                9 property loop
                9 method single
                10 property accept
                10 enumMember voltage-low
                10 string "Known"
                12 keyword run
                12 variable! r
                12 class* copper-2x22AWG
                12 property doubled
                13 variable main
                13 method aux
                13 operator +
                13 variable main
                13 method 3
                13 operator --
                13 number 3
                13 type m
                13 operator --
                13 variable front
            "#]],
        );
    }

    #[test]
    fn the_words_of_a_model() {
        check(
            "\
model panel M1 {
  standby 0.6 W
  output aux 13.8 V, in alarm
  bus keys { power aux }
  bus two { terminal negative 6, data-out 8 }
  inputs 1 .. 8 { loop a { reads open 5 kohm .. } }
}
model cable c { colours black red }
rules house : intruder-grade-2 { headroom 20 % }
",
            expect![[r#"
                 1 keyword model
                 1 enumMember panel
                 1 class! M1
                 2 property standby
                 2 number 0.6
                 2 type W
                 3 keyword output
                 3 method! aux
                 3 number 13.8
                 3 type V
                 3 property in
                 3 enumMember alarm
                 4 keyword bus
                 4 method! keys
                 4 property power
                 4 method aux
                 5 keyword bus
                 5 method! two
                 5 property terminal
                 5 enumMember negative
                 5 number 6
                 5 enumMember data-out
                 5 number 8
                 6 keyword inputs
                 6 number 1
                 6 operator ..
                 6 number 8
                 6 keyword loop
                 6 method! a
                 6 property reads
                 6 enumMember open
                 6 number 5
                 6 type kohm
                 6 operator ..
                 8 keyword model
                 8 enumMember cable
                 8 class! c
                 8 property colours
                 8 enumMember black
                 8 enumMember red
                 9 keyword rules
                 9 type! house
                 9 type* intruder-grade-2
                 9 property headroom
                 9 number 20
                 9 type %
            "#]],
        );
    }

    #[test]
    fn unknown_words_are_left_to_the_grammar() {
        check(
            "sight a {\n  panle p : M8\n}\nsite b {\n  panle q : 4\n  zone\n",
            expect![[r#"
                 4 keyword site
                 4 namespace! b
                 5 number 4
            "#]],
        );
    }

    #[test]
    fn a_range_gives_its_own_tokens_alone() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        let text = entry.file.text();
        let all = tokens(&entry, 0..text.len());
        for line in 0..text.lines() {
            let range = text.line(line);
            let own: Vec<Token> = all
                .iter()
                .filter(|token| range.start <= token.range.start && token.range.end <= range.end)
                .cloned()
                .collect();
            assert_eq!(tokens(&entry, range), own, "line {line}");
        }
    }
}
