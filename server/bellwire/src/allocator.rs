//! The allocator of the program, and how long it keeps what is free.

use mimalloc::MiMalloc;

/// A plan is many small values; this halves the time that their memory takes.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// Makes the allocator give memory back to the system a few milliseconds after it is freed.
/// By default it waits for a second, and then acts only when more memory is asked for; but a
/// server is idle most of the time, and would hold all that its largest answer took. Nor
/// at once: while many plans are read, a third of the time would go into giving back what
/// is asked for again.
///
/// The allocator reads the setting from the environment before `main` runs, so the program
/// sets it and executes itself again, once. If it cannot, everything works, with more memory.
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
        tracing::debug!("the allocator keeps its usual delay: {error}");
    }
}

/// Elsewhere a process cannot execute another program in its place.
#[cfg(not(unix))]
pub fn give_back_soon() {}
