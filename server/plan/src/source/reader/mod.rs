//! From text to statements, line by line.
//!
//! The tree-sitter grammar describes the same shape for editors, and a test
//! holds the two together over random texts. Reading by hand costs a tenth of a
//! tree, and an edit costs the line that it is in, at most the item: that is why.

mod line;
mod nest;

use std::sync::Arc;

use super::lexer::{Lexer, Token};
use super::span::{Problem, Span};
use super::statement::{Leg, Point, Statement};
use super::value::Value;

/// Blocks inside blocks, at most. Real plans need five; the bound keeps a
/// hostile text from exhausting the stack.
pub(super) const DEEPEST: usize = 32;

/// What the text says, line by line; `nest` then says what belongs where.
#[derive(Debug)]
enum Event {
    /// A statement, with its clauses and inline blocks but without the lines of
    /// a block of several lines.
    Line {
        statement: Arc<Statement>,
        /// Whether a block of several lines opens at its end, and how many inline
        /// blocks down the statement is that opens it.
        opens: Option<usize>,
    },
    /// The end of a block of several lines.
    Close(Span),
    /// A comment on a line of its own.
    Comment(Span),
}

/// A top-level statement as read: its text's range, and what it says, with
/// places that count from the range's start.
#[derive(Debug)]
pub(super) struct Raw {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) root: Statement,
    pub(super) problems: Vec<Problem>,
    /// It starts on the line on which the one before it ends.
    pub(super) crowded: bool,
}

/// The braces of a text do not match.
#[derive(Debug)]
pub(super) struct Unbalanced;

/// What follows the last item of a text.
#[derive(Debug, Default)]
pub(super) struct Rest {
    /// Comment lines at the end, which would belong to an item right below.
    pub(super) note: Option<Span>,
    /// Whether a line break comes behind the last item.
    pub(super) breaks: bool,
    /// Whether the text ends inside a comment, which takes in what comes next.
    pub(super) in_comment: bool,
}

/// Reads the top-level statements of a text whose braces match. `fresh` says
/// whether the text starts at the start of a line.
pub(super) fn items(text: &str, fresh: bool) -> Result<(Vec<Raw>, Rest), Unbalanced> {
    let mut items = Vec::new();
    let mut reader = Reader::new(text);
    let mut rest = Rest {
        note: None,
        breaks: fresh,
        in_comment: false,
    };
    loop {
        let (token, span) = reader.lexer.next();
        rest.in_comment |= token == Token::Comment;
        rest.in_comment &= matches!(token, Token::Comment | Token::End);
        match token {
            Token::Break => rest.breaks = true,
            Token::Comment if rest.breaks => {
                rest.note = Some(note_with(text, rest.note, trimmed(text, span)));
            }
            Token::Comment => {}
            Token::Close => return Err(Unbalanced),
            Token::End => return Ok((items, rest)),
            _ => {
                let note = rest.note.take();
                let note = note.filter(|note| is_next_line(text, *note, span));
                let start = note.unwrap_or(span).start as usize;
                reader.base = start;
                if let Some(note) = note {
                    let note = reader.rebased(note);
                    reader.events.push(Event::Comment(note));
                }
                reader.item(token, span, !rest.breaks)?;
                let end = reader.end;
                let source = text.get(start..end).unwrap_or("");
                let roots = nest::by_braces(reader.events.drain(..), source);
                items.extend(roots.into_iter().next().map(|root| Raw {
                    start,
                    end,
                    root: Arc::unwrap_or_clone(root),
                    problems: std::mem::take(&mut reader.problems),
                    crowded: !rest.breaks,
                }));
                rest.breaks = false;
            }
        }
    }
}

/// The statement that a text is of which braces match: that of an item.
pub(super) fn statement(source: &str) -> Statement {
    let (raws, _) = items(source, true).unwrap_or_default();
    let first = raws.into_iter().next();
    first.map(|raw| raw.root).unwrap_or_default()
}

/// Reads all statements of a text whose braces do not match, by the indentation
/// of its lines, and tells what is wrong, in the order of the text.
pub(super) fn by_indent(text: &str) -> (Vec<Statement>, Vec<Problem>) {
    let (events, mut problems) = lines(text);
    let (roots, unmatched) = nest::by_indent(events, text);
    problems.extend(unmatched);
    problems.sort_by_key(|problem| problem.span.start);
    let roots = roots.into_iter().map(Arc::unwrap_or_clone);
    (roots.collect(), problems)
}

/// Reads all lines of a text, whether or not its braces match.
fn lines(text: &str) -> (Vec<Event>, Vec<Problem>) {
    let mut reader = Reader::new(text);
    let mut fresh = true;
    loop {
        let (token, span) = reader.lexer.next();
        match token {
            Token::End => return (reader.events, reader.problems),
            Token::Close if reader.open.is_empty() => reader.events.push(Event::Close(span)),
            _ => fresh = reader.step(token, span, fresh),
        }
    }
}

