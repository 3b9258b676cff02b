//! Syntax trees, for what editors show of a text's structure.

use std::ops::Range;

use tree_sitter::{InputEdit, Parser, Point, Tree};

use super::text::{Encoding, Text};

/// Parses a text, from the tree of an older version if there is one that has
/// been told of all changes since.
pub(super) fn parse(text: &Text, old: Option<&Tree>) -> Option<Tree> {
    thread_local! {
        static PARSER: std::cell::RefCell<Option<Parser>> = const { std::cell::RefCell::new(None) };
    }
    PARSER.with_borrow_mut(|parser| {
        let parser = parser.get_or_insert_with(|| {
            let mut parser = Parser::new();
            let language = tree_sitter_bellwire::LANGUAGE.into();
            // The grammar is generated for an ABI that the library reads; a test holds that.
            let _ = parser.set_language(&language);
            parser
        });
        parser.parse_with_options(&mut |offset, _| text.chunk_from(offset), old, None)
    })
}

/// Replaces a range of the text and tells the tree of it: start and old end
/// are places in the text before, the new end is one in the text after.
pub(super) fn edit(tree: &mut Tree, text: &mut Text, range: Range<usize>, new: &str) {
    let start_position = point(text, range.start);
    let old_end_position = point(text, range.end);
    text.replace(range.clone(), new);
    let new_end_byte = range.start + new.len();
    tree.edit(&InputEdit {
        start_byte: range.start,
        old_end_byte: range.end,
        new_end_byte,
        start_position,
        old_end_position,
        new_end_position: point(text, new_end_byte),
    });
}

fn point(text: &Text, offset: usize) -> Point {
    let position = text.position(offset, Encoding::Utf8);
    Point::new(position.line as usize, position.column as usize)
}
