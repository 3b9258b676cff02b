//! `bellwire serve`: the language server.
//!
//! A message passes the `gate`, comes to the `backend`, and is posted from there
//! over the `mailbox` to the `owner`, which alone changes anything. Answers are
//! made from a `snapshot` on threads of their own, by one adapter of `features`
//! each; findings go out over the `publisher`.

mod backend;
mod capabilities;
mod client;
mod convert;
mod documents;
mod edge;
mod features;
mod gate;
mod mailbox;
mod owner;
mod publisher;
mod reader;
mod session;
mod settings;
mod shelf;
mod snapshot;

use tower_lsp::{LspService, Server};

use crate::args::ServeArgs;
use crate::{Failure, Outcome};
use backend::Backend;

/// Requests that are worked on at once. Enough that edits and cancellations
/// never wait for a free place behind slow answers.
const AT_ONCE: usize = 64;

/// Runs the command: until the client says `exit`, or its end of the input closes.
///
/// # Errors
/// The system gives no threads.
pub fn run(args: &ServeArgs) -> Result<Outcome, Failure> {
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(args.log)
        .with_ansi(false)
        .without_time()
        .with_target(false)
        .init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failure::Start)?;
    let outcome = runtime.block_on(async {
        let (service, socket) = LspService::build(Backend::new)
            .custom_method(gate::UNREADABLE, Backend::unreadable)
            .custom_method(features::standing::STANDING, Backend::standing)
            .finish();
        let ended = service.inner().ended();
        let input = gate::open(tokio::io::stdin());
        Server::new(input, tokio::io::stdout(), socket)
            .concurrency_level(AT_ONCE)
            .serve(service)
            .await;
        // The protocol asks for 1 where `exit` was not preceded by `shutdown`.
        match ended.load(std::sync::atomic::Ordering::SeqCst) {
            true => Outcome::Clean,
            false => Outcome::Found,
        }
    });
    // A thread may still wait for input that never comes.
    runtime.shutdown_background();
    Ok(outcome)
}
