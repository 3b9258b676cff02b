//! Trees made comparable: as lists of their nodes, whole or line by line.

use tree_sitter::{InputEdit, Node, Parser, Point, Tree};

/// A parser of plans.
pub fn parser() -> Parser {
    let mut parser = Parser::new();
    parser
        .set_language(&tree_sitter_bellwire::LANGUAGE.into())
        .unwrap();
    parser
}

/// A text and its tree, kept in step by incremental parsing.
pub struct Plan {
    pub text: String,
    pub tree: Tree,
}

impl Plan {
    pub fn new(parser: &mut Parser, text: impl Into<String>) -> Self {
        let text = text.into();
        let tree = parser.parse(&text, None).unwrap();
        Self { text, tree }
    }

    /// The plan with `range`, in bytes, replaced; parsed from the edited tree.
    pub fn edited(&self, parser: &mut Parser, range: std::ops::Range<usize>, with: &str) -> Self {
        let mut text = self.text.clone();
        text.replace_range(range.clone(), with);
        let mut tree = self.tree.clone();
        let new_end = range.start + with.len();
        tree.edit(&InputEdit {
            start_byte: range.start,
            old_end_byte: range.end,
            new_end_byte: new_end,
            start_position: point_at(&self.text, range.start),
            old_end_position: point_at(&self.text, range.end),
            new_end_position: point_at(&text, new_end),
        });
        let tree = parser.parse(&text, Some(&tree)).unwrap();
        Self { text, tree }
    }

    /// Every node, in order, with its place in the text.
    pub fn nodes(&self) -> Vec<(Shape<'_>, std::ops::Range<usize>)> {
        let mut nodes = Vec::new();
        walk(&self.tree, |node, shape| {
            nodes.push((shape, node.byte_range()))
        });
        nodes
    }

    /// The nodes that lie wholly on a line, for every line.
    ///
    /// A closing brace is the same whether a block is there for it or not.
    pub fn lines(&self) -> Vec<Vec<LineNode<'_>>> {
        let mut lines = vec![Vec::new(); self.text.matches('\n').count() + 1];
        walk(&self.tree, |node, shape| {
            let (start, end) = (node.start_position(), node.end_position());
            if start.row == end.row && shape.kind != "stray_close" {
                lines[start.row].push(LineNode {
                    shape,
                    columns: (start.column, end.column),
                });
            }
        });
        lines
    }

    /// The first node that the parser had to make up or could not place.
    pub fn error(&self) -> Option<String> {
        let mut error = None;
        walk(&self.tree, |node, _| {
            if error.is_none() && (node.is_error() || node.is_missing()) {
                error = Some(format!("{node:?} in {:?}", self.text));
            }
        });
        error
    }
}

/// What a node is, wherever it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shape<'tree> {
    pub kind: &'tree str,
    pub field: Option<std::num::NonZeroU16>,
    pub depth: u32,
}

/// A node on its line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineNode<'tree> {
    pub shape: Shape<'tree>,
    pub columns: (usize, usize),
}

fn walk<'tree>(tree: &'tree Tree, mut see: impl FnMut(Node<'tree>, Shape<'tree>)) {
    let mut cursor = tree.walk();
    loop {
        let node = cursor.node();
        see(
            node,
            Shape {
                kind: node.kind(),
                field: cursor.field_id(),
                depth: cursor.depth(),
            },
        );
        if cursor.goto_first_child() {
            continue;
        }
        while !cursor.goto_next_sibling() {
            if !cursor.goto_parent() {
                return;
            }
        }
    }
}

fn point_at(text: &str, byte: usize) -> Point {
    let before = &text[..byte];
    Point {
        row: before.matches('\n').count(),
        column: byte - before.rfind('\n').map_or(0, |at| at + 1),
    }
}
