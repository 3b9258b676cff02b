//! The allocator of the program, and how long it keeps what is free.

use mimalloc::MiMalloc;

/// Plans are many small values; this halves the time that goes into their memory.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// Has memory go back to the system soon after it is free, rather than a second later and
/// only if more is asked for: a server is idle most of the time, and then holds all that
/// its largest answer took. Not at once: while many plans are read, a third of the time
/// would go into giving back what is asked for again.
///
/// The allocator reads this from the environment, before `main`. So the program takes its
/// own place, once. Where it cannot, all works as well, with more memory.
#[cfg(unix)]
pub fn give_back_soon() {
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    const DELAY: &str = "MIMALLOC_PURGE_DELAY";
    const MILLISECONDS: &str = "5";
    if std::env::var_os(DELAY).is_some() {
        return;
    }
    let mut args = std::env::args_os();
    if let (Ok(program), Some(name)) = (std::env::current_exe(), args.next()) {
        let error = Command::new(program)
            .arg0(name)
            .args(args)
            .env(DELAY, MILLISECONDS)
            .exec();
        tracing::debug!("memory is kept for a while: {error}");
    }
}

/// Elsewhere no program takes another's place.
#[cfg(not(unix))]
pub fn give_back_soon() {}
