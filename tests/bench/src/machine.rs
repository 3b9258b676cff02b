//! The machine's name for the results, and the memory of a process.

use crate::Failure;

/// Cores and memory, as `2 virtual cores, 24 GiB`, and the processor's own name where the system tells.
pub fn name() -> String {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let memory = field("/proc/meminfo", "MemTotal").unwrap_or(0.0);
    format!(
        "{cores} virtual cores, {:.0} GiB",
        (memory / 1024.0 / 1024.0).ceil()
    )
}

/// Today, as `2026-11-25`.
pub fn today() -> String {
    let seconds = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let days = seconds.map_or(0, |seconds| seconds.as_secs() / 86_400) as i64;
    // Howard Hinnant, "chrono-compatible low-level date algorithms", civil_from_days.
    let shifted = days + 719_468;
    let era = shifted.div_euclid(146_097);
    let day_of_era = shifted.rem_euclid(146_097);
    let year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * shifted_month + 2) / 5 + 1;
    let month = if shifted_month < 10 {
        shifted_month + 3
    } else {
        shifted_month - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    format!("{year}-{month:02}-{day:02}")
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
