//! Versions of products.

use std::cmp::Ordering;

/// A version: its numbers, compared part by part, so 10.23 is newer than 10.3, and 5 is 5.0.
#[derive(Debug, Clone, Default)]
pub struct Version(Vec<u64>);

impl Version {
    /// Reads `4.2`; parts that are no numbers count as 0.
    pub fn parse(text: &str) -> Version {
        Version(
            text.split('.')
                .map(|part| part.parse().unwrap_or(0))
                .collect(),
        )
    }

    /// Its parts without the noughts at the end, which say nothing.
    fn parts(&self) -> &[u64] {
        let last = self.0.iter().rposition(|part| *part != 0);
        let count = last.map_or(0, |last| last + 1);
        self.0.get(..count).unwrap_or(&[])
    }
}

impl PartialEq for Version {
    fn eq(&self, other: &Version) -> bool {
        self.parts() == other.parts()
    }
}

impl Eq for Version {}

impl PartialOrd for Version {
    fn partial_cmp(&self, other: &Version) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Version {
    fn cmp(&self, other: &Version) -> Ordering {
        self.parts().cmp(other.parts())
    }
}

impl std::fmt::Display for Version {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let parts: Vec<_> = self.0.iter().map(u64::to_string).collect();
        f.write_str(&parts.join("."))
    }
}
