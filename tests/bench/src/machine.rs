//! The machine's name for the results, and the memory of a process.

use crate::Failure;

/// Cores and memory, as `2 virtual cores, 24 GiB`.
pub fn name() -> String {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let memory = field("/proc/meminfo", "MemTotal").unwrap_or(0.0);
    format!(
        "{cores} virtual cores, {:.0} GiB",
        (memory / 1024.0 / 1024.0).ceil()
    )
}

/// Today, UTC, as `2026-11-25`.
pub fn today() -> String {
    let now = jiff::Timestamp::now();
    jiff::tz::Offset::UTC.to_datetime(now).date().to_string()
}

/// What a process holds in memory, in MB of 1,000,000 bytes: now, and at most so far.
///
/// # Errors
/// A process that is gone, or a system without `/proc`.
pub fn memory(process: u32) -> Result<(f64, f64), Failure> {
    let path = format!("/proc/{process}/status");
    let megabytes = |name| {
        let kibibytes = field(&path, name);
        let missing = || {
            Failure(format!(
                "`{path}` does not tell {name}: memory is measured on Linux only"
            ))
        };
        kibibytes
            .map(|kibibytes| kibibytes * 1024.0 / 1e6)
            .ok_or_else(missing)
    };
    Ok((megabytes("VmRSS")?, megabytes("VmHWM")?))
}

/// The milliseconds of processor time that a process has taken so far, in steps of 10.
///
/// # Errors
/// A process that is gone, or a system without `/proc`.
pub fn processor_time(process: u32) -> Result<f64, Failure> {
    let path = format!("/proc/{process}/stat");
    let text = std::fs::read_to_string(&path)?;
    // The name before it may hold blanks; fields 14 and 15 are user and system ticks of 1/100 s.
    let behind = text.rsplit_once(')').map_or("", |(_, behind)| behind);
    let ticks: Option<f64> = behind
        .split_whitespace()
        .skip(11)
        .take(2)
        .map(|ticks| ticks.parse::<f64>().ok())
        .sum();
    ticks
        .map(|ticks| ticks * 10.0)
        .ok_or_else(|| Failure(format!("`{path}` tells no processor time")))
}

/// How many threads wanted a processor on average over the last minute.
pub fn load() -> String {
    let text = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    text.split_whitespace()
        .next()
        .unwrap_or("unknown")
        .to_string()
}

fn field(path: &str, name: &str) -> Option<f64> {
    let text = std::fs::read_to_string(path).ok()?;
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix(name)?.strip_prefix(':'))?;
    line.split_whitespace().next()?.parse().ok()
}
