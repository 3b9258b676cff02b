//! The tree-sitter grammar of Bellwire plans, for Rust.
//!
//! The grammar knows the shape of a plan only: which words may stand where is
//! the business of the crate that reads the tree.

use tree_sitter_language::LanguageFn;

unsafe extern "C" {
    fn tree_sitter_bellwire() -> *const ();
}

/// The language, for `tree_sitter::Parser::set_language`.
#[allow(unsafe_code)]
// SAFETY: the function is the generated parser's own entry, without state.
pub const LANGUAGE: LanguageFn = unsafe { LanguageFn::from_raw(tree_sitter_bellwire) };
