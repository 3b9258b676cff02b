//! Which line belongs to which block.
//!
//! Braces say so. While a line is being typed they may not match, and reading
//! on by braces alone would move half the file into the wrong block; then
//! indentation says so, and what does not match is reported where it stands.

use std::sync::Arc;

use super::{DEEPEST, Event, is_next_line, note_with};
use crate::source::lines::indent;
use crate::source::span::{Problem, Span};
use crate::source::statement::Statement;
use crate::source::value::Value;

/// Nests lines by their braces, which match.
pub(super) fn by_braces(events: impl Iterator<Item = Event>, source: &str) -> Vec<Arc<Statement>> {
    let mut stack = Stack::new(source);
    for event in events {
        match event {
            Event::Comment(span) => stack.comment(span),
            Event::Line { statement, opens } => stack.line(statement, opens, 0),
            Event::Close(span) => stack.close(Some(span)),
        }
    }
    stack.finish()
}

/// Nests lines by their indentation, and tells where a brace is missing or too many.
pub(super) fn by_indent(events: Vec<Event>, source: &str) -> (Vec<Arc<Statement>>, Vec<Problem>) {
    const UNOPENED: &str =
        "a `{` is missing at the end of this line: the lines below are indented under it";
    const EXTRA: &str = "this `}` closes nothing: take it out";
    let mut stack = Stack::new(source);
    let mut problems = Vec::new();
    let problem = |span: Span, message: &str| Problem {
        span,
        message: message.to_string(),
    };
    for event in events {
        match event {
            Event::Comment(span) => stack.comment(span),
            Event::Line { statement, opens } => {
                let own = indent(source, statement.span.start as usize);
                if let Some(own) = own {
                    problems.extend(stack.close_while(|open| open.indent >= own));
                    let head = stack.reopen(own);
                    problems.extend(head.map(|head| problem(head, UNOPENED)));
                }
                stack.line(statement, opens, own.unwrap_or(0));
            }
            Event::Close(span) => {
                // Behind a statement it can only mean the block around it.
                let own = indent(source, span.start as usize);
                if let Some(own) = own {
                    problems.extend(stack.close_while(|open| open.indent > own));
                }
                match stack.top() {
                    Some(open) if own.is_none_or(|own| open.indent == own) => {
                        stack.close(Some(span));
                    }
                    _ => problems.push(problem(span, EXTRA)),
                }
            }
        }
    }
    problems.extend(stack.close_while(|_| true));
    (stack.finish(), problems)
}

/// An open block.
struct Open {
    statement: Arc<Statement>,
    /// How many inline blocks down the block's own statement is.
    steps: usize,
    indent: usize,
    /// Where its lines begin among all lines.
    first: usize,
}

impl Open {
    fn owner(&mut self) -> &mut Statement {
        let mut owner = Arc::make_mut(&mut self.statement);
        for _ in 0..self.steps {
            if owner.body.is_empty() {
                break;
            }
            let last = owner.body.len() - 1;
            owner = Arc::make_mut(&mut owner.body[last]);
        }
        owner
    }

    fn brace(&self) -> Option<Span> {
        let mut owner = &self.statement;
        for _ in 0..self.steps {
            owner = owner.body.last()?;
        }
        owner.block.map(|block| block.open)
    }
}

struct Stack<'a> {
    source: &'a str,
    open: Vec<Open>,
    /// Those of no block, then those of each open block. So a block's are put into its
    /// statement once, when their number is known.
    lines: Vec<Arc<Statement>>,
    /// The comment lines above what comes next.
    note: Option<Span>,
    /// The indentation of the line just added, if nothing came after it.
    last: Option<usize>,
}

impl<'a> Stack<'a> {
    fn new(source: &'a str) -> Self {
        Stack {
            source,
            open: Vec::new(),
            lines: Vec::new(),
            note: None,
            last: None,
        }
    }

    fn top(&self) -> Option<&Open> {
        self.open.last()
    }

    fn comment(&mut self, span: Span) {
        self.note = Some(note_with(self.source, self.note, span));
    }

    fn line(&mut self, mut statement: Arc<Statement>, opens: Option<usize>, indent: usize) {
        let note = self.note.take();
        if let Some(note) = note.filter(|note| is_next_line(self.source, *note, statement.span)) {
            Arc::make_mut(&mut statement).note = Some(note);
        }
        match opens {
            Some(steps) => {
                self.last = None;
                self.open(statement, steps, indent);
            }
            None => {
                self.last = Some(indent);
                self.lines.push(statement);
            }
        }
    }

    fn open(&mut self, statement: Arc<Statement>, steps: usize, indent: usize) {
        self.open.push(Open {
            statement,
            steps,
            indent,
            first: self.lines.len(),
        });
    }

    /// Ends the innermost block.
    fn close(&mut self, brace: Option<Span>) {
        let Some(mut open) = self.open.pop() else {
            return;
        };
        let lines = self.lines.drain(open.first..);
        let owner = open.owner();
        owner.body.reserve_exact(lines.len());
        owner.body.extend(lines);
        if let Some(block) = &mut owner.block {
            block.close = brace;
        }
        let end = brace
            .or(owner.body.last().map(|last| last.span))
            .map_or(owner.span.end, |span| span.end)
            .max(owner.span.end);
        owner.span.end = end;
        let span = &mut Arc::make_mut(&mut open.statement).span;
        span.end = span.end.max(end);
        self.note = None;
        self.last = None;
        self.lines.push(open.statement);
    }

    /// Ends the innermost blocks that are over, though no brace says so.
    fn close_while(&mut self, is_over: impl Fn(&Open) -> bool) -> Vec<Problem> {
        let mut unclosed = Vec::new();
        while let Some(open) = self.top().filter(|open| is_over(open)) {
            unclosed.extend(open.brace().map(|span| Problem {
                span,
                message: "this `{` is never closed: add a `}` on a line of its own".to_string(),
            }));
            self.close(None);
        }
        unclosed
    }

    /// Opens the line just added again, if the next is indented deeper: it is
    /// the head of a block whose `{` is missing. Gives the head's place, if that is to be told.
    fn reopen(&mut self, next: usize) -> Option<Span> {
        let indent = self.last.filter(|&indent| indent < next)?;
        if self.open.len() >= DEEPEST {
            return None;
        }
        let statement = self.lines.pop()?;
        // One that is open but for its end was told where it opens.
        let unclosed = statement.block.is_some_and(|block| block.close.is_none());
        // So was a text that has the brace in it.
        let in_text = statement.arguments.iter().any(Value::is_unclosed);
        let head = (!unclosed && !in_text).then_some(statement.head);
        self.open(statement, 0, indent);
        head
    }

    fn finish(mut self) -> Vec<Arc<Statement>> {
        while !self.open.is_empty() {
            self.close(None);
        }
        self.lines
    }
}
