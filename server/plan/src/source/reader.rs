//! From text to statements, line by line.
//!
//! The tree-sitter grammar describes the same shape for editors, and a test
//! holds the two together over random texts. Reading by hand costs a tenth of a
//! tree, and an edit costs the item that it is in: that is why.

use super::item::{Block, Form, Leg, Path, Point, Problem, Span, Statement};
use super::lexer::{Lexer, Token};
use super::value::{Number, Quantity, Value, ValueKind};

/// Blocks inside blocks, at most. Real plans need five; the bound keeps a
/// hostile text from exhausting the stack.
pub(super) const DEEPEST: usize = 32;

/// What the text says, line by line; `nest` then says what belongs where.
#[derive(Debug)]
pub(super) enum Event {
    /// A statement, with its clauses and inline blocks but without the lines of
    /// a block of several lines.
    Line {
        statement: Statement,
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
    pub(super) events: Vec<Event>,
    pub(super) problems: Vec<Problem>,
    /// It starts on the line on which the one before it ends.
    pub(super) crowded: bool,
}

/// The braces of a text do not match.
#[derive(Debug)]
pub(super) struct Unbalanced;

/// What follows the last item of a text.
#[derive(Debug)]
pub(super) struct Rest {
    /// Comment lines at the end, which would belong to an item right below.
    pub(super) note: Option<Span>,
    /// Whether a line break comes behind the last item.
    pub(super) breaks: bool,
}

/// Reads the top-level statements of a text whose braces match. `fresh` says
/// whether the text starts at the start of a line.
pub(super) fn items(text: &str, fresh: bool) -> Result<(Vec<Raw>, Rest), Unbalanced> {
    let mut items = Vec::new();
    let mut reader = Reader::new(text);
    let mut rest = Rest {
        note: None,
        breaks: fresh,
    };
    loop {
        let (token, span) = reader.lexer.next();
        match token {
            Token::Break => rest.breaks = true,
            Token::Comment if rest.breaks => rest.note = Some(grow(text, rest.note, span)),
            Token::Comment => {}
            Token::Close => return Err(Unbalanced),
            Token::End => return Ok((items, rest)),
            _ => {
                let note = rest.note.take();
                let note = note.filter(|note| is_next_line(text, *note, span));
                let start = note.unwrap_or(span).start as usize;
                let mut item = Reader {
                    base: start,
                    ..reader
                };
                if let Some(note) = note {
                    item.events.push(Event::Comment(item.rebased(note)));
                }
                item.item(token, span, !rest.breaks)?;
                let end = item.end;
                reader = Reader::new(text);
                reader.lexer = item.lexer;
                items.push(Raw {
                    start,
                    end,
                    events: item.events,
                    problems: item.problems,
                    crowded: !rest.breaks,
                });
                rest.breaks = false;
            }
        }
    }
}

/// Reads all lines of a text, whether or not its braces match.
pub(super) fn lines(text: &str) -> (Vec<Event>, Vec<Problem>) {
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

/// The comment lines above, with one more.
fn grow(text: &str, note: Option<Span>, comment: Span) -> Span {
    let trimmed = text
        .get(comment.start as usize..comment.end as usize)
        .map_or(0, |text| text.trim_end().len());
    let comment = Span::new(comment.start as usize, comment.start as usize + trimmed);
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
}

impl<'a> Reader<'a> {
    fn new(text: &'a str) -> Self {
        Reader {
            text,
            lexer: Lexer::new(text),
            base: 0,
            events: Vec::new(),
            problems: Vec::new(),
            open: Vec::new(),
            end: 0,
            inline: 0,
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
                let comment = self.rebased(grow(self.text, None, span));
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

    /// Reads a statement whose first token has been taken. Where a block of
    /// several lines opens at its end: how many inline blocks down.
    fn statement(&mut self, token: Token, span: Span) -> (Statement, Option<usize>) {
        let start = self.rebased(span);
        let mut statement = Statement {
            form: Form::Fragment,
            span: start,
            head: Span {
                start: start.start,
                end: start.start,
            },
            keyword: None,
            arguments: Vec::new(),
            model: None,
            body: Vec::new(),
            block: None,
            path: None,
            note: None,
        };
        let mut opener = None;
        let mut next = Some((token, span));
        if token == Token::Name {
            let parts = self.lexer.parts(span);
            next = None;
            if matches!(self.lexer.peek(), Token::Dashes | Token::Plus) {
                statement.form = Form::Path;
                let first = self.reference(parts);
                self.way(first, &mut statement);
            } else {
                statement.form = Form::Line;
                statement.keyword = Some(self.whole(&parts));
            }
            statement.head.end = self.here();
        }
        if statement.form != Form::Path {
            self.arguments(&mut next, &mut statement.arguments);
            statement.head.end = statement.head.end.max(end_of(&statement.arguments));
        }
        loop {
            let (token, span) = match next.take() {
                Some(taken) => taken,
                None if matches!(self.lexer.peek(), Token::Colon | Token::Comma | Token::Open) => {
                    self.lexer.next()
                }
                // The line ends, or, behind a way, another begins.
                None => break,
            };
            match token {
                Token::Colon => {
                    self.model(span, &mut statement);
                    statement.head.end = self.here();
                }
                Token::Comma => {
                    let clause = self.clause(span);
                    statement.body.push(clause);
                }
                Token::Open => {
                    opener = self.block(span, &mut statement);
                    break;
                }
                _ => break,
            }
        }
        statement.span.end = statement.span.end.max(self.here());
        (statement, opener)
    }

    /// Reads arguments up to a mark that ends them, which is left.
    fn arguments(&mut self, next: &mut Option<(Token, Span)>, values: &mut Vec<Value>) {
        loop {
            let (token, span) = match next.take() {
                Some(taken) => taken,
                None if ends_arguments(self.lexer.peek()) => return,
                None => self.lexer.next(),
            };
            if ends_arguments(token) {
                *next = Some((token, span));
                return;
            }
            values.push(self.value(token, span));
        }
    }

    fn model(&mut self, colon: Span, statement: &mut Statement) {
        let colon = self.rebased(colon);
        let mut values = Vec::new();
        self.arguments(&mut None, &mut values);
        if statement.model.is_none() {
            statement.model = Some((colon, values));
        } else {
            let span = Span {
                start: colon.start,
                end: self.here(),
            };
            self.problem(span, "only one `:` may stand on a line: take this one out");
        }
    }

    fn clause(&mut self, comma: Span) -> Statement {
        let start = self.rebased(comma);
        let mut keyword = None;
        let mut arguments = Vec::new();
        if self.lexer.peek() == Token::Name {
            let (_, name) = self.lexer.next();
            let parts = self.lexer.parts(name);
            keyword = Some(self.whole(&parts));
        }
        self.arguments(&mut None, &mut arguments);
        let span = Span {
            start: start.start,
            end: self.here(),
        };
        Statement {
            form: Form::Clause,
            span,
            head: Span {
                start: keyword.map_or(span.start, |keyword: Span| keyword.start),
                end: span.end,
            },
            keyword,
            arguments,
            model: None,
            body: Vec::new(),
            block: None,
            path: None,
            note: None,
        }
    }

    /// Reads a block, its `{` taken: all of an inline one, or nothing of one of
    /// several lines.
    fn block(&mut self, brace: Span, statement: &mut Statement) -> Option<usize> {
        let open = self.rebased(brace);
        statement.block = Some(Block { open, close: None });
        match self.lexer.peek() {
            Token::Break | Token::Comment | Token::End => return Some(0),
            Token::Close => {}
            _ if self.inline + self.open.len() >= DEEPEST => {
                self.problem(
                    open,
                    "blocks are nested too deep here: nothing in this one is read",
                );
                while !matches!(self.lexer.peek(), Token::Break | Token::End) {
                    self.lexer.next();
                }
                return None;
            }
            _ => {
                self.inline += 1;
                let (token, span) = self.lexer.next();
                let (inner, opener) = self.statement(token, span);
                self.inline -= 1;
                if opener.is_some() {
                    self.problem(
                        inner.head,
                        "a block of several lines must start on a line of its own: begin a new line here",
                    );
                }
                statement.body.push(inner);
                if let Some(steps) = opener {
                    return Some(steps + 1);
                }
            }
        }
        if self.lexer.peek() == Token::Close {
            let (_, close) = self.lexer.next();
            let close = Some(self.rebased(close));
            statement.block = Some(Block { open, close });
        } else {
            self.problem(open, "this `{` is never closed: add a `}`");
        }
        None
    }

    /// Reads a cable's way from its first point on.
    fn way(&mut self, first: Value, statement: &mut Statement) {
        let mut path = Path::default();
        self.point(first, &mut path);
        loop {
            match self.lexer.peek() {
                Token::Name => {
                    let (_, span) = self.lexer.next();
                    let parts = self.lexer.parts(span);
                    let reference = self.reference(parts);
                    self.point(reference, &mut path);
                }
                Token::Dashes => {
                    let (_, dashes) = self.lexer.next();
                    self.leg(dashes, &mut path);
                }
                Token::Plus => break,
                token if ends_arguments(token) => break,
                _ => {
                    let (token, span) = self.lexer.next();
                    let value = self.value(token, span);
                    statement.arguments.push(value);
                }
            }
        }
        statement.path = Some(path);
    }

    fn point(&mut self, first: Value, path: &mut Path) {
        let start = first.span.start;
        // Two points without a leg between: the leg is not typed yet.
        if path.points.len() > path.legs.len() {
            path.legs.push(Leg {
                span: Span { start, end: start },
                length: None,
            });
        }
        let mut references = vec![first];
        while self.lexer.peek() == Token::Plus {
            self.lexer.next();
            if self.lexer.peek() == Token::Name {
                let (_, span) = self.lexer.next();
                let parts = self.lexer.parts(span);
                references.push(self.reference(parts));
            }
        }
        path.points.push(Point {
            span: Span {
                start,
                end: self.here(),
            },
            references,
        });
    }

    fn leg(&mut self, dashes: Span, path: &mut Path) {
        let start = self.rebased(dashes).start;
        if path.points.len() == path.legs.len() {
            path.points.push(Point {
                span: Span { start, end: start },
                references: Vec::new(),
            });
        }
        let length = (self.lexer.peek() == Token::Number).then(|| {
            let (_, number) = self.lexer.next();
            self.quantity(number)
        });
        if self.lexer.peek() == Token::Dashes {
            self.lexer.next();
        }
        path.legs.push(Leg {
            span: Span {
                start,
                end: self.here(),
            },
            length,
        });
    }

    fn value(&mut self, token: Token, span: Span) -> Value {
        let place = self.rebased(span);
        let kind = match token {
            Token::Name => {
                let parts = self.lexer.parts(span);
                return self.reference(parts);
            }
            Token::Number => {
                let from = self.quantity(span);
                if self.lexer.peek() != Token::Dots {
                    return Value {
                        span: from.span(),
                        kind: ValueKind::Quantity(from),
                    };
                }
                self.lexer.next();
                ValueKind::Range(Some(from), self.range_end())
            }
            Token::Dots => ValueKind::Range(None, self.range_end()),
            Token::Date => ValueKind::Date,
            Token::Text(closed) => {
                if !closed {
                    self.problem(place, "the closing `\"` of this text is missing");
                }
                let end = place.end as usize - usize::from(closed);
                ValueKind::Text(Span::new(place.start as usize + 1, end))
            }
            _ => ValueKind::Stray,
        };
        Value {
            span: Span {
                start: place.start,
                end: self.here(),
            },
            kind,
        }
    }

    fn range_end(&mut self) -> Option<Quantity> {
        (self.lexer.peek() == Token::Number).then(|| {
            let (_, number) = self.lexer.next();
            self.quantity(number)
        })
    }

    fn quantity(&mut self, number: Span) -> Quantity {
        let text = self
            .text
            .get(number.start as usize..number.end as usize)
            .unwrap_or("");
        let unit = self.lexer.unit().map(|unit| self.rebased(unit));
        Quantity {
            number: Number {
                span: self.rebased(number),
                value: number_value(text),
            },
            unit,
        }
    }

    fn reference(&self, parts: Vec<Span>) -> Value {
        let span = self.whole(&parts);
        let parts = parts.into_iter().map(|part| self.rebased(part)).collect();
        Value {
            span,
            kind: ValueKind::Name(parts),
        }
    }

    /// From the first part of a name to its last.
    fn whole(&self, parts: &[Span]) -> Span {
        let start = parts.first().map_or(0, |part| part.start);
        let end = parts.last().map_or(0, |part| part.end);
        self.rebased(Span { start, end })
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

fn ends_line(token: Token) -> bool {
    matches!(
        token,
        Token::Close | Token::Comment | Token::Break | Token::End
    )
}

fn ends_arguments(token: Token) -> bool {
    ends_line(token) || matches!(token, Token::Colon | Token::Comma | Token::Open)
}

fn end_of(values: &[Value]) -> u32 {
    values.last().map_or(0, |value| value.span.end)
}

/// The value of a number as written; what follows a second point is left out.
fn number_value(text: &str) -> f64 {
    let second = text.match_indices('.').nth(1);
    let text = text
        .get(..second.map_or(text.len(), |(at, _)| at))
        .unwrap_or("");
    match text.strip_prefix('−') {
        Some(text) => text.parse().map_or(0.0, |value: f64| -value),
        None => text.parse().unwrap_or(0.0),
    }
}
