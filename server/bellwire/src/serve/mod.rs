//! `bellwire serve`: the language server.
//!
//! A message comes in over the `pipes`, is read by the `gate`, begun by the
//! `transport`, and posted by the `backend` over the `mailbox` to the `owner`,
//! which alone changes anything. Answers are made from a `snapshot` by one adapter
//! of `features` each: on the thread that reads where `pace` has them for quick, on
//! threads of their own otherwise. Findings go out over the `publisher`. Everything
//! that goes out, goes through the `outlet`.

mod backend;
mod capabilities;
mod client;
mod convert;
mod documents;
mod edge;
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

/// The stack of threads that read plans: blocks may be nested deep.
const STACK: usize = 64 << 20;

/// How long a thread waits for its next answer before it ends: what it has freed, and
/// others have freed of what it made, is its own until then.
const KEPT: Duration = Duration::from_millis(200);

/// Runs the command: until the client says `exit`, or its end of the input closes.
///
/// # Errors
/// The system gives no threads, or there is no output.
pub fn run(args: &ServeArgs) -> Result<Outcome, Failure> {
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(args.log)
        .with_ansi(false)
        .without_time()
        .with_target(false)
        .init();
    crate::allocator::give_back_soon();
    let reader = std::thread::Builder::new()
        .name("reader".into())
        .stack_size(STACK);
    let reader = reader.spawn(serve).map_err(Failure::Start)?;
    match reader.join() {
        Ok(ended) => ended,
        Err(fault) => std::panic::resume_unwind(fault),
    }
}

/// One thread reads, begins and, where that is quick, works and writes; a second
/// one would only have to be woken.
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
    // A thread may still wait for a client that never comes.
    runtime.shutdown_background();
    Ok(outcome)
}
