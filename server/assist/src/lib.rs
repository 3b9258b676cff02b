//! What an editor can show of a plan: one file a feature.
//!
//! Plain data in (a view, a file's entry, byte offsets) and plain data out
//! (byte ranges, texts). No type of any protocol is known here, and every word
//! comes from the vocabulary: a feature never asks what a keyword is called.

#[cfg(test)]
mod fixture;
mod place;

pub use place::Place;
