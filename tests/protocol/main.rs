//! The language server end to end: the built program, spoken to over its
//! standard input and output as an editor does.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod abuse;
mod client;
mod colours;
mod features;
mod files;
mod flood;
mod folders;
mod open;
mod plans;
mod positions;
mod pull;
mod scratch;
mod session;
mod slow;
mod typing;
