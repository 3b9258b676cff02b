//! From characters to tokens, as the grammar has them.

use unicode_properties::{GeneralCategoryGroup as Group, UnicodeGeneralCategory};

use super::lines::BREAKS;
use super::span::Span;
use super::value::Parts;

/// What a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token {
    /// A name; [`Lexer::parts`] says whether it goes on.
    Name,
    /// A number.
    Number,
    /// A day or a month.
    Date,
    /// A text in quotes.
    Text {
        /// Whether the closing quote is there.
        closed: bool,
    },
    /// `:`
    Colon,
    /// `,`
    Comma,
    /// `{`
    Open,
    /// `}`
    Close,
    /// `--`
    Dashes,
    /// `+`
    Plus,
    /// `..`
    Dots,
    /// A character that fits nowhere.
    Stray,
    /// `#` and the rest of the line.
    Comment,
    /// The end of a line.
    Break,
    /// The end of the text.
    End,
}

/// Reads tokens, one after the other.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lexer<'a> {
    text: &'a str,
    at: usize,
    /// The token that comes next, once somebody has looked.
    ahead: Option<(Token, Span)>,
}

impl<'a> Lexer<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Lexer {
            text,
            at: 0,
            ahead: None,
        }
    }

    /// The offset up to which the text has been read.
    pub(super) fn offset(&self) -> usize {
        self.at
    }

    /// The next token, without taking it.
    pub(super) fn peek(&mut self) -> Token {
        let (token, _) = match self.ahead {
            Some(next) => next,
            None => {
                let at = self.at;
                let next = self.read();
                self.at = at;
                *self.ahead.insert(next)
            }
        };
        token
    }

    /// Takes the next token, past blanks.
    pub(super) fn next(&mut self) -> (Token, Span) {
        match self.ahead.take() {
            Some((token, span)) => {
                self.at = span.end as usize;
                (token, span)
            }
            None => self.read(),
        }
    }

    fn read(&mut self) -> (Token, Span) {
        self.skip_blanks();
        let start = self.at;
        let token = self.token();
        (token, Span::new(start, self.at))
    }

    fn token(&mut self) -> Token {
        let Some(byte) = self.byte(0) else {
            return Token::End;
        };
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'_' => self.name(),
            b'0'..=b'9' => self.number(),
            b'"' => self.quoted(),
            b'#' => self.rest_of_line(),
            b'\n' => self.take(1, Token::Break),
            b'\r' if self.byte(1) == Some(b'\n') => self.take(2, Token::Break),
            b'\r' => self.take(1, Token::Break),
            b':' => self.take(1, Token::Colon),
            b',' => self.take(1, Token::Comma),
            b'{' => self.take(1, Token::Open),
            b'}' => self.take(1, Token::Close),
            b'+' => self.take(1, Token::Plus),
            b'-' => match self.byte(1) {
                Some(b'-') => self.take(2, Token::Dashes),
                Some(b'0'..=b'9') => self.number(),
                _ => self.take(1, Token::Stray),
            },
            b'.' if self.byte(1) == Some(b'.') => self.take(2, Token::Dots),
            0..128 => self.take(1, Token::Stray),
            _ => match self.char() {
                Some('−') if self.is_digit(3) => self.number(),
                Some(c) if is_letter(c) => self.name(),
                Some(c) => self.take(c.len_utf8(), Token::Stray),
                None => Token::End,
            },
        }
    }

    /// The parts of a name that has just been taken: `main` and `keys` of
    /// `main.keys`. What follows the name directly is taken too.
    pub(super) fn parts(&mut self, name: Span) -> Parts {
        let mut parts = Parts::from_buf([name]);
        while self.byte(0) == Some(b'.') && self.byte(1) != Some(b'.') {
            self.ahead = None;
            self.at += 1;
            let start = self.at;
            self.word();
            parts.push(Span::new(start, self.at));
        }
        parts
    }

    /// Takes a unit, if one comes next.
    pub(super) fn unit(&mut self) -> Option<Span> {
        let mut ahead = *self;
        ahead.skip_blanks();
        let start = ahead.at;
        ahead.unit_part()?;
        if ahead.byte(0) == Some(b'/') {
            let mut below = ahead;
            below.at += 1;
            if below.unit_part().is_some() {
                ahead = below;
            }
        }
        ahead.ahead = None;
        *self = ahead;
        Some(Span::new(start, self.at))
    }

    fn unit_part(&mut self) -> Option<()> {
        let first = self.char()?;
        if !(is_group(first, Group::Letter) || first == '°' || first == '%') {
            return None;
        }
        self.at += first.len_utf8();
        while let Some(c) = self.char() {
            if !(is_group(c, Group::Letter) || is_group(c, Group::Number)) {
                break;
            }
            self.at += c.len_utf8();
        }
        Some(())
    }

    fn name(&mut self) -> Token {
        self.word();
        Token::Name
    }

    /// Takes letters, digits and single hyphens between them.
    fn word(&mut self) {
        if !self.word_piece() {
            return;
        }
        while self.byte(0) == Some(b'-') {
            self.at += 1;
            if !self.word_piece() {
                self.at -= 1;
                break;
            }
        }
    }

    fn word_piece(&mut self) -> bool {
        let start = self.at;
        loop {
            match self.byte(0) {
                Some(b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'_') => self.at += 1,
                Some(0..128) | None => break,
                Some(_) => match self.char() {
                    Some(c) if is_word(c) => self.at += c.len_utf8(),
                    _ => break,
                },
            }
        }
        self.at > start
    }

    fn number(&mut self) -> Token {
        let date = self.date();
        self.at += match self.byte(0) {
            Some(b'-') => 1,
            Some(128..) => '−'.len_utf8(),
            _ => 0,
        };
        self.digits();
        while self.byte(0) == Some(b'.') && self.is_digit(1) {
            self.at += 1;
            self.digits();
        }
        match date {
            Some(end) if end >= self.at => {
                self.at = end;
                Token::Date
            }
            _ => Token::Number,
        }
    }

    /// Where a date ends that starts here: `2025-03` or `2025-03-14`.
    fn date(&self) -> Option<usize> {
        let bytes = self.bytes();
        let digits = |from: usize, to: usize| {
            bytes
                .get(from..to)
                .is_some_and(|digits| digits.iter().all(u8::is_ascii_digit))
        };
        let hyphen = |at: usize| bytes.get(at) == Some(&b'-');
        if !(digits(0, 4) && hyphen(4) && digits(5, 7)) {
            return None;
        }
        let length = if hyphen(7) && digits(8, 10) { 10 } else { 7 };
        Some(self.at + length)
    }

    fn digits(&mut self) {
        while self.is_digit(0) {
            self.at += 1;
        }
    }

    fn quoted(&mut self) -> Token {
        self.at += 1;
        loop {
            match self.byte(0) {
                Some(b'"') => return self.take(1, Token::Text { closed: true }),
                Some(b'\n' | b'\r') | None => return Token::Text { closed: false },
                Some(b'\\') => match self.byte(1) {
                    Some(b'\n' | b'\r') | None => return Token::Text { closed: false },
                    // What stands behind the first byte of a character ends no text.
                    Some(_) => self.at += 2,
                },
                Some(_) => self.at += 1,
            }
        }
    }

    fn rest_of_line(&mut self) -> Token {
        let bytes = self.bytes();
        let length = bytes.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
        self.take(length.unwrap_or(bytes.len()), Token::Comment)
    }

    fn take(&mut self, length: usize, token: Token) -> Token {
        self.at += length;
        token
    }

    fn skip_blanks(&mut self) {
        loop {
            match self.byte(0) {
                Some(b' ' | b'\t' | 0x0b | 0x0c | 0) => self.at += 1,
                Some(128..) => match self.char() {
                    Some(c) if is_blank(c) => self.at += c.len_utf8(),
                    _ => return,
                },
                _ => return,
            }
        }
    }

    /// The byte so far behind what has been read.
    fn byte(&self, ahead: usize) -> Option<u8> {
        self.text.as_bytes().get(self.at + ahead).copied()
    }

    fn is_digit(&self, ahead: usize) -> bool {
        self.byte(ahead).is_some_and(|byte| byte.is_ascii_digit())
    }

    fn bytes(&self) -> &'a [u8] {
        self.text.as_bytes().get(self.at..).unwrap_or(&[])
    }

    fn char(&self) -> Option<char> {
        self.text.get(self.at..)?.chars().next()
    }
}