/// Reads a line that is one whole statement and nothing else.
pub(super) fn line(text: &str) -> Option<(Statement, Vec<Problem>)> {
    let (mut events, problems) = lines(text);
    match (events.pop(), events.is_empty()) {
        (
            Some(Event::Line {
                statement,
                opens: None,
            }),
            true,
        ) => Some((Arc::unwrap_or_clone(statement), problems)),
        _ => None,
    }
}

/// A comment without the blanks at its end.
fn trimmed(text: &str, comment: Span) -> Span {
    let (start, end) = (comment.start as usize, comment.end as usize);
    let length = text.get(start..end).map_or(0, |text| text.trim_end().len());
    Span::new(start, start + length)
}

/// The comment lines above, with one more.
fn note_with(text: &str, note: Option<Span>, comment: Span) -> Span {
    match note {
        Some(note) if is_next_line(text, note, comment) => note.to(comment),
        _ => comment,
    }
}

/// Whether `below` starts on the line after that on which `above` ends.
pub(super) fn is_next_line(text: &str, above: Span, below: Span) -> bool {
    let between = text
        .as_bytes()
        .get(above.end as usize..below.start as usize)
        .unwrap_or(&[]);
    let mut breaks = 0;
    for (at, byte) in between.iter().enumerate() {
        let second = at > 0 && between.get(at - 1) == Some(&b'\r');
        match byte {
            b'\n' if !second => breaks += 1,
            b'\r' => breaks += 1,
            _ => {}
        }
    }
    breaks == 1
}

struct Reader<'a> {
    text: &'a str,
    lexer: Lexer<'a>,
    /// What spans count from.
    base: usize,
    events: Vec<Event>,
    problems: Vec<Problem>,
    /// The blocks of several lines that are open: for each, how many inline
    /// blocks stand around it.
    open: Vec<usize>,
    /// Where the last statement or block ended, in the text.
    end: usize,
    /// Inline blocks around the statement that is being read.
    inline: usize,
    /// Where lists grow until their length is known, so that what is kept fits.
    values: Vec<Value>,
    clauses: Vec<Arc<Statement>>,
    points: Vec<Point>,
    legs: Vec<Leg>,
}

impl<'a> Reader<'a> {
    fn new(text: &'a str) -> Self {
        Reader {
            text,
            lexer: Lexer::new(text),
            base: 0,
            events: Vec::with_capacity((text.len() / 32).min(256)),
            problems: Vec::new(),
            open: Vec::new(),
            end: 0,
            inline: 0,
            values: Vec::new(),
            clauses: Vec::new(),
            points: Vec::new(),
            legs: Vec::new(),
        }
    }

    /// Reads an item whose first token has been taken.
    fn item(&mut self, token: Token, span: Span, crowded: bool) -> Result<(), Unbalanced> {
        let mut fresh = self.step(token, span, !crowded);
        while !self.open.is_empty() {
            let (token, span) = self.lexer.next();
            if token == Token::End {
                return Err(Unbalanced);
            }
            fresh = self.step(token, span, fresh);
        }
        Ok(())
    }

    /// Takes what starts with a token: a line, or an end. Gives whether a line
    /// may start behind it.
    fn step(&mut self, token: Token, span: Span, fresh: bool) -> bool {
        let hidden = self.open.len() > DEEPEST;
        match token {
            Token::Break => return true,
            Token::Comment if fresh && !hidden => {
                let comment = self.rebased(trimmed(self.text, span));
                self.events.push(Event::Comment(comment));
            }
            Token::Comment | Token::End => {}
            Token::Close => self.close(span, hidden),
            _ => {
                let (statement, opens) = self.statement(token, span);
                self.end = self.base + statement.span.end as usize;
                if !fresh {
                    self.problem(
                        statement.head,
                        "a line break is missing before this: write each statement on a line of its own",
                    );
                }
                let too_deep = opens.is_some() && self.open.len() == DEEPEST;
                if too_deep {
                    let brace = Span::new(self.end.saturating_sub(1), self.end);
                    self.problem(
                        self.rebased(brace),
                        "blocks are nested too deep here: nothing in this one is read",
                    );
                }
                self.open.extend(opens);
                if !hidden {
                    let opens = opens.filter(|_| !too_deep);
                    self.events.push(Event::Line { statement, opens });
                }
            }
        }
        false
    }

    fn close(&mut self, span: Span, hidden: bool) {
        let steps = self.open.pop();
        self.end = span.end as usize;
        if !hidden {
            self.events.push(Event::Close(self.rebased(span)));
        }
        // The ends of the inline blocks around it say nothing more.
        for _ in 0..steps.unwrap_or(0) {
            if self.lexer.peek() == Token::Close {
                self.end = self.lexer.next().1.end as usize;
            }
        }
    }

    fn problem(&mut self, span: Span, message: &str) {
        self.problems.push(Problem {
            span,
            message: message.to_string(),
        });
    }

    fn rebased(&self, span: Span) -> Span {
        let base = self.base as u32;
        Span {
            start: span.start.saturating_sub(base),
            end: span.end.saturating_sub(base),
        }
    }

    /// Up to where the text has been read, as spans count.
    fn here(&self) -> u32 {
        (self.lexer.offset() - self.base) as u32
    }
}
