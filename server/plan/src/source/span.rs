//! Places in an item's text, and what is wrong there.

/// A byte range inside an item's text.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// The byte after the last.
    pub end: u32,
}

impl Span {
    /// From `start` up to `end`.
    pub fn new(start: usize, end: usize) -> Span {
        Span {
            start: start as u32,
            end: end.max(start) as u32,
        }
    }

    /// From this span's start to the other's end.
    pub fn to(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// Whether `offset` lies in it, its end included: a cursor behind a word
    /// still is at the word.
    pub fn touches(self, offset: u32) -> bool {
        self.start <= offset && offset <= self.end
    }

    /// How many bytes it holds.
    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    /// Whether it holds no byte.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The empty span at its end.
    pub fn after(self) -> Span {
        Span {
            start: self.end,
            end: self.end,
        }
    }
}

impl std::fmt::Debug for Span {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}..{}", self.start, self.end)
    }
}

/// Something in the text that no reading makes sense of.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Where.
    pub span: Span,
    /// What is wrong and what to do, a sentence.
    pub message: String,
}
