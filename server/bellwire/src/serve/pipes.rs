//! The two pipes to the client.
//!
//! On the way from a key to its findings every thread that has to be woken costs
//! more than the work itself. So where the system tells whether a pipe is ready,
//! input is read by the thread that works on it, and output is written by the
//! thread that made it.

use std::io;

use tokio::io::AsyncRead;

/// What the client writes.
pub type Input = Box<dyn AsyncRead + Unpin + Send>;

/// Standard input. To be called within a runtime.
pub fn input() -> Input {
    #[cfg(unix)]
    if let Ok(Some(input)) = unix::input() {
        return input;
    }
    // A file, a terminal, or a system that cannot say when input is there.
    Box::new(tokio::io::stdin())
}

/// Standard output.
///
/// Not switched to non-blocking: standard error may be the same pipe, and whoever writes there
/// does not expect it to be full.
#[derive(Debug)]
pub struct Output {
    #[cfg(unix)]
    pipe: std::fs::File,
}

#[cfg(unix)]
impl Output {
    /// Standard output.
    ///
    /// # Errors
    /// There is none.
    pub fn new() -> io::Result<Output> {
        use std::os::fd::AsFd;
        let pipe = io::stdout().as_fd().try_clone_to_owned()?;
        Ok(Output { pipe: pipe.into() })
    }

    /// Writes as much as the pipe takes at once; returns the number of bytes.
    ///
    /// # Errors
    /// The client is gone.
    pub fn write_now(&self, bytes: &[u8]) -> io::Result<usize> {
        unix::write(&self.pipe, bytes, false)
    }

    /// Writes all, and waits for the client as long as that takes.
    ///
    /// # Errors
    /// The client is gone.
    pub fn write(&self, bytes: &[u8]) -> io::Result<()> {
        unix::write(&self.pipe, bytes, true).map(|_| ())
    }
}

#[cfg(not(unix))]
impl Output {
    /// Standard output.
    ///
    /// # Errors
    /// There is none.
    pub fn new() -> io::Result<Output> {
        Ok(Output {})
    }

    /// Writes nothing: this system does not say how much the pipe takes at once.
    ///
    /// # Errors
    /// The client is gone.
    pub fn write_now(&self, _: &[u8]) -> io::Result<usize> {
        Ok(0)
    }

    /// Writes all, and waits for the client as long as that takes.
    ///
    /// # Errors
    /// The client is gone.
    pub fn write(&self, bytes: &[u8]) -> io::Result<()> {
        use io::Write;
        let mut output = io::stdout().lock();
        output.write_all(bytes)?;
        output.flush()
    }
}

#[cfg(unix)]
mod unix {
    use std::fs::File;
    use std::io::{self, Write};
    use std::os::fd::{AsFd, OwnedFd};
    use std::os::unix::fs::FileTypeExt;
    use std::os::unix::net::UnixStream;

    use rustix::event::{PollFd, PollFlags, Timespec, poll};

    use super::Input;

    /// How many bytes a pipe takes without waiting once it says that it takes any:
    /// a page on Linux, elsewhere the least that POSIX allows for `PIPE_BUF`.
    const SURE: usize = if cfg!(target_os = "linux") { 4096 } else { 512 };

    /// Standard input, if it is a pipe or a socket: those are between us and the client alone,
    /// so that they may be switched to non-blocking.
    pub fn input() -> io::Result<Option<Input>> {
        let input = File::from(io::stdin().as_fd().try_clone_to_owned()?);
        let kind = input.metadata()?.file_type();
        if kind.is_fifo() {
            let pipe = tokio::net::unix::pipe::Receiver::from_file(input)?;
            return Ok(Some(Box::new(pipe)));
        }
        if kind.is_socket() {
            let socket = UnixStream::from(OwnedFd::from(input));
            socket.set_nonblocking(true)?;
            return Ok(Some(Box::new(tokio::net::UnixStream::from_std(socket)?)));
        }
        Ok(None)
    }

    /// Writes what the pipe takes; all, if it may wait.
    pub fn write(mut pipe: &File, bytes: &[u8], may_wait: bool) -> io::Result<usize> {
        let mut rest = bytes;
        while !rest.is_empty() && is_ready(pipe, may_wait)? {
            let most = if may_wait { rest.len() } else { SURE };
            let part = rest.split_at(rest.len().min(most)).0;
            match pipe.write(part) {
                Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
                Ok(count) => rest = rest.split_at(count.min(rest.len())).1,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) if error.kind() == io::ErrorKind::WouldBlock && may_wait => {}
                Err(error) if error.kind() == io::ErrorKind::WouldBlock => break,
                Err(error) => return Err(error),
            }
        }
        Ok(bytes.len() - rest.len())
    }

    /// Whether a pipe can be written, which includes that it never can be again.
    fn is_ready(pipe: &File, may_wait: bool) -> io::Result<bool> {
        let now = Timespec::default();
        let limit = (!may_wait).then_some(&now);
        loop {
            match poll(&mut [PollFd::new(pipe, PollFlags::OUT)], limit) {
                Ok(count) => return Ok(count > 0),
                Err(rustix::io::Errno::INTR) => {}
                Err(error) => return Err(error.into()),
            }
        }
    }
}
