//! The language server end to end: the built program, spoken to over its
//! standard input and output as an editor does.

mod abuse;
mod client;
mod files;
mod flood;
mod plans;
mod positions;
mod pull;
mod typing;
