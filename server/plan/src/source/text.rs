//! Text as a rope, and the one place where positions are converted.
//!
//! Inside Bellwire every place is a byte offset. Editors count lines and
//! columns, columns in units of one of three encodings.

use std::ops::Range;

use ropey::Rope;

/// What an editor counts a column in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// 16-bit units, the protocol's default.
    Utf16,
    /// Characters.
    Utf32,
}

/// A line and a column, both counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position {
    /// Line; LF, CR and CRLF each end one.
    pub line: u32,
    /// Column, in units of the [`Encoding`] asked for.
    pub column: u32,
}

/// One replacement: the bytes to take out, and what comes in their place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Byte range in the text before this change; `None` replaces the whole text.
    pub range: Option<Range<usize>>,
    /// The new text.
    pub text: String,
}

/// A text with its line index. Cloning shares the contents.
#[derive(Debug, Clone, Default)]
pub struct Text {
    rope: Rope,
}

impl Text {
    /// A text of these contents.
    pub fn new(contents: &str) -> Text {
        Text {
            rope: Rope::from_str(contents),
        }
    }

    /// Length in bytes.
    pub fn len(&self) -> usize {
        self.rope.len_bytes()
    }

    /// Whether there is no text at all.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Number of lines; a text that ends in a line break has an empty last line.
    pub fn lines(&self) -> usize {
        self.rope.len_lines()
    }

    /// The bytes of `range` as text. Ends outside the text, or inside a
    /// character, are moved back to where a character starts.
    pub fn slice(&self, range: Range<usize>) -> String {
        let slice = self.rope.get_byte_slice(range.clone()).unwrap_or_else(|| {
            let start = self.floor(range.start);
            let end = self.floor(range.end).max(start);
            self.rope.byte_slice(start..end)
        });
        let mut text = String::with_capacity(slice.len_bytes());
        text.extend(slice.chunks());
        text
    }

    /// The line that holds `offset`, counted from 0.
    pub fn line_of(&self, offset: usize) -> usize {
        self.rope.byte_to_line(offset.min(self.len()))
    }

    /// The byte range of a line without its line break; the text's end for a
    /// line that does not exist.
    pub fn line(&self, line: usize) -> Range<usize> {
        if line >= self.lines() {
            return self.len()..self.len();
        }
        let start = self.rope.line_to_byte(line);
        let mut end = self.rope.line_to_byte(line + 1);
        while end > start && matches!(self.rope.byte(end - 1), b'\n' | b'\r') {
            end -= 1;
        }
        start..end
    }

    /// The position of a byte offset; offsets past the end are the end.
    pub fn position(&self, offset: usize, encoding: Encoding) -> Position {
        let offset = self.floor(offset);
        let line = self.rope.byte_to_line(offset);
        let start = self.rope.line_to_byte(line);
        let column = match encoding {
            Encoding::Utf8 => offset - start,
            Encoding::Utf32 => self.rope.byte_to_char(offset) - self.rope.byte_to_char(start),
            Encoding::Utf16 => {
                let units = |byte| self.rope.char_to_utf16_cu(self.rope.byte_to_char(byte));
                units(offset) - units(start)
            }
        };
        Position {
            line: line as u32,
            column: column as u32,
        }
    }

    /// The byte offset of a position. A column past the line's end is the
    /// line's end, a line past the last is the text's end.
    pub fn offset(&self, position: Position, encoding: Encoding) -> usize {
        let line = self.line(position.line as usize);
        let column = position.column as usize;
        let offset = match encoding {
            Encoding::Utf8 => line.start.saturating_add(column),
            Encoding::Utf32 => {
                let wanted = self
                    .rope
                    .byte_to_char(line.start)
                    .saturating_add(column)
                    .min(self.rope.len_chars());
                self.rope.char_to_byte(wanted)
            }
            Encoding::Utf16 => {
                let start = self
                    .rope
                    .char_to_utf16_cu(self.rope.byte_to_char(line.start));
                let wanted = start.saturating_add(column).min(self.rope.len_utf16_cu());
                self.rope.char_to_byte(self.rope.utf16_cu_to_char(wanted))
            }
        };
        self.floor(offset.min(line.end))
    }

    /// The chunk of contents that holds `offset`, from there on; empty at the end.
    pub(super) fn chunk_from(&self, offset: usize) -> &[u8] {
        if offset >= self.len() {
            return &[];
        }
        let (chunk, start, _, _) = self.rope.chunk_at_byte(offset);
        chunk.as_bytes().get(offset - start..).unwrap_or(&[])
    }

    /// Replaces the bytes of `range`; ends that do not fit are moved as by [`Text::slice`].
    pub fn replace(&mut self, range: Range<usize>, text: &str) {
        let start = self.rope.byte_to_char(self.floor(range.start));
        let end = self.rope.byte_to_char(self.floor(range.end)).max(start);
        self.rope.remove(start..end);
        self.rope.insert(start, text);
    }

    /// `offset`, moved back to where a character starts, and into the text.
    pub(super) fn floor(&self, offset: usize) -> usize {
        let offset = offset.min(self.len());
        self.rope.char_to_byte(self.rope.byte_to_char(offset))
    }
}

impl std::fmt::Display for Text {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.rope.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAMPLE: &str = "a\r\nΩ²𝄞x\rlast";

    #[test]
    fn every_encoding_finds_its_way_back() {
        let text = Text::new(SAMPLE);
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            for (offset, _) in SAMPLE.char_indices() {
                if SAMPLE.as_bytes()[offset] == b'\n' {
                    continue;
                }
                let position = text.position(offset, encoding);
                assert_eq!(
                    text.offset(position, encoding),
                    offset,
                    "{encoding:?} {offset}"
                );
            }
        }
    }

    #[test]
    fn columns_count_in_the_units_asked_for() {
        let text = Text::new(SAMPLE);
        let x = SAMPLE.find('x').unwrap();
        let column = |encoding| text.position(x, encoding).column;
        assert_eq!(column(Encoding::Utf8), 8);
        assert_eq!(column(Encoding::Utf16), 4);
        assert_eq!(column(Encoding::Utf32), 3);
    }

    #[test]
    fn positions_outside_the_text_are_moved_into_it() {
        let text = Text::new(SAMPLE);
        let far = |line, column| Position { line, column };
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            assert_eq!(text.offset(far(0, 99), encoding), 1);
            assert_eq!(text.offset(far(99, 0), encoding), SAMPLE.len());
            assert_eq!(text.offset(far(u32::MAX, u32::MAX), encoding), SAMPLE.len());
        }
        // Inside a character.
        assert_eq!(text.offset(far(1, 1), Encoding::Utf8), 3);
        assert_eq!(text.slice(0..999), SAMPLE);
    }
}
