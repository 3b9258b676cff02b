//! The built-in library.
