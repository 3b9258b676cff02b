//! `bellwire serve`: the language server.
//!
//! A message comes in through `pipes`, is parsed by `gate`, begun by `transport`, and
//! posted by `backend`, through the `mailbox`, to the `owner`, the only one that changes
//! anything. Each request is answered from a `snapshot` by its adapter in `features`: on
//! the thread that reads if `pace` expects it to be quick, on a thread of its own
//! otherwise. Findings leave through the `publisher`, and everything that leaves goes
//! through the `outlet`.

mod abilities;
mod backend;
mod capabilities;
mod client;
mod convert;
mod documents;
mod edge;
mod edits;
mod features;
mod folders;
mod gate;
mod mailbox;
mod methods;
mod outlet;
mod owner;
mod pace;
mod pipes;
mod publisher;
mod session;
mod settings;
mod shelf;
mod shown;
mod snapshot;
mod transport;
mod uris;
mod written;

use std::sync::atomic::Ordering;
use std::time::Duration;

use tower_lsp::LspService;

use crate::args::ServeArgs;
use crate::{Failure, Outcome};
use backend::Backend;
use outlet::Outlet;

/// How long a thread that makes answers waits for the next one before it ends. Until then
/// it holds on to memory that it has freed, or that others have freed of what it made.
const KEPT: Duration = Duration::from_millis(200);

/// Runs the command until the client says `exit`, or closes its end of the input.
///
/// # Errors
/// A thread cannot be started, or there is no standard output.
pub fn run(args: &ServeArgs) -> Result<Outcome, Failure> {
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(args.log)
        .with_ansi(false)
        .without_time()
        .with_target(false)
        // It would tell that on standard error too, and panic where nobody reads that.
        .log_internal_errors(false)
        .init();
    crate::allocator::give_back_soon();
    serve()
}

/// Serves on one thread, which reads, begins calls, and does what is quick itself: to wake
/// a second one would take longer.
fn serve() -> Result<Outcome, Failure> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .thread_keep_alive(KEPT)
        .build()
        .map_err(Failure::Start)?;
    let output = pipes::Output::new().map_err(Failure::Start)?;
    let outcome = runtime.block_on(async {
        let outlet = Outlet::new(output);
        let build = LspService::build(|client| Backend::new(client, outlet.clone()));
        let build = build.custom_method(features::standing::STANDING, Backend::standing);
        let (service, socket) = build.finish();
        let ended = service.inner().ended();
        transport::serve(service, socket, pipes::input(), &outlet).await;
        // The protocol asks for 1 where `exit` was not preceded by `shutdown`.
        match ended.load(Ordering::SeqCst) {
            true => Outcome::Clean,
            false => Outcome::Found,
        }
    });
    // Not waited for: a thread may be writing to a client that has stopped reading.
    runtime.shutdown_background();
    Ok(outcome)
}