/// The comments of a text that starts a line, or where an item does.
pub fn comments(text: &str) -> impl Iterator<Item = Span> {
    let mut start = 0;
    text.split_inclusive(BREAKS).filter_map(move |line| {
        let base = start;
        start += line.len();
        if !line.contains('#') {
            return None;
        }
        let mut lexer = Lexer::new(line);
        loop {
            match lexer.next() {
                (Token::Comment, span) => {
                    let (start, end) = (base + span.start as usize, base + span.end as usize);
                    return Some(Span::new(start, end));
                }
                (Token::End, _) => return None,
                _ => {}
            }
        }
    })
}

fn is_group(c: char, group: Group) -> bool {
    if c.is_ascii() {
        return match group {
            Group::Letter => c.is_ascii_alphabetic(),
            Group::Number => c.is_ascii_digit(),
            _ => false,
        };
    }
    c.general_category_group() == group
}

fn is_letter(c: char) -> bool {
    c == '_' || is_group(c, Group::Letter)
}

fn is_word(c: char) -> bool {
    is_letter(c) || is_group(c, Group::Number) || is_group(c, Group::Mark)
}

fn is_blank(c: char) -> bool {
    c == '\u{feff}' || c.general_category() == unicode_properties::GeneralCategory::SpaceSeparator
}
