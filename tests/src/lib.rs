//! Tests across the crates of Bellwire
