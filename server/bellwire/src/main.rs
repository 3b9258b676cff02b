//! Plans of wired security systems in plain text: checker, figures and language server
fn main() {}
