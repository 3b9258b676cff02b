//! The tests of the grammar that need more than a text and its tree; those stand
//! in `test/corpus`, `test/highlight` and `test/tags`, for `tree-sitter test`.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod any_text;
mod containment;
mod queries;
mod support;
