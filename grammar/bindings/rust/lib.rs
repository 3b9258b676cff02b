//! The tree-sitter grammar of Bellwire plans, for Rust.
//!
//! The grammar knows the shape of a plan only: which words may stand where is
//! the business of the crate that reads the tree.

use tree_sitter_language::LanguageFn;

#[allow(unsafe_code, reason = "the generated parser is C")]
unsafe extern "C" {
    fn tree_sitter_bellwire() -> *const ();
}

/// The language, for `tree_sitter::Parser::set_language`.
#[allow(unsafe_code, reason = "the generated parser is C")]
// SAFETY: the function is the generated parser's own entry, without state.
pub const LANGUAGE: LanguageFn = unsafe { LanguageFn::from_raw(tree_sitter_bellwire) };

/// The kinds of node, their fields and children, as JSON: the generated `node-types.json`.
pub const NODE_TYPES: &str = include_str!("../../src/node-types.json");

/// Colours.
pub const HIGHLIGHTS_QUERY: &str = include_str!("../../queries/highlights.scm");
/// What an editor may fold: blocks, and comments over several lines.
pub const FOLDS_QUERY: &str = include_str!("../../queries/folds.scm");
/// Indentation, in Neovim's captures.
pub const INDENTS_QUERY: &str = include_str!("../../queries/indents.scm");
/// Other languages within a plan: markers within comments.
pub const INJECTIONS_QUERY: &str = include_str!("../../queries/injections.scm");
/// Scopes, the names declared in them and the names used.
pub const LOCALS_QUERY: &str = include_str!("../../queries/locals.scm");
/// Declarations and uses, for a symbol list.
pub const TAGS_QUERY: &str = include_str!("../../queries/tags.scm");
/// What an editor may select or jump to: clauses, statements, blocks.
pub const TEXTOBJECTS_QUERY: &str = include_str!("../../queries/textobjects.scm");
