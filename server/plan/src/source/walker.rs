//! Positions of many offsets, each found from the one before.
//!
//! An answer about a whole file names tens of thousands of places, nearly all in
//! the order of the text: going on from the last one costs the bytes in between.

use super::text::{Encoding, Position, Text};

/// Further than this it is cheaper to look a place up than to walk there.
const FAR: usize = 1024;

/// A place in a text that moves. Every order is right; ascending is fast.
#[derive(Debug, Clone)]
pub struct Walker<'a> {
    text: &'a Text,
    encoding: Encoding,
    offset: usize,
    position: Position,
    /// What lies ahead, up to where the rope's piece ends.
    ahead: &'a [u8],
}

impl Text {
    /// For the positions of many offsets, best in the order of the text.
    pub fn walker(&self, encoding: Encoding) -> Walker<'_> {
        Walker {
            text: self,
            encoding,
            offset: 0,
            position: Position { line: 0, column: 0 },
            ahead: &[],
        }
    }
}

impl Walker<'_> {
    /// The position of a byte offset, as [`Text::position`] has it.
    pub fn position(&mut self, offset: usize) -> Position {
        match offset.checked_sub(self.offset) {
            Some(0..=FAR) => self.walk(offset),
            _ => self.jump(offset),
        }
        self.position
    }

    fn jump(&mut self, offset: usize) {
        self.offset = self.text.floor(offset);
        self.position = self.text.position(self.offset, self.encoding);
        self.ahead = &[];
    }

    fn walk(&mut self, offset: usize) {
        while self.offset < offset {
            if self.ahead.is_empty() {
                self.ahead = self.text.chunk_from(self.offset);
            }
            let Some(&byte) = self.ahead.first() else {
                return;
            };
            // No piece of the rope ends inside a character.
            let length = match byte {
                0..0x80 => 1,
                0x80..0xe0 => 2,
                0xe0..0xf0 => 3,
                0xf0.. => 4,
            };
            if self.offset + length > offset {
                return;
            }
            self.ahead = self.ahead.get(length..).unwrap_or(&[]);
            self.offset += length;
            let breaks = match byte {
                b'\n' => true,
                b'\r' => self.next() != Some(b'\n'),
                _ => false,
            };
            match breaks {
                true => {
                    self.position.line += 1;
                    self.position.column = 0;
                }
                false => {
                    self.position.column += match self.encoding {
                        Encoding::Utf8 => length as u32,
                        Encoding::Utf16 => 1 + u32::from(length == 4),
                        Encoding::Utf32 => 1,
                    }
                }
            }
        }
    }

    fn next(&self) -> Option<u8> {
        let ahead = match self.ahead.is_empty() {
            true => self.text.chunk_from(self.offset),
            false => self.ahead,
        };
        ahead.first().copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn walking_leads_where_looking_up_does(
            pieces in prop::collection::vec(
                prop::sample::select(vec!["a", "Ω", "²", "👍", "\t", "\n", "\r", "\r\n", "word ", "\u{2028}"]),
                0..3000,
            ),
            mut offsets in prop::collection::vec(any::<prop::sample::Index>(), 0..40),
            sorted in any::<bool>(),
        ) {
            let contents = pieces.concat();
            let text = Text::new(&contents);
            if sorted {
                offsets.sort_by_key(|offset| offset.index(contents.len() + 3));
            }
            for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
                let mut walker = text.walker(encoding);
                for offset in &offsets {
                    let offset = offset.index(contents.len() + 3);
                    prop_assert_eq!(walker.position(offset), text.position(offset, encoding));
                }
            }
        }
    }
}
