//! How fast Bellwire is: workloads from a seed, a client that measures a server over stdio as an
//! editor would use it, and the table of what came out.
//!
//! `workload` writes plans, `case` says which there are, `script` what is typed into them,
//! `client` speaks the protocol, `echo` is a server that does nothing, `session` measures one
//! server on one case, `report` prints.

pub mod case;
pub mod check;
pub mod client;
pub mod echo;
pub mod machine;
pub mod reparse;
pub mod report;
pub mod script;
pub mod series;
pub mod session;
pub mod workload;

/// The seed of the published results.
pub const SEED: u64 = 2026;

/// Why a measurement could not be made, as a sentence.
#[derive(Debug)]
pub struct Failure(pub String);

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Failure {
        Failure(error.to_string())
    }
}
