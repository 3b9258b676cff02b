//! Sending findings to the client.
//!
//! Invariants: of each file, only the newest findings wait to be sent, so work
//! that is superseded is dropped, and never are findings for an old version sent
//! behind those for a newer one. Nobody but the publisher waits for the client.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::{Entry, View};
use rustc_hash::FxHashMap;
use tokio::sync::Notify;
use tower_lsp::Client;
use tower_lsp::ls_types::{ClientCapabilities, Uri};

use super::client::{LIMIT, within};
use super::edge::Edge;
use super::features::findings::diagnostics;

/// A file whose findings may be other ones than those that were sent.
pub struct Job {
    /// Its name.
    pub name: FilePath,
    /// The file; `None` if it is gone.
    pub entry: Option<Arc<Entry>>,
    /// The version of the open document; `None` for one that is not open.
    pub version: Option<i32>,
    /// All files.
    pub view: View,
}

/// The queue to the publisher. Cheap to clone.
#[derive(Clone, Default)]
pub struct Publisher {
    shared: Arc<Shared>,
}

#[derive(Default)]
struct Shared {
    queue: Mutex<Queue>,
    wake: Notify,
    /// Something that the client shows of its documents may be out of date.
    stale_hints: Notify,
    /// The same of findings, for a client that asks for them.
    stale_findings: Notify,
}

#[derive(Default)]
struct Queue {
    /// What the user looks at goes first.
    open: FxHashMap<FilePath, Job>,
    rest: FxHashMap<FilePath, Job>,
}

impl Queue {
    fn pop(&mut self) -> Option<Job> {
        let from = match self.open.is_empty() {
            true => &mut self.rest,
            false => &mut self.open,
        };
        let name = from.keys().next()?.clone();
        from.remove(&name)
    }
}

/// What of the client matters for sending.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wants {
    /// The client asks for findings itself.
    pub pulls: bool,
    refresh_findings: bool,
    refresh_hints: bool,
    refresh_lenses: bool,
}

impl Wants {
    /// What a client can do; `pulls` says that it asks for findings.
    pub fn new(client: &ClientCapabilities, pulls: bool) -> Wants {
        let workspace = client.workspace.as_ref();
        let hints = workspace.and_then(|workspace| workspace.inlay_hint.as_ref());
        let lenses = workspace.and_then(|workspace| workspace.code_lens.as_ref());
        let findings = workspace.and_then(|workspace| workspace.diagnostics.as_ref());
        let yes = Some(true);
        Wants {
            pulls,
            refresh_findings: pulls && findings.and_then(|of| of.refresh_support) == yes,
            refresh_hints: hints.and_then(|of| of.refresh_support) == yes,
            refresh_lenses: lenses.and_then(|of| of.refresh_support) == yes,
        }
    }
}

impl Publisher {
    /// Queues a file, in the place of what waits for it.
    pub fn queue(&self, job: Job) {
        let mut queue = self.lock();
        queue.open.remove(&job.name);
        queue.rest.remove(&job.name);
        let into = match job.version {
            Some(_) => &mut queue.open,
            None => &mut queue.rest,
        };
        into.insert(job.name.clone(), job);
        drop(queue);
        self.shared.wake.notify_one();
    }

    /// Has the client ask again for hints and lenses.
    pub fn refresh_hints(&self) {
        self.shared.stale_hints.notify_one();
    }

    /// Has a client that asks for findings ask again.
    pub fn refresh_findings(&self) {
        self.shared.stale_findings.notify_one();
    }

    /// Starts sending what is queued, for as long as the server runs.
    pub fn start(&self, client: &Client, edge: &Edge, wants: Wants) {
        tokio::spawn(self.clone().send_all(client.clone(), edge.clone(), wants));
        tokio::spawn(self.clone().ask_for_hints(client.clone(), wants));
        tokio::spawn(self.clone().ask_for_findings(client.clone(), wants));
    }

    fn lock(&self) -> MutexGuard<'_, Queue> {
        let queue = self.shared.queue.lock();
        queue.unwrap_or_else(PoisonError::into_inner)
    }

    async fn send_all(self, client: Client, edge: Edge, wants: Wants) {
        // Files that the client shows findings of, as it knows them.
        let mut marked = FxHashMap::default();
        loop {
            self.shared.wake.notified().await;
            loop {
                let job = self.lock().pop();
                let Some(job) = job else { break };
                if !wants.pulls {
                    send(job, &client, &edge, &mut marked).await;
                }
            }
        }
    }

    async fn ask_for_hints(self, client: Client, wants: Wants) {
        loop {
            self.shared.stale_hints.notified().await;
            if wants.refresh_hints {
                within(LIMIT, client.inlay_hint_refresh()).await;
            }
            if wants.refresh_lenses {
                within(LIMIT, client.code_lens_refresh()).await;
            }
        }
    }

    async fn ask_for_findings(self, client: Client, wants: Wants) {
        loop {
            self.shared.stale_findings.notified().await;
            if wants.refresh_findings {
                within(LIMIT, client.workspace_diagnostic_refresh()).await;
            }
        }
    }
}

async fn send(job: Job, client: &Client, edge: &Edge, marked: &mut FxHashMap<FilePath, Uri>) {
    let Job {
        name,
        entry,
        version,
        view,
    } = job;
    let Some(uri) = edge.uri(&name) else { return };
    let worked = {
        let edge = edge.clone();
        tokio::task::spawn_blocking(move || {
            entry.map_or_else(Vec::new, |entry| diagnostics(&view, &entry, &edge))
        })
    };
    let Ok(found) = worked.await else {
        tracing::error!("the findings of `{name}` could not be written out");
        return;
    };
    let before = marked.remove(&name);
    let was_marked = before.is_some();
    // A document may go by another name while it is open than afterwards.
    if let Some(other) = before.filter(|other| *other != uri) {
        client.publish_diagnostics(other, Vec::new(), None).await;
    }
    // To send nothing for a file that had nothing would only cost time.
    if !was_marked && found.is_empty() && version.is_none() {
        return;
    }
    if !found.is_empty() {
        marked.insert(name, uri.clone());
    }
    client.publish_diagnostics(uri, found, version).await;
}
