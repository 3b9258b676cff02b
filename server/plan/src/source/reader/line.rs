//! One line: a statement with its clauses and inline blocks, or a cable's path.

use std::sync::Arc;

use super::{DEEPEST, Reader};
use crate::source::lexer::Token;
use crate::source::span::Span;
use crate::source::statement::{Block, Form, Leg, Path, Point, Statement};
use crate::source::value::{Number, Parts, Quantity, Value, ValueKind};

impl Reader<'_> {
    /// Reads a statement whose first token has been taken. Where a block of
    /// several lines opens at its end: how many inline blocks down.
    pub(super) fn statement(
        &mut self,
        token: Token,
        span: Span,
    ) -> (Arc<Statement>, Option<usize>) {
        let start = self.rebased(span);
        let first_clause = self.clauses.len();
        let mut statement = Statement {
            form: Form::Fragment,
            span: start,
            head: Span {
                start: start.start,
                end: start.start,
            },
            ..Statement::default()
        };
        let mut opener = None;
        let mut next = Some((token, span));
        if token == Token::Name {
            let parts = self.lexer.parts(span);
            next = None;
            if matches!(self.lexer.peek(), Token::Dashes | Token::Plus) {
                statement.form = Form::Path;
                let first = self.reference(parts);
                self.path(first, &mut statement);
            } else {
                statement.form = Form::Line;
                statement.keyword = Some(self.whole(&parts));
            }
            statement.head.end = self.here();
        }
        if statement.form != Form::Path {
            statement.arguments = self.arguments(&mut next);
            statement.head.end = statement.head.end.max(end_of(&statement.arguments));
        }
        loop {
            let (token, span) = match next.take() {
                Some(taken) => taken,
                None if matches!(self.lexer.peek(), Token::Colon | Token::Comma | Token::Open) => {
                    self.lexer.next()
                }
                // The line ends, or, behind a path, another begins.
                None => break,
            };
            match token {
                Token::Colon => {
                    self.model(span, &mut statement);
                    statement.head.end = self.here();
                }
                Token::Comma => {
                    let clause = self.clause(span);
                    self.clauses.push(Arc::new(clause));
                }
                Token::Open => {
                    opener = self.block(span, &mut statement);
                    break;
                }
                _ => break,
            }
        }
        statement.body = self.clauses.drain(first_clause..).collect();
        statement.span.end = statement.span.end.max(self.here());
        (Arc::new(statement), opener)
    }

    /// Reads arguments up to a mark that ends them, which is left.
    fn arguments(&mut self, next: &mut Option<(Token, Span)>) -> Vec<Value> {
        let first = self.values.len();
        loop {
            let (token, span) = match next.take() {
                Some(taken) => taken,
                None if ends_arguments(self.lexer.peek()) => break,
                None => self.lexer.next(),
            };
            if ends_arguments(token) {
                *next = Some((token, span));
                break;
            }
            let value = self.value(token, span);
            self.values.push(value);
        }
        self.values.drain(first..).collect()
    }

    fn model(&mut self, colon: Span, statement: &mut Statement) {
        let colon = self.rebased(colon);
        let values = self.arguments(&mut None);
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
        if self.lexer.peek() == Token::Name {
            let (_, name) = self.lexer.next();
            let parts = self.lexer.parts(name);
            keyword = Some(self.whole(&parts));
        }
        let arguments = self.arguments(&mut None);
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
            ..Statement::default()
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
                self.clauses.push(inner);
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
            self.problem(open, "this `{` is not closed on its line: add a `}`, or, if its block has several lines, begin a new line behind it");
        }
        None
    }

    /// Reads a cable's path from its first point on.
    fn path(&mut self, first: Value, statement: &mut Statement) {
        self.point(first);
        loop {
            match self.lexer.peek() {
                Token::Name => {
                    let (_, span) = self.lexer.next();
                    let parts = self.lexer.parts(span);
                    let reference = self.reference(parts);
                    self.point(reference);
                }
                Token::Dashes => {
                    let (_, dashes) = self.lexer.next();
                    self.leg(dashes);
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
        statement.path = Some(Box::new(Path {
            points: self.points.drain(..).collect(),
            legs: self.legs.drain(..).collect(),
        }));
    }

    fn point(&mut self, first: Value) {
        let start = first.span.start;
        // Two points without a leg between: the leg is not typed yet.
        if self.points.len() > self.legs.len() {
            self.legs.push(Leg {
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
        let span = Span {
            start,
            end: self.here(),
        };
        self.points.push(Point { span, references });
    }

    fn leg(&mut self, dashes: Span) {
        let start = self.rebased(dashes).start;
        if self.points.len() == self.legs.len() {
            self.points.push(Point {
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
        let span = Span {
            start,
            end: self.here(),
        };
        self.legs.push(Leg { span, length });
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
                ValueKind::Range(Some(Box::new(from)), self.range_end())
            }
            Token::Dots => ValueKind::Range(None, self.range_end()),
            Token::Date => ValueKind::Date,
            Token::Text { closed } => {
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

    fn range_end(&mut self) -> Option<Box<Quantity>> {
        (self.lexer.peek() == Token::Number).then(|| {
            let (_, number) = self.lexer.next();
            Box::new(self.quantity(number))
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

    fn reference(&self, mut parts: Parts) -> Value {
        let span = self.whole(&parts);
        for part in &mut parts {
            *part = self.rebased(*part);
        }
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
