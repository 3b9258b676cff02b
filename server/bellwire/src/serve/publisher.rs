//! Sending findings to the client.
//!
//! Invariants: of each file, only the newest findings wait to be sent, so work
//! that is superseded is dropped, and findings for an old version are never sent
//! after those for a newer one. What the user looks at is sent by whichever thread
//! works as the owner, as soon as it is worked out; everything else, and what a
//! slow client leaves no room for, by a thread that may wait.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::{Entry, View};
use rustc_hash::FxHashMap;
use serde::Serialize;
use tokio::sync::Notify;
use tower_lsp::Client;
use tower_lsp::ls_types::notification::{Notification, PublishDiagnostics};
use tower_lsp::ls_types::{Diagnostic, PublishDiagnosticsParams, Uri};

use super::client::{LIMIT, within};
use super::edge::Edge;
use super::features::findings::diagnostics;
use super::outlet::Outlet;

/// A file whose findings may differ from those that were sent.
pub struct Job {
    /// Its name.
    pub name: FilePath,
    /// The file; `None` if it is gone, or nobody has it open and nothing is wrong with it.
    pub entry: Option<Arc<Entry>>,
    /// All files.
    pub view: View,
}

impl Job {
    /// The version of the open document; `None` for one that is not open.
    fn version(&self) -> Option<i32> {
        self.entry.as_ref()?.file.version()
    }
}

/// The way of findings to the client. Cheap to clone.
#[derive(Clone)]
pub struct Publisher(Arc<Shared>);

struct Shared {
    queue: Mutex<Queue>,
    /// There is something for the thread that may wait.
    wake: Condvar,
    outlet: Outlet,
    edge: Edge,
    /// The client asks for findings itself.
    pulls: bool,
    /// Something that the client shows of its documents may be out of date.
    stale_hints: Notify,
    /// The same of findings, for a client that asks for them.
    stale_findings: Notify,
}

#[derive(Default)]
struct Queue {
    /// What the user looks at goes first.
    open: Line,
    rest: Line,
    /// The file that the thread that may wait is at, unless that is superseded.
    in_hand: Option<FilePath>,
    /// Files that the client shows findings of, as it knows them.
    marked: FxHashMap<FilePath, Uri>,
}

impl Queue {
    fn push(&mut self, job: Job) {
        if self.in_hand.as_ref() == Some(&job.name) {
            self.in_hand = None;
        }
        let (into, other) = match job.version() {
            Some(_) => (&mut self.open, &mut self.rest),
            None => (&mut self.rest, &mut self.open),
        };
        other.remove(&job.name);
        into.push(job);
    }

    /// Whether findings of a file were sent, or may be about to be.
    fn has(&self, name: &FilePath) -> bool {
        self.marked.contains_key(name)
            || self.open.jobs.contains_key(name)
            || self.rest.jobs.contains_key(name)
            || self.in_hand.as_ref() == Some(name)
    }

    fn is_empty(&self) -> bool {
        self.open.jobs.is_empty() && self.rest.jobs.is_empty()
    }
}

/// The newest job of each file, in the order in which the files came.
#[derive(Default)]
struct Line {
    names: VecDeque<FilePath>,
    jobs: FxHashMap<FilePath, Job>,
}

impl Line {
    fn push(&mut self, job: Job) {
        let name = job.name.clone();
        if self.jobs.insert(name.clone(), job).is_none() {
            self.names.push_back(name);
        }
    }

    fn remove(&mut self, name: &FilePath) {
        if self.jobs.remove(name).is_some() {
            self.names.retain(|other| other != name);
        }
    }

    fn pop(&mut self) -> Option<Job> {
        let name = self.names.pop_front()?;
        self.jobs.remove(&name)
    }
}

impl Publisher {
    /// Starts the thread and the tasks that send, for as long as the server runs; `pulls` says
    /// that the client asks for findings.
    ///
    /// # Errors
    /// The thread cannot be started.
    pub fn start(
        client: &Client,
        outlet: &Outlet,
        edge: &Edge,
        pulls: bool,
    ) -> std::io::Result<Publisher> {
        let publisher = Publisher(Arc::new(Shared {
            queue: Mutex::default(),
            wake: Condvar::new(),
            outlet: outlet.clone(),
            edge: edge.clone(),
            pulls,
            stale_hints: Notify::new(),
            stale_findings: Notify::new(),
        }));
        tokio::spawn(publisher.clone().ask_for_hints(client.clone()));
        tokio::spawn(publisher.clone().ask_for_findings(client.clone()));
        let patient = publisher.clone();
        std::thread::Builder::new()
            .name("publisher".into())
            .spawn(move || patient.send_all())?;
        Ok(publisher)
    }

    /// Queues a file, in place of what is queued for it already.
    pub fn queue(&self, job: Job) {
        if self.0.pulls {
            return;
        }
        let mut queue = self.lock();
        // There is nothing to send for a file that had nothing.
        if job.entry.is_some() || queue.has(&job.name) {
            queue.push(job);
        }
    }

