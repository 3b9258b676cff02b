//! Many files.
