//! Chance that can be had again, and how much of it.

use std::time::{Duration, Instant};

use bellwire_tests::random::Random;

/// The numbers of a test; `BELLWIRE_SEED` gives others.
pub fn chance(test: u64) -> Random {
    let seed = std::env::var("BELLWIRE_SEED").map_or(0, |seed| seed.parse().expect("a seed"));
    Random::new(seed, test)
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
