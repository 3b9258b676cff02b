//! Numbers that a seed decides, the same on every machine: SplitMix64 (Steele, Lea and Flood,
//! "Fast splittable pseudorandom number generators", 2014).

/// A source of numbers.
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// A source whose numbers depend on `seed` and `stream` only.
    pub fn new(seed: u64, stream: u64) -> Random {
        let mut random = Random(seed ^ stream.wrapping_mul(0xd1b5_4a32_d192_ed03));
        random.next();
        random
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// From 0 up to, not including, `end`; 0 if `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    /// From `first` to `last`, both included.
    pub fn between(&mut self, first: usize, last: usize) -> usize {
        first + self.below(last + 1 - first)
    }

    /// Whether something that happens so many times in a hundred happens now.
    pub fn percent(&mut self, share: usize) -> bool {
        self.below(100) < share
    }

    /// One of several.
    pub fn of<'a, T>(&mut self, several: &'a [T]) -> &'a T {
        &several[self.below(several.len())]
    }

    /// A place in a text where a character starts, or its end.
    pub fn place(&mut self, text: &str) -> usize {
        let mut at = self.below(text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}
