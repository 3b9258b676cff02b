//! Versions of products.

use std::cmp::Ordering;

/// A version: its numbers, compared part by part, so 10.23 is newer than 10.3, and 5 is 5.0.
/// Each is its digits without noughts in front, however many there are.
#[derive(Debug, Clone, Default)]
pub struct Version(Vec<Box<str>>);

impl Version {
    /// Reads `4.2`.
    pub fn parse(text: &str) -> Version {
        let parts = text.split('.').map(|part| part.trim_start_matches('0'));
        Version(parts.map(Box::from).collect())
    }

    /// Its parts without the noughts at the end, which say nothing.
    fn parts(&self) -> &[Box<str>] {
        let last = self.0.iter().rposition(|part| !part.is_empty());
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
        // Of two numbers that with more digits is the larger.
        let sized = [self, other].map(|of| of.parts().iter().map(|part| (part.len(), part)));
        let [own, other] = sized;
        own.cmp(other)
    }
}

impl std::fmt::Display for Version {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let parts = self.0.iter().map(|part| match part.is_empty() {
            true => "0",
            false => part,
        });
        let parts: Vec<&str> = parts.collect();
        f.write_str(&parts.join("."))
    }
}

#[cfg(test)]
mod tests {
    use super::Version;

    #[test]
    fn parts_are_compared_as_numbers_however_long() {
        let ascending = [
            "0.9",
            "5",
            "5.1",
            "5.9",
            "5.10",
            "5.18446744073709551616",
            "5.18446744073709551617",
            "10",
        ];
        let versions = ascending.map(Version::parse);
        assert!(versions.is_sorted_by(|a, b| a < b), "{versions:?}");
        assert_eq!(Version::parse("5"), Version::parse("05.0"));
        assert_eq!(Version::parse("5.0").to_string(), "5.0");
    }
}
