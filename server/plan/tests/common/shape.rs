//! The reader and the tree-sitter grammar, brought to one form to be compared.
#![allow(clippy::expect_used, reason = "a test fails by panicking")]
#![allow(dead_code, reason = "each test file uses a part")]

use bellwire_plan::source::{File, FilePath, Form, Quantity, Statement, Value, ValueKind};
use tree_sitter::{Node, Parser};

/// A piece of text: what it is, where it starts, and where it ends.
type Piece = (&'static str, usize, usize);

/// Lines and clauses, compared by their start: a block may be left open.
const LINES: &[&str] = &["statement", "path", "fragment", "clause"];

/// What is compared as a whole.
const WHOLE: &[&str] = &[
    "name",
    "reference",
    "string",
    "quantity",
    "range",
    "date",
    "stray",
    "point",
    "leg",
];

fn of_tree(file: &File) -> Vec<Piece> {
    fn walk(node: Node, pieces: &mut Vec<Piece>) {
        let range = node.byte_range();
        let named =
            |kinds: &[&'static str]| kinds.iter().copied().find(|kind| *kind == node.kind());
        if let Some(kind) = named(LINES) {
            pieces.push((kind, range.start, range.start));
        } else if let Some(kind) = named(WHOLE) {
            pieces.push((kind, range.start, range.end));
        } else if node.kind() == "model" {
            pieces.push(("model", range.start, range.start + 1));
        }
        if matches!(node.kind(), "reference" | "quantity") {
            return;
        }
        let mut cursor = node.walk();
        let mut has_model = false;
        for child in node.children(&mut cursor) {
            // A second model on one line is a problem to the reader, and left out.
            let is_model = child.kind() == "model";
            if !(is_model && has_model) {
                walk(child, pieces);
            }
            has_model |= is_model;
        }
    }
    let mut pieces = Vec::new();
    let text = file.text().to_string();
    let mut parser = Parser::new();
    let language = tree_sitter_bellwire::LANGUAGE.into();
    parser.set_language(&language).expect("the grammar");
    let tree = parser.parse(&text, None).expect("a tree");
    assert!(!tree.root_node().has_error(), "{text}");
    walk(tree.root_node(), &mut pieces);
    pieces.sort();
    pieces
}

fn of_reader(file: &File) -> Vec<Piece> {
    struct Pieces {
        base: usize,
        found: Vec<Piece>,
    }
    impl Pieces {
        fn add(&mut self, kind: &'static str, start: u32, end: u32) {
            self.found
                .push((kind, self.base + start as usize, self.base + end as usize));
        }

        fn quantity(&mut self, quantity: &Quantity) {
            let span = quantity.span();
            self.add("quantity", span.start, span.end);
        }

        fn value(&mut self, value: &Value) {
            let kind = match &value.kind {
                ValueKind::Name(parts) if parts.len() == 1 => "name",
                ValueKind::Name(_) => "reference",
                ValueKind::Text(_) => "string",
                ValueKind::Quantity(_) => "quantity",
                ValueKind::Range(from, to) => {
                    for end in [from, to].into_iter().flatten() {
                        self.quantity(end);
                    }
                    "range"
                }
                ValueKind::Date => "date",
                ValueKind::Stray => "stray",
            };
            self.add(kind, value.span.start, value.span.end);
        }

        fn statement(&mut self, statement: &Statement, source: &str) {
            let kind = match statement.form {
                Form::Line => "statement",
                Form::Clause => "clause",
                Form::Path => "path",
                Form::Fragment => "fragment",
            };
            self.add(kind, statement.span.start, statement.span.start);
            if let Some(keyword) = statement.keyword {
                let text = &source[keyword.start as usize..keyword.end as usize];
                let kind = if text.contains('.') {
                    "reference"
                } else {
                    "name"
                };
                self.add(kind, keyword.start, keyword.end);
            }
            for value in &statement.arguments {
                self.value(value);
            }
            if let Some((colon, values)) = &statement.model {
                self.add("model", colon.start, colon.end);
                for value in values {
                    self.value(value);
                }
            }
            for point in statement.path.iter().flat_map(|path| &path.points) {
                if point.references.is_empty() {
                    continue;
                }
                self.add("point", point.span.start, point.span.end);
                for reference in &point.references {
                    self.value(reference);
                }
            }
            for leg in statement.path.iter().flat_map(|path| &path.legs) {
                if leg.span.is_empty() {
                    continue;
                }
                self.add("leg", leg.span.start, leg.span.end);
                if let Some(length) = &leg.length {
                    self.quantity(length);
                }
            }
            for inner in &statement.body {
                self.statement(inner, source);
            }
        }
    }
    let mut pieces = Pieces {
        base: 0,
        found: Vec::new(),
    };
    for (start, item) in file.items() {
        pieces.base = start;
        pieces.statement(item.root(), item.source());
    }
    pieces.found.sort();
    pieces.found
}

/// Insists that both read a text alike.
pub fn compare(text: &str) {
    compare_file(&File::new(FilePath::new("x.bell"), text));
}

/// Insists that both read a file alike, whatever edits it has come from.
pub fn compare_file(file: &File) {
    let (tree, reader) = (of_tree(file), of_reader(file));
    assert_eq!(tree, reader, "{:?}", file.text().to_string());
}
