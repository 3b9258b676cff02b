//! From the syntax tree to statements.
//!
//! The tree is walked into a flat list of events, statements and closing
//! braces in the order of the text; `nest` then says what belongs where.

use std::ops::Range;

use tree_sitter::Node;

use super::item::{Block, Form, Leg, Path, Point, Problem, Span, Statement};
use super::nest;
use super::value::{Number, Quantity, Value, ValueKind};

/// Blocks inside blocks, at most. Real plans need five; the bound keeps a
/// hostile text from exhausting the stack.
pub(super) const DEEPEST: usize = 32;

/// What the text says, line by line.
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

/// Walks nodes and collects events. Spans count from `base`.
pub(super) struct Lowering<'a> {
    source: &'a str,
    base: usize,
    events: Vec<Event>,
    problems: Vec<Problem>,
    depth: usize,
    /// A block of several lines has no end, or an end no block.
    pub(super) unbalanced: bool,
}

impl<'a> Lowering<'a> {
    /// For nodes of a file whose text, from byte `base` on, is `source`.
    pub(super) fn new(source: &'a str, base: usize) -> Self {
        Lowering {
            source,
            base,
            events: Vec::new(),
            problems: Vec::new(),
            depth: 0,
            unbalanced: false,
        }
    }

    pub(super) fn finish(self) -> (Vec<Event>, Vec<Problem>) {
        (self.events, self.problems)
    }

    /// Takes a comment, by its place in the file.
    pub(super) fn comment(&mut self, range: Range<usize>) {
        let span = Span::new(range.start - self.base, range.end - self.base);
        let text = self.text(span);
        let trimmed = span.start as usize + text.trim_end().len();
        self.events
            .push(Event::Comment(Span::new(span.start as usize, trimmed)));
    }

    /// Takes the lines of a plan or of a block of several lines.
    pub(super) fn lines(&mut self, parent: Node) {
        let mut cursor = parent.walk();
        for node in parent.children(&mut cursor) {
            match node.kind() {
                "comment" if self.starts_line(node) => self.comment(node.byte_range()),
                "stray_close" => {
                    self.unbalanced = true;
                    self.events.push(Event::Close(self.span(node)));
                }
                "statement" | "path" | "fragment" => self.line(node),
                _ => self.refuse(node),
            }
        }
    }

    /// Takes one line, with the lines of its block.
    pub(super) fn line(&mut self, node: Node) {
        let (statement, opener) = self.statement(node);
        if !self.starts_line(node) {
            self.crowd(statement.head);
        }
        let opens = opener.map(|(steps, _)| steps);
        self.events.push(Event::Line { statement, opens });
        let Some((_, block)) = opener else {
            return;
        };
        self.depth += 1;
        if self.depth < DEEPEST {
            self.lines(block);
        } else {
            self.problem(
                self.span(block),
                "blocks are nested too deep here: nothing in this one is read",
            );
        }
        self.depth -= 1;
        match close_of(block) {
            Some(close) => self.events.push(Event::Close(self.span(close))),
            None => self.unbalanced = true,
        }
    }

    /// Says that the first line taken stands behind another one.
    pub(super) fn crowded(&mut self) {
        let head = self.events.iter().find_map(|event| match event {
            Event::Line { statement, .. } => Some(statement.head),
            _ => None,
        });
        if let Some(head) = head {
            self.crowd(head);
        }
    }

    fn crowd(&mut self, head: Span) {
        self.problem(
            head,
            "a line break is missing before this: write each statement on a line of its own",
        );
    }

