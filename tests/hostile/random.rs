//! Chance that can be had again, and how much of it.

use std::time::{Duration, Instant};

/// SplitMix64 (Steele, Lea, Flood 2014).
pub struct Random(u64);

impl Random {
    /// The numbers of a seed; `BELLWIRE_SEED` gives others.
    pub fn new(seed: u64) -> Random {
        let shift = std::env::var("BELLWIRE_SEED").map_or(0, |seed| seed.parse().expect("a seed"));
        Random(seed ^ (shift << 32))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`; 0 if there is none.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % (end.max(1) as u64)) as usize
    }

    /// One of several.
    pub fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }

    /// A place in a text where a character starts.
    pub fn place(&mut self, text: &str) -> usize {
        let mut at = self.below(text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}

/// How often a test does the same with other input: so often, or for so long.
pub struct Rounds {
    done: usize,
    few: usize,
    until: Option<Instant>,
}

impl Rounds {
    /// `few` rounds; for `BELLWIRE_MINUTES` where that is set.
    pub fn new(few: usize) -> Rounds {
        let minutes = std::env::var("BELLWIRE_MINUTES");
        let minutes = minutes.map(|minutes| minutes.parse::<u64>().expect("minutes"));
        Rounds {
            done: 0,
            few,
            until: minutes
                .ok()
                .map(|minutes| Instant::now() + Duration::from_secs(60 * minutes)),
        }
    }
}

impl Iterator for Rounds {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        let goes_on = match self.until {
            Some(until) => Instant::now() < until,
            None => self.done < self.few,
        };
        self.done += 1;
        goes_on.then_some(self.done)
    }
}

impl Drop for Rounds {
    fn drop(&mut self) {
        println!("{} rounds", self.done.saturating_sub(1));
    }
}

/// `few` edits; `BELLWIRE_EDITS` where that is set.
pub fn edits(few: usize) -> usize {
    let edits = std::env::var("BELLWIRE_EDITS");
    edits.map_or(few, |edits| edits.parse().expect("how many edits"))
}

/// `few` sites; `BELLWIRE_SITES` where that is set.
pub fn sites(few: usize) -> usize {
    let sites = std::env::var("BELLWIRE_SITES");
    sites.map_or(few, |sites| sites.parse().expect("how many sites"))
}
