//! Between the pipes and the protocol's service: messages in, answers out.
//!
//! Invariants: a call is begun as soon as it is read, before the next one is read,
//! so a handler that posts to the owner before it first waits keeps the order of
//! the messages. Only so many calls are under way at once; the input waits for the
//! rest, and so does a client that reads no answers. A panic costs one call.

use std::panic::AssertUnwindSafe;
use std::sync::Arc;
use std::time::Duration;

use futures::future::{Either, ready};
use futures::{FutureExt, SinkExt, StreamExt};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::task::JoinHandle;
use tower_lsp::jsonrpc::{Error, Id, Request, Response};
use tower_lsp::{ClientSocket, LanguageServer, LspService};
use tower_service::Service;

use super::gate::{Gate, Message};
use super::outlet::Outlet;
use super::pipes::Input;
use super::written;

/// Calls that are under way at once. Enough that edits and cancellations never
/// wait for a free place behind slow answers.
const AT_ONCE: u32 = 128;

/// How long a client may take to read the last answers.
const LAST: Duration = Duration::from_secs(2);

/// Serves until the client says `exit`, or its end of the input closes.
pub async fn serve<S: LanguageServer>(
    mut service: LspService<S>,
    socket: ClientSocket,
    input: Input,
    outlet: &Outlet,
) {
    let (mut requests, mut answers) = socket.split();
    let asking = outlet.clone();
    tokio::spawn(async move {
        while let Some(request) = requests.next().await {
            asking.send(&request).await;
        }
    });
    let places = Arc::new(Semaphore::new(AT_ONCE as usize));
    let mut gate = Gate::new(input);
    let mut shutting_down = None;
    while let Some(message) = gate.next().await {
        match message {
            Message::Unreadable => {
                let refusal = Response::from_error(Id::Null, Error::parse_error());
                outlet.send(&refusal).await;
            }
            Message::Answer(answer) => {
                if answers.send(answer).await.is_err() {
                    break;
                }
            }
            Message::Call(call) => {
                let Ok(place) = places.clone().acquire_owned().await else {
                    break;
                };
                let (is_shutdown, is_exit) = (call.method() == "shutdown", call.method() == "exit");
                if let Some(shutting_down) = shutting_down.take_if(|_| is_exit) {
                    // Otherwise `exit` would cut its answer off.
                    let _ = tokio::time::timeout(LAST, shutting_down).await;
                }
                let rest = begin(answer(&mut service, call), outlet.clone(), place).await;
                if is_shutdown {
                    shutting_down = shutting_down.or(rest);
                }
                if is_exit {
                    break;
                }
            }
        }
    }
    let finish = async {
        let _ = places.acquire_many(AT_ONCE).await;
        outlet.emptied().await;
    };
    if tokio::time::timeout(LAST, finish).await.is_err() {
        tracing::warn!("the client has not read the last answers");
    }
}

/// Begins a call, and sends the answer. What cannot be done at once is left to a task of its
/// own; the call has its place until then.
async fn begin(
    call: impl Future<Output = Option<Response>> + Send + 'static,
    outlet: Outlet,
    place: OwnedSemaphorePermit,
) -> Option<JoinHandle<()>> {
    let mut work = Box::pin(async move {
        if let Some(answer) = written::answer(call).await {
            outlet.send(&answer).await;
        }
        drop(place);
    });
    // Polled here, so that posts are made in the order of the messages.
    let is_pending = futures::poll!(&mut work).is_pending();
    is_pending.then(|| tokio::spawn(work))
}

/// The answer to a call, if one is due.
fn answer<S: LanguageServer>(
    service: &mut LspService<S>,
    call: Request,
) -> impl Future<Output = Option<Response>> + Send + use<S> {
    let id = call.id().cloned();
    if let (Some(id), true) = (&id, call.method().starts_with("$/")) {
        // The service takes it for a notification, and would leave the client waiting.
        let refusal = Response::from_error(id.clone(), Error::method_not_found());
        return Either::Left(ready(Some(refusal)));
    }
    let answer = AssertUnwindSafe(service.call(call)).catch_unwind();
    Either::Right(async move {
        match answer.await {
            Ok(answer) => answer.ok().flatten(),
            Err(_) => id.map(|id| Response::from_error(id, Error::internal_error())),
        }
    })
}
