//! The allocator of the program, and giving back what it holds in reserve.
//!
//! The only crate with unsafe code: one function of the allocator's own library, which
//! no crate wraps.

pub use mimalloc::MiMalloc;

#[allow(unsafe_code, reason = "a function of a C library")]
// SAFETY: declared as in `mimalloc.h`, which the crate above builds and links. It may be
// called at any time on any thread, and touches nothing that is in use.
unsafe extern "C" {
    safe fn mi_collect(force: bool);
}

/// Gives memory that is free back to the system: all that has been freed for good,
/// and what this thread has in reserve. Takes about as long as an edit, and what
/// is asked for next takes a little longer.
pub fn give_back() {
    mi_collect(true);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[global_allocator]
    static ALLOCATOR: MiMalloc = MiMalloc;

    #[test]
    #[allow(clippy::disallowed_methods, reason = "the system tells it in a file")]
    fn what_is_in_use_stays_and_what_is_free_goes() {
        let resident = || {
            let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
            let line = status
                .lines()
                .find_map(|line| line.strip_prefix("RssAnon:"));
            let number = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
            number.unwrap_or(0_u64)
        };
        let kept: Vec<String> = (0..1000).map(|number| number.to_string()).collect();
        let freed: Vec<Vec<u8>> = (0..20_000)
            .map(|number| vec![1; 1000 + number % 7])
            .collect();
        let before = resident();
        drop(freed);
        give_back();
        let after = resident();
        assert!(
            kept.iter()
                .enumerate()
                .all(|(number, text)| *text == number.to_string())
        );
        // Where the system tells.
        assert!(
            before == 0 || after + 10_000 < before,
            "{before} kB, {after} kB"
        );
    }
}
