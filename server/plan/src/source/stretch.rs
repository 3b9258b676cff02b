//! A text in stretches that can be read each by itself, for when its braces do
//! not match.
//!
//! A statement at the left margin belongs to nothing around it, whatever braces
//! say, so a text can be cut there: what is wrong in one stretch harms no other,
//! and a key typed in it costs that stretch alone.

use std::ops::Range;

use super::lexer::{Lexer, Token};
use super::lines::{BREAKS, indent};

/// The stretches of a text, which together are all of it.
#[derive(Debug)]
pub(super) struct Stretches {
    /// Where they lie. Each holds a statement, unless the text has none.
    pub(super) ranges: Vec<Range<usize>>,
    /// Whether comment lines stand at the end, directly above what comes next.
    pub(super) ends_with_note: bool,
}

/// Cuts a text at the statements that stand at the left margin; the comment
/// lines directly above one go with it.
pub(super) fn stretches(text: &str) -> Stretches {
    let mut ranges = Vec::new();
    let mut start = 0;
    let mut has_statement = false;
    let mut note = None;
    let mut at = 0;
    while at < text.len() {
        let rest = text.get(at..).unwrap_or("");
        let end = rest.find(BREAKS).unwrap_or(rest.len());
        let (line, below) = rest.split_at_checked(end).unwrap_or((rest, ""));
        let is_last = below.is_empty();
        let length = match below.starts_with("\r\n") {
            true => end + 2,
            false => end + usize::from(!is_last),
        };
        let mut lexer = Lexer::new(line);
        let (mut token, span) = lexer.next();
        match token {
            Token::Comment => _ = note.get_or_insert(at),
            // Behind the last line break, what comes next may follow.
            Token::End if is_last => {}
            Token::End => note = None,
            _ => {
                let cut = note.take().unwrap_or(at);
                let is_at_margin =
                    token != Token::Close && indent(line, span.start as usize) == Some(0);
                if is_at_margin && has_statement {
                    ranges.push(start..cut);
                    start = cut;
                }
                while token == Token::Close {
                    token = lexer.next().0;
                }
                has_statement |= !matches!(token, Token::Comment | Token::End);
            }
        }
        at += length;
    }
    ranges.push(start..text.len());
    Stretches {
        ranges,
        ends_with_note: note.is_some(),
    }
}
