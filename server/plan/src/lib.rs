//! Plans of wired security systems: from text to typed plan, figures and findings.
//!
//! The modules read in the order in which the data flows: `source` makes
//! statements of text, `vocabulary` says what they may be, `model` makes typed
//! plans of them, `figures` computes, `checks` makes findings, `working` shows the
//! sums, and `workspace` keeps it all up to date over many files. Nothing here knows
//! an editor or the disk.

pub mod checks;
pub mod day;
pub mod decimal;
pub mod figures;
pub mod finding;
pub mod library;
pub mod model;
pub mod reference;
pub mod sentence;
pub mod source;
pub mod table;
pub mod vocabulary;
pub mod working;
pub mod workspace;
