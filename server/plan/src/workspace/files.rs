//! Where files come from.

use crate::source::{File, FilePath};

/// Whatever reads files: the only way to the outside.
pub trait Files: Send + Sync {
    /// The text of a file that a plan uses.
    fn read(&self, path: &FilePath) -> Read;
}

/// No files but those that are put in.
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _: &FilePath) -> Read {
        Read::Absent
    }
}

/// What came of reading a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Read {
    /// Its text.
    Text(String),
    /// There is no such file.
    Absent,
    /// It lies outside the workspace folders, and is not read.
    Outside,
    /// It is there but cannot be read; why, as a sentence.
    Unreadable(String),
}

impl Read {
    /// The file, which nobody has open, of that name.
    ///
    /// # Errors
    /// There is none to be had.
    pub fn file(self, path: FilePath) -> Result<File, ImportState> {
        match self {
            Read::Text(text) => Ok(File::closed(path, &text)),
            Read::Unreadable(why) => Ok(File::unreadable(path, why)),
            Read::Absent => Err(ImportState::Missing),
            Read::Outside => Err(ImportState::Outside),
        }
    }
}

/// Why a file that is used cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ImportState {
    /// It is not there.
    Missing,
    /// It lies outside the workspace folders.
    Outside,
    /// It cannot be read; why, as a sentence.
    Unreadable(String),
}
