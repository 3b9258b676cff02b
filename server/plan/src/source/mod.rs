//! A plan's text as a value: a rope, and the statements read from it.
//!
//! A [`File`] never changes. An edit makes a new one, which shares with the old
//! everything that the edit did not touch: the rope's leaves and, above all, the
//! [`Item`]s, the top-level statements. Places inside an item count from the
//! item's start, so an edit elsewhere in the file leaves an item, and all that
//! was computed from it, as it is.

mod derived;
mod file;
mod item;
mod lexer;
mod lines;
mod path;
mod reader;
mod span;
mod statement;
mod stretch;
mod text;
mod value;
mod walker;

pub use derived::Derived;
pub use file::File;
pub use item::{Item, Spot};
pub use lexer::comments;
pub use lines::{BREAKS, leading_blanks, line_before, line_behind, line_break};
pub use path::FilePath;
pub use span::{Problem, Span};
pub use statement::{Block, Form, Leg, Path, Point, Statement};
pub use text::{Change, Encoding, Position, Text};
pub use value::{Number, Part, Parts, Quantity, Value, ValueKind, unescaped};
pub use walker::Walker;