    /// Sends what is queued of open documents, and has the rest sent. Never waits
    /// for the client. For those alone who queue.
    pub fn send(&self) {
        while self.0.outlet.has_room() {
            let job = self.lock().open.pop();
            let Some(job) = job else { break };
            let found = self.found(&job);
            self.deliver(&mut self.lock(), job, found);
        }
        if !self.lock().is_empty() {
            self.0.wake.notify_one();
        }
    }

    /// Has the client ask again for hints and lenses.
    pub fn refresh_hints(&self) {
        self.0.stale_hints.notify_one();
    }

    /// Has a client that asks for findings ask again.
    pub fn refresh_findings(&self) {
        self.0.stale_findings.notify_one();
    }

    fn lock(&self) -> MutexGuard<'_, Queue> {
        let queue = self.0.queue.lock();
        queue.unwrap_or_else(PoisonError::into_inner)
    }

    /// Sends whatever is queued, at the pace of the client.
    fn send_all(&self) {
        loop {
            let queue = self.lock();
            let queue = self.0.wake.wait_while(queue, |queue| queue.is_empty());
            drop(queue.unwrap_or_else(PoisonError::into_inner));
            futures::executor::block_on(self.0.outlet.room());
            let mut queue = self.lock();
            let job = queue.open.pop().or_else(|| queue.rest.pop());
            let Some(job) = job else { continue };
            queue.in_hand = Some(job.name.clone());
            drop(queue);
            let found = self.found(&job);
            let mut queue = self.lock();
            if queue.in_hand.take().is_some() {
                self.deliver(&mut queue, job, found);
            }
        }
    }

    /// The findings of a file; nothing, if they cannot be written out.
    fn found(&self, job: &Job) -> Option<Vec<Diagnostic>> {
        let Some(entry) = &job.entry else {
            return Some(Vec::new());
        };
        let work = || diagnostics(&job.view, entry, &self.0.edge);
        let found = catch_unwind(AssertUnwindSafe(work));
        if found.is_err() {
            tracing::error!("the findings of `{}` could not be written out", job.name);
        }
        found.ok()
    }

    fn deliver(&self, queue: &mut Queue, job: Job, found: Option<Vec<Diagnostic>>) {
        let (Some(found), Some(uri)) = (found, self.0.edge.uri(&job.name)) else {
            return;
        };
        let version = job.version();
        let before = queue.marked.remove(&job.name);
        let was_marked = before.is_some();
        // A document may go by another name while it is open than afterwards.
        if let Some(other) = before.filter(|other| *other != uri) {
            self.tell(other, Vec::new(), None);
        }
        // To send nothing for a file that had nothing would only cost time.
        if !was_marked && found.is_empty() && version.is_none() {
            return;
        }
        if !found.is_empty() {
            queue.marked.insert(job.name, uri.clone());
        }
        self.tell(uri, found, version);
    }

    fn tell(&self, uri: Uri, found: Vec<Diagnostic>, version: Option<i32>) {
        self.0.outlet.send_now(&Message {
            jsonrpc: "2.0",
            method: PublishDiagnostics::METHOD,
            params: PublishDiagnosticsParams::new(uri, found, version),
        });
    }

    async fn ask_for_hints(self, client: Client) {
        let can = self.0.edge.can;
        loop {
            self.0.stale_hints.notified().await;
            if can.refreshes_hints {
                within(LIMIT, client.inlay_hint_refresh()).await;
            }
            if can.refreshes_lenses {
                within(LIMIT, client.code_lens_refresh()).await;
            }
        }
    }

    async fn ask_for_findings(self, client: Client) {
        loop {
            self.0.stale_findings.notified().await;
            if self.0.pulls && self.0.edge.can.refreshes_findings {
                within(LIMIT, client.workspace_diagnostic_refresh()).await;
            }
        }
    }
}

/// A notification as it goes over the line.
#[derive(Serialize)]
struct Message {
    jsonrpc: &'static str,
    method: &'static str,
    params: PublishDiagnosticsParams,
}

#[cfg(test)]
mod tests {
    use bellwire_plan::day::Day;
    use bellwire_plan::source::File;
    use bellwire_plan::workspace::{NoFiles, Workspace};

    use super::*;

    #[test]
    fn of_a_file_the_newest_findings_wait_and_no_others() {
        let name = FilePath::new("/a.bell");
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        let mut job = |version: Option<i32>| {
            let file = File::new(name.clone(), "");
            workspace.put(vec![match version {
                Some(version) => file.with_version(version),
                None => file,
            }]);
            let view = workspace.view();
            let entry = view.entry(&name);
            Job {
                name: name.clone(),
                entry,
                view,
            }
        };
        let mut queue = Queue::default();
        queue.push(job(Some(1)));
        queue.push(job(Some(2)));
        assert_eq!(queue.open.pop().and_then(|job| job.version()), Some(2));
        // What is being worked on is superseded too.
        queue.in_hand = Some(FilePath::new("/b.bell"));
        queue.push(job(Some(3)));
        assert!(queue.in_hand.is_some());
        queue.in_hand = Some(FilePath::new("/a.bell"));
        queue.push(job(None));
        assert_eq!(queue.in_hand, None);
        // It was closed.
        assert!(queue.open.pop().is_none());
        assert_eq!(queue.rest.pop().map(|job| job.version()), Some(None));
        assert!(queue.is_empty());
    }
}
