//! What there is once the client has introduced itself, and the two ways that a
//! message takes: to the owner, and to whoever makes the answer.

use std::any::TypeId;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::Arc;

use bellwire_plan::source::FilePath;
use serde_json::Value;
use tower_lsp::Client;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::{InitializeParams, InitializeResult, ServerInfo, Uri};

use super::abilities::Abilities;
use super::edge::Edge;
use super::mailbox::{Effort, Mailbox};
use super::outlet::Outlet;
use super::owner::Owner;
use super::pace::Paces;
use super::publisher::Publisher;
use super::settings::{Delivery, Settings};
use super::snapshot::{Everything, Snapshot};
use super::{capabilities, client, convert, folders};
use crate::disk::Disk;
use crate::paths;

/// A client, and the owner that works for it. Cheap to clone.
#[derive(Clone)]
pub struct Session {
    client: Client,
    edge: Edge,
    mailbox: Mailbox<Owner>,
    paces: Paces,
}

impl Session {
    /// Begins with a client that has introduced itself; also gives the server's side of that.
    ///
    /// # Errors
    /// A thread cannot be started.
    pub fn begin(
        client: Client,
        outlet: &Outlet,
        params: InitializeParams,
    ) -> Result<(Session, InitializeResult)> {
        let options = params.initialization_options.as_ref();
        let settings = Settings::read(options.unwrap_or(&Value::Null));
        let pulls = settings.findings == Delivery::Pull;
        let roots = roots(&params);
        let can = Abilities::new(&params.capabilities);
        let disk = Arc::new(Disk::new(roots));
        let edge = Edge::new(can, disk.clone());
        let result = InitializeResult {
            capabilities: capabilities::capabilities(can, pulls),
            server_info: Some(ServerInfo {
                name: "bellwire".into(),
                version: Some(env!("CARGO_PKG_VERSION").into()),
            }),
            ..InitializeResult::default()
        };
        let publisher = Publisher::start(&client, outlet, &edge, pulls).map_err(no_thread)?;
        let mailbox = Mailbox::start(Owner::new(edge.clone(), disk, settings, publisher));
        let session = Session {
            client,
            edge,
            mailbox: mailbox.map_err(no_thread)?,
            paces: Paces::default(),
        };
        Ok((session, result))
    }

