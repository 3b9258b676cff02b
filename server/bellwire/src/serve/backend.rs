//! The server as the protocol's service sees it, and what its `methods` are made of:
//! posting to the owner, and answering from a snapshot.

use std::str::FromStr;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use serde::Serialize;
use tower_lsp::Client;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::{
    FileChangeType, FileEvent, Position, TextDocumentIdentifier, TextDocumentPositionParams, Uri,
};

use super::features::standing::{self, Standing};
use super::features::tokens;
use super::mailbox::Effort;
use super::outlet::Outlet;
use super::owner::Owner;
use super::session::Session;
use super::snapshot::{Everything, Snapshot};
use super::written;

/// The server, as the protocol sees it.
pub struct Backend {
    pub(super) client: Client,
    pub(super) outlet: Outlet,
    pub(super) session: OnceLock<Session>,
    pub(super) ended: Arc<AtomicBool>,
    pub(super) tokens: tokens::Sent,
}

impl Backend {
    /// A server that waits for its client.
    pub fn new(client: Client, outlet: Outlet) -> Backend {
        Backend {
            client,
            outlet,
            session: OnceLock::new(),
            ended: Arc::default(),
            tokens: tokens::Sent::default(),
        }
    }

    /// Whether the client has asked for an orderly end.
    pub fn ended(&self) -> Arc<AtomicBool> {
        self.ended.clone()
    }

    /// How the site at a position stands.
    pub async fn standing(&self, at: TextDocumentPositionParams) -> Result<Option<Standing>> {
        self.at(at, standing::standing).await
    }

    /// Files or folders have gone, or come, by the client's own doing.
    pub(super) async fn moved(&self, gone: Vec<String>, came: Vec<String>) {
        let event = |typ| {
            move |uri: &String| {
                let uri = Uri::from_str(uri).ok()?;
                Some(FileEvent { uri, typ })
            }
        };
        let gone = gone.iter().filter_map(event(FileChangeType::DELETED));
        let came = came.iter().filter_map(event(FileChangeType::CREATED));
        let events = gone.chain(came).collect();
        self.tell(Effort::Long, |owner| owner.watched(events)).await;
    }

    pub(super) fn session(&self) -> Result<&Session> {
        self.session.get().ok_or_else(Error::internal_error)
    }

    /// Answers what a feature says about a position.
    pub(super) fn at<T, F>(
        &self,
        at: TextDocumentPositionParams,
        feature: F,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, F>
    where
        T: Serialize,
        F: FnOnce(&Snapshot, Position) -> Option<T> + Send + 'static,
    {
        let position = at.position;
        self.read(&at.text_document.uri, move |file| {
            Ok(feature(file, position))
        })
    }

    /// Answers what a feature says about a file.
    pub(super) fn of<T, F>(
        &self,
        document: &TextDocumentIdentifier,
        feature: F,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, F>
    where
        T: Serialize,
        F: FnOnce(&Snapshot) -> T + Send + 'static,
    {
        self.read(&document.uri, |file| Ok(Some(feature(file))))
    }

    /// Answers what a feature may have to say about a file; null, if there is no such file.
    /// Posts before it is first awaited. The answer is written out where it is made (see
    /// `written`); the `None` returned here only holds its place.
    pub(super) fn read<T, F>(
        &self,
        uri: &Uri,
        feature: F,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, F>
    where
        T: Serialize,
        F: FnOnce(&Snapshot) -> Result<Option<T>> + Send + 'static,
    {
        let made = self
            .session()
            .map(|session| session.read(uri, move |file| written::text(&feature(file)?)));
        async move {
            if let Some(text) = made?.await? {
                written::leave(text?)?;
            }
            Ok(None)
        }
    }

    /// The same of what a feature says about all files.
    pub(super) fn read_all<T, F>(
        &self,
        feature: F,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, F>
    where
        T: Serialize,
        F: FnOnce(&Everything) -> T + Send + 'static,
    {
        let made = self
            .session()
            .map(|session| session.read_all(move |all| written::text(&feature(all))));
        async move {
            written::leave(made?.await??)?;
            Ok(None)
        }
    }

    /// Has the owner do something. Posts before it is first awaited.
    pub(super) fn tell<W>(
        &self,
        effort: Effort,
        work: W,
    ) -> impl Future<Output = ()> + Send + use<W>
    where
        W: FnOnce(&mut Owner) + Send + 'static,
    {
        let told = self.session().map(|session| session.tell(effort, work));
        async move {
            if let Ok(told) = told {
                told.await;
            }
        }
    }
}
