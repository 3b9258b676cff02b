//! One short adapter for each thing that an editor can ask for: places of the
//! protocol in, places of the protocol out. What is shown is decided in `bellwire-assist`.

pub mod definition;
mod edit;
pub mod findings;
pub mod folding;
pub mod links;
pub mod pull;
pub mod references;
pub mod rename;
pub mod symbols;
mod thing;
