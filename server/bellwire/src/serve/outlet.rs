//! Where whole messages leave for the client.
//!
//! Invariants: messages leave in the order in which they are handed in, and none
//! in parts with another one between. Whoever hands one in writes it, if the pipe
//! takes it at once; what is left over is written by a thread that may wait for
//! the client. Nobody else ever waits for it. What is left over is bounded as long
//! as whoever sends asks for room first.

use std::io;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde::Serialize;
use tokio::runtime::Handle;
use tokio::sync::Notify;

use super::pipes::Output;

/// How many bytes may wait to be written before there is no more room.
const ROOM: usize = 1 << 20;

/// The way out. Cheap to clone.
#[derive(Clone)]
pub struct Outlet(Arc<Shared>);

struct Shared {
    state: Mutex<State>,
    pipe: Output,
    /// Something has been written.
    written: Notify,
    runtime: Handle,
}

#[derive(Default)]
struct State {
    waiting: Vec<u8>,
    /// How many bytes the thread that may wait is writing; it is at work while there are any.
    in_hand: usize,
    /// The client reads no more.
    is_gone: bool,
}

impl State {
    fn has_room(&self) -> bool {
        self.is_gone || self.waiting.len() + self.in_hand < ROOM
    }
}

impl Outlet {
    /// The outlet to a pipe. To be called within a runtime.
    pub fn new(pipe: Output) -> Outlet {
        Outlet(Arc::new(Shared {
            state: Mutex::default(),
            pipe,
            written: Notify::new(),
            runtime: Handle::current(),
        }))
    }

    /// Whether more can be sent without holding too much.
    pub fn has_room(&self) -> bool {
        self.0.lock().has_room()
    }

    /// Waits until there is room.
    pub async fn room(&self) {
        self.until(State::has_room).await;
    }

    /// Waits until everything is written, or the client is gone.
    pub async fn emptied(&self) {
        let is_empty = |state: &State| state.is_gone || state.waiting.len() + state.in_hand == 0;
        self.until(is_empty).await;
    }

    async fn until(&self, holds: impl Fn(&State) -> bool) {
        loop {
            let mut written = std::pin::pin!(self.0.written.notified());
            written.as_mut().enable();
            if holds(&self.0.lock()) {
                return;
            }
            written.await;
        }
    }

    /// Sends a message when there is room.
    pub async fn send(&self, message: &impl Serialize) {
        self.room().await;
        self.send_now(message);
    }

    /// Sends a message, whether there is room or not.
    pub fn send_now(&self, message: &impl Serialize) {
        match framed(message) {
            Ok(bytes) => self.write(&bytes),
            Err(error) => tracing::error!("a message could not be written out: {error}"),
        }
    }

    fn write(&self, bytes: &[u8]) {
        let mut state = self.0.lock();
        if state.is_gone {
            return;
        }
        let is_first = state.waiting.is_empty() && state.in_hand == 0;
        let written = match is_first {
            true => self.0.pipe.write_now(bytes),
            false => Ok(0),
        };
        match written {
            Err(error) => self.0.lose(&mut state, &error),
            Ok(written) => state
                .waiting
                .extend_from_slice(bytes.get(written..).unwrap_or_default()),
        }
        if is_first && !state.waiting.is_empty() {
            state.in_hand = state.waiting.len();
            let bytes = std::mem::take(&mut state.waiting);
            let shared = self.0.clone();
            self.0.runtime.spawn_blocking(move || shared.drain(bytes));
        }
    }
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn lose(&self, state: &mut State, error: &io::Error) {
        tracing::warn!("the client reads no more: {error}");
        *state = State {
            is_gone: true,
            ..State::default()
        };
    }

    /// Writes these bytes and all that come meanwhile, however long the client takes.
    fn drain(&self, mut bytes: Vec<u8>) {
        while !bytes.is_empty() {
            let written = self.pipe.write(&bytes);
            let mut state = self.lock();
            if let Err(error) = written {
                self.lose(&mut state, &error);
            }
            bytes = std::mem::take(&mut state.waiting);
            state.in_hand = bytes.len();
            drop(state);
            self.written.notify_waiters();
        }
    }
}

/// A message with its header, in one piece.
fn framed(message: &impl Serialize) -> serde_json::Result<Vec<u8>> {
    let body = serde_json::to_vec(message)?;
    let mut bytes = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    bytes.extend(body);
    Ok(bytes)
}
