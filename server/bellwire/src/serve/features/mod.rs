//! One short adapter for each thing that an editor can ask for: places of the
//! protocol in, places of the protocol out. What is shown is decided in `bellwire-assist`.

pub mod actions;
pub mod completion;
pub mod definition;
mod edit;
pub mod feeds;
pub mod findings;
pub mod folding;
pub mod format;
pub mod hints;
pub mod hover;
pub mod links;
pub mod pull;
pub mod references;
pub mod rename;
pub mod standing;
pub mod symbols;
mod thing;
pub mod tokens;