    /// Has the owner do something. Waits until it is done only where many posts wait:
    /// a task that does not wait need not be woken.
    pub fn tell<W: FnOnce(&mut Owner) + Send + 'static>(
        &self,
        effort: Effort,
        work: W,
    ) -> impl Future<Output = ()> + Send + use<W> {
        let posted = self.mailbox.post(effort, work);
        let is_crowded = self.mailbox.is_crowded();
        async move {
            if is_crowded {
                // A fault has been logged where it happened.
                let _ = posted.await;
            }
        }
    }

    /// Waits until everything is done that was posted so far.
    pub fn settled(&self) -> impl Future<Output = Result<()>> + Send + use<> {
        self.mailbox.post(Effort::Quick, |_| ())
    }

    /// What a file of the client is called here.
    pub fn file_name(&self, uri: &Uri) -> FilePath {
        self.edge.file_name(uri)
    }

    /// Forgets how long answers about a document take.
    pub fn forget(&self, name: &FilePath) {
        self.paces.forget(name);
    }

    /// Answers from the file that a request is about; `None`, if there is no such file.
    pub fn read<T, A>(
        &self,
        uri: &Uri,
        answer: A,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, A>
    where
        T: Send + 'static,
        A: FnOnce(&Snapshot) -> T + Send + 'static,
    {
        let (uri, paces) = (uri.clone(), self.paces.clone());
        let posted = self.mailbox.post(Effort::Answer, move |owner| {
            let snapshot = owner.snapshot(&uri)?;
            let kind = (snapshot.name().clone(), TypeId::of::<A>());
            let is_quick = paces.is_quick(&kind);
            let work = move || paces.time(kind, || answer(&snapshot));
            Some(match is_quick {
                true => Begun::Done(here(work)),
                false => Begun::PutOff(work),
            })
        });
        async move {
            match posted.await? {
                Some(Begun::Done(answer)) => answer.map(Some),
                Some(Begun::PutOff(work)) => apart(work).await.map(Some),
                None => Ok(None),
            }
        }
    }

    /// Answers from all files.
    pub fn read_all<T, A>(&self, answer: A) -> impl Future<Output = Result<T>> + Send + use<T, A>
    where
        T: Send + 'static,
        A: FnOnce(&Everything) -> T + Send + 'static,
    {
        let posted = self.mailbox.post(Effort::Quick, Owner::everything);
        async move {
            let everything = posted.await?;
            apart(move || answer(&everything)).await
        }
    }

    /// What is to be done once the client is ready: asks for its settings, has
    /// files watched, and reads the folders. Nobody waits for it, and the folders do not
    /// wait for what the client may never answer.
    pub fn settle_in(&self) {
        let session = self.clone();
        let roots = self.mailbox.post(Effort::Quick, |owner| owner.roots());
        tokio::spawn(async move {
            let reading = async {
                if let Ok(roots) = roots.await {
                    let watching = client::watch_files(&session.client, session.edge.can);
                    session.read_folders(roots, watching).await;
                }
            };
            tokio::join!(session.fetch_settings(None), reading);
        });
    }

    /// Reads the plans in folders that are new to the workspace. `watching` says whether they
    /// are watched only from then on.
    pub async fn read_folders(&self, folders: Vec<PathBuf>, watching: impl Future<Output = bool>) {
        let (mailbox, client) = (self.mailbox.clone(), self.client.clone());
        folders::read(folders, watching, mailbox, client, self.edge.can).await;
    }

    /// Asks the client for its settings; where it cannot be asked, those `sent` count.
    pub async fn fetch_settings(&self, sent: Option<&Value>) {
        let asked = client::settings(&self.client, self.edge.can).await;
        if let Some(settings) = asked.or_else(|| sent.and_then(Settings::given)) {
            self.tell(Effort::Long, move |owner| owner.configure(settings))
                .await;
        }
    }
}

fn no_thread(error: std::io::Error) -> Error {
    tracing::error!("the system gives no thread: {error}");
    Error::internal_error()
}

/// An answer, or the work that is still to make it.
enum Begun<T, W> {
    Done(T),
    PutOff(W),
}

/// Does work at once. Its panic is an error for this request alone.
fn here<T>(work: impl FnOnce() -> T) -> Result<T> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| Error::internal_error())
}

/// Does work on a thread of its own. Its panic is an error for this request
/// alone; work that nobody waits for any longer is not begun.
async fn apart<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T> {
    struct Guard(tokio::task::AbortHandle);
    impl Drop for Guard {
        fn drop(&mut self) {
            self.0.abort();
        }
    }
    let handle = tokio::task::spawn_blocking(work);
    let _guard = Guard(handle.abort_handle());
    handle.await.map_err(|_| Error::internal_error())
}

/// The folders that a client works in.
fn roots(params: &InitializeParams) -> Vec<PathBuf> {
    #[allow(deprecated, reason = "older clients know nothing else")]
    let root = params.root_uri.as_ref();
    let uris: Vec<&Uri> = match &params.workspace_folders {
        Some(folders) if !folders.is_empty() => folders.iter().map(|folder| &folder.uri).collect(),
        _ => root.into_iter().collect(),
    };
    let names = uris.into_iter().map(convert::file_name);
    let paths = names.map(|name| paths::path(&name));
    paths.filter(|path| path.is_absolute()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_panic_is_an_error_of_one_request() {
        let bad = apart(|| -> u32 { panic!("this is part of the test") });
        let good = apart(|| 7);
        assert!(bad.await.is_err());
        assert_eq!(good.await, Ok(7));
    }
}
