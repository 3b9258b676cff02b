//! What an editor can show of a plan: one file for each feature.
//!
//! Plain data in (a view, a file's entry, byte offsets) and plain data out
//! (byte ranges, texts). No type of any protocol is known here, and every word
//! comes from the vocabulary: a feature never asks what a keyword is called.
//!
//! Features share `place` (the cursor, and what is under it), `walk` (ways through
//! a file), `thing` and `parts` (what a statement stands for, and what of a site),
//! `margin` (how far a device is from where it stops working), `amounts` and
//! `describe` (numbers and models in words), `edit`, `imports` and `address`.

mod address;
mod amounts;
mod completion;
mod definition;
mod describe;
mod edit;
mod feeds;
#[cfg(test)]
mod fixture;
mod folding;
mod format;
mod highlights;
mod hints;
mod hover;
mod imports;
mod lenses;
mod linked;
mod links;
mod margin;
mod mend;
mod on_type;
mod outline;
mod parts;
mod place;
mod plain;
mod references;
mod rename;
mod rename_files;
mod selection;
mod standing;
mod symbols;
mod thing;
mod tokens;
#[cfg(test)]
mod unfinished;
mod walk;

pub use completion::{Completion, CompletionKind, complete, document};
pub use definition::{Target, definition, type_definition};
pub use edit::{Edit, FileEdits, patched};
pub use feeds::{Fed, Step, fed_at, fed_by, feeds};
pub use folding::{Fold, FoldKind, folds};
pub use format::{format, format_range};
pub use highlights::highlights;
pub use hints::{Hint, HintSettings, hints};
pub use hover::{Hover, hover};
pub use lenses::{Lens, lenses};
pub use linked::linked;
pub use links::{Link, links};
pub use mend::{QuickFix, mend_slips, mends};
pub use on_type::on_type;
pub use outline::{Symbol, outline};
pub use plain::plain;
pub use references::{Reference, References, references};
pub use rename::{Renamable, prepare_rename, rename};
pub use rename_files::rename_files;
pub use selection::selections;
pub use standing::{Gets, Standing, standing};
pub use symbols::{FoundSymbol, symbols};
pub use thing::Thing;
pub use tokens::{Splice, Token, TokenKind, delta, tokens};