    /// A statement without the lines of a block of several lines. Where there
    /// is one: its node, and how many inline blocks down it opens.
    fn statement<'t>(&mut self, node: Node<'t>) -> (Statement, Option<(usize, Node<'t>)>) {
        let span = self.span(node);
        let form = match node.kind() {
            "path" => Form::Path,
            "fragment" => Form::Fragment,
            _ => Form::Line,
        };
        let mut statement = empty(form, span);
        let mut path = Path::default();
        let mut head_end = span.start;
        let mut opener = None;
        let mut cursor = node.walk();
        let mut more = cursor.goto_first_child();
        while more {
            let child = cursor.node();
            let place = self.span(child);
            match child.kind() {
                "point" => self.point(child, &mut path),
                "leg" => self.leg(child, &mut path),
                "model" => {
                    let colon = Span::new(place.start as usize, place.start as usize + 1);
                    if statement.model.is_none() {
                        statement.model = Some((colon, self.values(child)));
                    } else {
                        self.problem(place, "only one `:` may stand on a line: take this one out");
                    }
                }
                "clause" => {
                    let clause = self.clause(child);
                    statement.body.push(clause);
                }
                "block" => {
                    let open = Span::new(place.start as usize, place.start as usize + 1);
                    let close = close_of(child).map(|close| self.span(close));
                    statement.block = Some(Block { open, close });
                    if self.is_inline(child) {
                        opener = self.inline_block(child, &mut statement);
                        if close.is_none() && opener.is_none() {
                            self.problem(open, "this `{` is never closed: add a `}`");
                        }
                    } else {
                        statement.block = Some(Block { open, close: None });
                        statement.span = span_to(statement.span, open);
                        opener = Some((0, child));
                    }
                }
                "comment" => {}
                _ if cursor.field_name() == Some("keyword") => {
                    statement.keyword = Some(place);
                    statement.head.end = place.end;
                }
                _ => {
                    if let Some(value) = self.value(child) {
                        statement.arguments.push(value);
                    }
                }
            }
            if matches!(child.kind(), "clause" | "block") {
                // The head is the line without them.
            } else if child.kind() != "comment" {
                head_end = head_end.max(place.end);
            }
            more = cursor.goto_next_sibling();
        }
        statement.head.end = head_end.max(statement.head.start);
        if form == Form::Path {
            statement.path = Some(path);
        }
        (statement, opener)
    }

    /// The one line of an inline block. It may open a block of several lines
    /// only while the text is being typed.
    fn inline_block<'t>(
        &mut self,
        block: Node<'t>,
        outer: &mut Statement,
    ) -> Option<(usize, Node<'t>)> {
        let mut cursor = block.walk();
        let line = block
            .children(&mut cursor)
            .find(|child| matches!(child.kind(), "statement" | "path" | "fragment"))?;
        self.depth += 1;
        let inner = (self.depth < DEEPEST).then(|| self.statement(line));
        self.depth -= 1;
        let Some((statement, opener)) = inner else {
            self.problem(
                self.span(block),
                "blocks are nested too deep here: nothing in this one is read",
            );
            return None;
        };
        if opener.is_some() {
            self.problem(
                statement.head,
                "a block of several lines must start on a line of its own: begin a new line here",
            );
        }
        outer.body.push(statement);
        opener.map(|(steps, node)| (steps + 1, node))
    }

    fn clause(&mut self, node: Node) -> Statement {
        let span = self.span(node);
        let mut clause = empty(Form::Clause, span);
        let mut cursor = node.walk();
        let mut more = cursor.goto_first_child();
        while more {
            let child = cursor.node();
            if cursor.field_name() == Some("keyword") {
                clause.keyword = Some(self.span(child));
            } else if let Some(value) = self.value(child) {
                clause.arguments.push(value);
            }
            more = cursor.goto_next_sibling();
        }
        if let Some(keyword) = clause.keyword {
            clause.head.start = keyword.start;
        }
        clause
    }

    fn point(&mut self, node: Node, path: &mut Path) {
        // Two points without a leg between: the leg is not typed yet.
        if path.points.len() > path.legs.len() {
            let at = self.span(node);
            let at = Span {
                start: at.start,
                end: at.start,
            };
            path.legs.push(Leg {
                span: at,
                length: None,
            });
        }
        let references = self.values(node);
        path.points.push(Point {
            span: self.span(node),
            references,
        });
    }

    fn leg(&mut self, node: Node, path: &mut Path) {
        let span = self.span(node);
        if path.points.len() == path.legs.len() {
            path.points.push(Point {
                span: Span {
                    start: span.start,
                    end: span.start,
                },
                references: Vec::new(),
            });
        }
        let length = node
            .child_by_field_name("length")
            .and_then(|quantity| self.quantity(quantity));
        path.legs.push(Leg { span, length });
    }

    fn values(&mut self, node: Node) -> Vec<Value> {
        let mut cursor = node.walk();
        node.children(&mut cursor)
            .filter_map(|child| self.value(child))
            .collect()
    }

    fn value(&mut self, node: Node) -> Option<Value> {
        let span = self.span(node);
        let kind = match node.kind() {
            "name" => ValueKind::Name(vec![span]),
            "reference" => ValueKind::Name(self.parts(span)),
            "string" => ValueKind::Text(self.string(span)),
            "quantity" => ValueKind::Quantity(self.quantity(node)?),
            "range" => self.range(node),
            "date" => ValueKind::Date,
            "stray" => ValueKind::Stray,
            _ => return None,
        };
        Some(Value { span, kind })
    }

    fn parts(&self, span: Span) -> Vec<Span> {
        let mut start = span.start as usize;
        self.text(span)
            .split('.')
            .map(|part| {
                let part = Span::new(start, start + part.len());
                start = part.end as usize + 1;
                part
            })
            .collect()
    }

    /// What stands between the quotes. A quote that is missing is a problem.
    fn string(&mut self, span: Span) -> Span {
        let text = self.text(span);
        let start = span.start as usize + 1;
        if text.len() >= 2 && text.ends_with('"') && !ends_in_escape(text) {
            return Span::new(start, span.end as usize - 1);
        }
        self.problem(span, "the closing `\"` of this text is missing");
        Span::new(start, span.end as usize)
    }

    fn quantity(&self, node: Node) -> Option<Quantity> {
        let number = self.span(node.child(0)?);
        let unit = node.child(1).map(|unit| self.span(unit));
        let text = self.text(number).replace('−', "-");
        let plain = text
            .match_indices('.')
            .nth(1)
            .map_or(text.len(), |(at, _)| at);
        let value = text.get(..plain)?.parse().ok()?;
        Some(Quantity {
            number: Number {
                span: number,
                value,
            },
            unit,
        })
    }

    fn range(&self, node: Node) -> ValueKind {
        let mut ends = [None, None];
        let mut side = 0;
        let mut cursor = node.walk();
        for child in node.children(&mut cursor) {
            match child.kind() {
                ".." => side = 1,
                "quantity" => ends[side] = self.quantity(child),
                _ => {}
            }
        }
        ValueKind::Range(ends[0], ends[1])
    }

    /// Braces and comments are expected here, the parser's despair is not.
    fn refuse(&mut self, node: Node) {
        if node.is_error() {
            self.problem(self.span(node), "this cannot be read: take it out");
        }
    }

    fn problem(&mut self, span: Span, message: &str) {
        self.problems.push(Problem {
            span,
            message: message.to_string(),
        });
    }

    /// Whether a block's one line stands on the line of its `{`.
    fn is_inline(&self, block: Node) -> bool {
        let open = self.span(block).start as usize + 1;
        let rest = self.source.get(open..).unwrap_or("");
        let line = rest.split(['\n', '\r']).next().unwrap_or("");
        let line = line.trim();
        !line.is_empty() && !line.starts_with('#')
    }

    /// Whether nothing but space stands before a node on its line.
    fn starts_line(&self, node: Node) -> bool {
        nest::indent(self.source, self.span(node).start as usize).is_some()
    }

    fn span(&self, node: Node) -> Span {
        let range = node.byte_range();
        Span::new(
            range.start.saturating_sub(self.base),
            range.end.saturating_sub(self.base),
        )
    }

    fn text(&self, span: Span) -> &'a str {
        self.source
            .get(span.start as usize..span.end as usize)
            .unwrap_or("")
    }
}

fn close_of(block: Node) -> Option<Node> {
    let last = block.child(block.child_count().checked_sub(1)? as u32)?;
    (last.kind() == "}" && !last.is_missing()).then_some(last)
}

fn ends_in_escape(quoted: &str) -> bool {
    let inner = quoted.strip_suffix('"').unwrap_or(quoted);
    inner.len() - inner.trim_end_matches('\\').len() & 1 == 1
}

fn span_to(span: Span, end: Span) -> Span {
    Span {
        start: span.start,
        end: end.end,
    }
}

fn empty(form: Form, span: Span) -> Statement {
    Statement {
        form,
        span,
        head: Span {
            start: span.start,
            end: span.end,
        },
        keyword: None,
        arguments: Vec::new(),
        model: None,
        body: Vec::new(),
        block: None,
        path: None,
        note: None,
    }
}
