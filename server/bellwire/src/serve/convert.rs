//! Between the protocol's places and ours: positions and byte offsets, URIs and file names.

use std::ops::Range;
use std::str::FromStr;

use bellwire_plan::source::{Encoding, FilePath, Position, Text, Walker};
use tower_lsp::ls_types::{self as lsp, PositionEncodingKind, Uri};

use super::shelf;
use crate::paths;

/// What the protocol calls an encoding.
pub fn encoding_kind(encoding: Encoding) -> PositionEncodingKind {
    match encoding {
        Encoding::Utf8 => PositionEncodingKind::UTF8,
        Encoding::Utf16 => PositionEncodingKind::UTF16,
        Encoding::Utf32 => PositionEncodingKind::UTF32,
    }
}

/// The byte offset of a position; one outside the text is moved into it.
pub fn offset(text: &Text, position: lsp::Position, encoding: Encoding) -> usize {
    let position = Position {
        line: position.line,
        column: position.character,
    };
    text.offset(position, encoding)
}

/// The places of one text as the protocol has them, best asked for in the
/// order of the text.
pub struct Positions<'a>(Walker<'a>);

impl<'a> Positions<'a> {
    /// Those of a text, columns counted in this encoding.
    pub fn new(text: &'a Text, encoding: Encoding) -> Self {
        Positions(text.walker(encoding))
    }

    /// The position of a byte offset.
    pub fn position(&mut self, offset: usize) -> lsp::Position {
        let position = self.0.position(offset);
        lsp::Position::new(position.line, position.column)
    }

    /// The range of bytes.
    pub fn range(&mut self, range: &Range<usize>) -> lsp::Range {
        let start = self.position(range.start);
        lsp::Range::new(start, self.position(range.end))
    }
}

/// The bytes of a range; one that ends before it starts is empty.
pub fn bytes(text: &Text, range: lsp::Range, encoding: Encoding) -> Range<usize> {
    let start = offset(text, range.start, encoding);
    start..offset(text, range.end, encoding).max(start)
}

/// What a file of the client is called here; one that is not on disk goes by its URI.
pub fn file_name(uri: &Uri) -> FilePath {
    let is_file = uri.scheme().as_str().eq_ignore_ascii_case("file");
    match uri.to_file_path().filter(|_| is_file) {
        Some(path) => shelf::original(paths::name(&paths::absolute(&path))),
        None => FilePath::new(uri.as_str()),
    }
}

/// The URI of a file that the client has not named itself.
pub fn uri(name: &FilePath) -> Option<Uri> {
    let path = paths::path(name);
    match path.is_absolute() {
        true => Uri::from_file_path(path),
        false => Uri::from_str(name.as_str()).ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn uris_and_names_find_their_way_back() {
        for path in ["/sites/harbour.bell", "/a b/Ω%.bell", "/x#y?.bell"] {
            let name = FilePath::new(path);
            assert_eq!(file_name(&uri(&name).unwrap()), name);
        }
        let unsaved = Uri::from_str("untitled:Untitled-1").unwrap();
        assert_eq!(uri(&file_name(&unsaved)), Some(unsaved));
        let odd = Uri::from_str("file:///a/./b/../c.bell").unwrap();
        assert_eq!(file_name(&odd), FilePath::new("/a/c.bell"));
    }

    #[test]
    fn ranges_that_do_not_fit_are_moved_into_the_text() {
        let text = Text::new("aΩ\nb");
        let at = |line, character| lsp::Position { line, character };
        let far = lsp::Range::new(at(u32::MAX, 0), at(0, 0));
        assert_eq!(bytes(&text, far, Encoding::Utf16), 5..5);
        let whole = lsp::Range::new(at(0, 1), at(0, u32::MAX));
        assert_eq!(bytes(&text, whole, Encoding::Utf16), 1..3);
    }
}
