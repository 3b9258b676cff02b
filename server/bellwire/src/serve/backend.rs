//! The protocol's methods, each one line: post to the owner, or answer from a snapshot.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::request::*;
use tower_lsp::ls_types::*;
use tower_lsp::{Client, LanguageServer};

use super::edge::Edge;
use super::features::tokens;
use super::mailbox::Mailbox;
use super::owner::Owner;
use super::publisher::{Publisher, Wants};
use super::settings::{Delivery, Settings};
use super::snapshot::{Everything, Snapshot};
use super::{capabilities, client, convert, features, reader};
use crate::disk;

/// The server, as the protocol sees it.
pub struct Backend {
    client: Client,
    session: OnceLock<Session>,
    ended: Arc<AtomicBool>,
    tokens: tokens::Sent,
}

/// What is known once the client has introduced itself.
struct Session {
    mailbox: Mailbox<Owner>,
    abilities: ClientCapabilities,
}

impl Backend {
    /// A server that waits for its client.
    pub fn new(client: Client) -> Backend {
        Backend {
            client,
            session: OnceLock::new(),
            ended: Arc::default(),
            tokens: tokens::Sent::default(),
        }
    }

    /// Whether the client has asked for an orderly end.
    pub fn ended(&self) -> Arc<AtomicBool> {
        self.ended.clone()
    }

    /// Answers a message that nothing could be made of.
    pub async fn unreadable(&self) -> Result<Value> {
        Err(Error::parse_error())
    }

    fn session(&self) -> Result<&Session> {
        self.session.get().ok_or_else(Error::internal_error)
    }

    /// Has the owner do something, and waits until it is done, so that no more
    /// work piles up than messages are let in at once.
    fn tell<W: FnOnce(&mut Owner) + Send + 'static>(
        &self,
        work: W,
    ) -> impl Future<Output = ()> + Send + use<W> {
        let posted = self.session().map(|session| session.mailbox.post(work));
        async move {
            if let Ok(posted) = posted {
                // The fault has been logged where it happened.
                let _ = posted.await;
            }
        }
    }

    /// Answers from the file that a request is about; nothing, if there is no such file.
    fn read<T, A>(
        &self,
        uri: &Uri,
        answer: A,
    ) -> impl Future<Output = Result<Option<T>>> + Send + use<T, A>
    where
        T: Send + 'static,
        A: FnOnce(&Snapshot) -> Option<T> + Send + 'static,
    {
        let uri = uri.clone();
        let posted = self
            .session()
            .map(|session| session.mailbox.post(move |owner| owner.snapshot(&uri)));
        async move {
            match posted?.await? {
                Some(snapshot) => apart(move || answer(&snapshot)).await,
                None => Ok(None),
            }
        }
    }

    /// Answers from all files.
    fn read_all<T, A>(&self, answer: A) -> impl Future<Output = Result<T>> + Send + use<T, A>
    where
        T: Send + 'static,
        A: FnOnce(&Everything) -> T + Send + 'static,
    {
        let posted = self
            .session()
            .map(|session| session.mailbox.post(Owner::everything));
        async move {
            let everything = posted?.await?;
            apart(move || answer(&everything)).await
        }
    }
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
fn folders(params: &InitializeParams) -> Vec<PathBuf> {
    #[allow(deprecated, reason = "older clients know nothing else")]
    let root = params.root_uri.as_ref();
    let uris: Vec<&Uri> = match &params.workspace_folders {
        Some(folders) if !folders.is_empty() => folders.iter().map(|folder| &folder.uri).collect(),
        _ => root.into_iter().collect(),
    };
    let paths = uris
        .into_iter()
        .map(|uri| disk::path(&convert::file_name(uri)));
    paths.filter(|path| path.is_absolute()).collect()
}

impl LanguageServer for Backend {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let settings = Settings::read(
            params
                .initialization_options
                .as_ref()
                .unwrap_or(&Value::Null),
        );
        let pulls = settings.findings == Delivery::Pull;
        let edge = Edge::new(&params.capabilities);
        let publisher = Publisher::default();
        let wants = Wants::new(&params.capabilities, pulls);
        tokio::spawn(
            publisher
                .clone()
                .run(self.client.clone(), edge.clone(), wants),
        );
        let encoding = edge.encoding;
        let roots = folders(&params);
        let mailbox = Mailbox::start(move || Owner::new(edge, roots, settings, publisher));
        let session = Session {
            mailbox: mailbox.map_err(|_| Error::internal_error())?,
            abilities: params.capabilities.clone(),
        };
        self.session
            .set(session)
            .map_err(|_| Error::invalid_request())?;
        Ok(InitializeResult {
            capabilities: capabilities::capabilities(encoding, &params.capabilities, pulls),
            server_info: Some(ServerInfo {
                name: "bellwire".into(),
                version: Some(env!("CARGO_PKG_VERSION").into()),
            }),
            ..InitializeResult::default()
        })
    }

    async fn initialized(&self, _: InitializedParams) {
        let Ok(session) = self.session() else { return };
        let (client, mailbox) = (self.client.clone(), session.mailbox.clone());
        let abilities = session.abilities.clone();
        let roots = mailbox.post(|owner: &mut Owner| owner.roots());
        tokio::spawn(async move {
            if let Some(settings) = client::settings(&client, &abilities).await {
                let _ = mailbox.post(move |owner| owner.configure(settings)).await;
            }
            client::watch_files(&client, &abilities).await;
            if let Ok(roots) = roots.await {
                reader::read(roots, mailbox, client, &abilities).await;
            }
        });
    }

    async fn shutdown(&self) -> Result<()> {
        self.ended.store(true, Ordering::SeqCst);
        Ok(())
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        self.tell(|owner| owner.open(params.text_document)).await;
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        let document = params.text_document;
        self.tell(move |owner| {
            owner.change(&document.uri, document.version, params.content_changes)
        })
        .await;
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        self.tokens
            .forget(&convert::file_name(&params.text_document.uri));
        self.tell(move |owner| owner.close(&params.text_document.uri))
            .await;
    }

    async fn did_save(&self, _: DidSaveTextDocumentParams) {
        // The text is known; files that use it are too.
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        self.tell(|owner| owner.watched(params.changes)).await;
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        let path = |folder: &WorkspaceFolder| disk::path(&convert::file_name(&folder.uri));
        let added: Vec<PathBuf> = params.event.added.iter().map(path).collect();
        let removed: Vec<PathBuf> = params.event.removed.iter().map(path).collect();
        let fresh = added.clone();
        self.tell(move |owner| {
            let mut roots = owner.roots();
            roots.retain(|root| !removed.contains(root));
            roots.extend(added);
            owner.set_roots(roots);
        })
        .await;
        if let Ok(session) = self.session() {
            let (client, mailbox) = (self.client.clone(), session.mailbox.clone());
            let abilities = session.abilities.clone();
            tokio::spawn(async move { reader::read(fresh, mailbox, client, &abilities).await });
        }
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        let Ok(session) = self.session() else { return };
        let (client, mailbox) = (self.client.clone(), session.mailbox.clone());
        let abilities = session.abilities.clone();
        tokio::spawn(async move {
            let asked = client::settings(&client, &abilities).await;
            let settings = asked.unwrap_or_else(|| Settings::read(&params.settings));
            let _ = mailbox.post(move |owner| owner.configure(settings)).await;
        });
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::definition::definition(file, at.position)
        })
        .await
    }

    async fn goto_declaration(
        &self,
        params: GotoDeclarationParams,
    ) -> Result<Option<GotoDeclarationResponse>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::definition::definition(file, at.position)
        })
        .await
    }

    async fn goto_type_definition(
        &self,
        params: GotoTypeDefinitionParams,
    ) -> Result<Option<GotoTypeDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::definition::type_definition(file, at.position)
        })
        .await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let with_declaration = params.context.include_declaration;
        self.read(&at.text_document.uri, move |file| {
            features::references::references(file, at.position, with_declaration)
        })
        .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::references::highlights(file, at.position)
        })
        .await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let done = self.read(&params.text_document.uri, move |file| {
            Some(features::rename::prepare(file, params.position))
        });
        done.await?.transpose()
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let at = params.text_document_position;
        let done = self.read(&at.text_document.uri, move |file| {
            Some(features::rename::rename(
                file,
                at.position,
                &params.new_name,
            ))
        });
        done.await?.transpose()
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        self.read(&params.text_document.uri, |file| {
            Some(features::symbols::outline(file))
        })
        .await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.read(&params.text_document.uri, |file| {
            Some(features::links::links(file))
        })
        .await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.read(&params.text_document.uri, |file| {
            Some(features::folding::folds(file))
        })
        .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.read(&params.text_document.uri, move |file| {
            Some(features::folding::selections(file, &params.positions))
        })
        .await
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let known = params.previous_result_id;
        let report = self.read(&params.text_document.uri, move |file| {
            Some(features::pull::one(file, known.as_deref()))
        });
        Ok(report.await?.unwrap_or_else(features::pull::none))
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        self.read_all(move |all| features::pull::all(all, params.previous_result_ids))
            .await
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::hover::hover(file, at.position)
        })
        .await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let at = params.text_document_position;
        self.read(&at.text_document.uri, move |file| {
            Some(features::completion::complete(file, at.position))
        })
        .await
    }

    async fn completion_resolve(&self, params: CompletionItem) -> Result<CompletionItem> {
        self.read_all(move |all| features::completion::resolve(all, params))
            .await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        self.read(&params.text_document.uri, move |file| {
            Some(features::actions::actions(
                file,
                params.range,
                &params.context,
            ))
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.read(&params.text_document.uri, |file| {
            Some(features::hints::lenses(file))
        })
        .await
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        let place = params.arguments.into_iter().next().unwrap_or_default();
        match (params.command.as_str(), serde_json::from_value(place)) {
            (features::hints::GO, Ok(place)) => {
                let client = self.client.clone();
                tokio::spawn(async move { client::go(&client, place).await });
                Ok(None)
            }
            _ => Err(Error::invalid_params("there is no such command")),
        }
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        self.read(&params.text_document.uri, move |file| {
            Some(features::hints::hints(file, params.range))
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let sent = self.tokens.clone();
        self.read(&params.text_document.uri, move |file| {
            Some(tokens::full(file, &sent).into())
        })
        .await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let (sent, known) = (self.tokens.clone(), params.previous_result_id);
        self.read(&params.text_document.uri, move |file| {
            Some(tokens::delta(file, &known, &sent))
        })
        .await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        self.read(&params.text_document.uri, move |file| {
            Some(tokens::part(file, params.range).into())
        })
        .await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.read(&params.text_document.uri, |file| {
            Some(features::format::whole(file))
        })
        .await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.read(&params.text_document.uri, move |file| {
            Some(features::format::range(file, params.range))
        })
        .await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let at = params.text_document_position;
        self.read(&at.text_document.uri, move |file| {
            Some(features::format::typed(file, at.position, &params.ch))
        })
        .await
    }

    async fn prepare_call_hierarchy(
        &self,
        params: CallHierarchyPrepareParams,
    ) -> Result<Option<Vec<CallHierarchyItem>>> {
        let at = params.text_document_position_params;
        self.read(&at.text_document.uri, move |file| {
            features::feeds::prepare(file, at.position)
        })
        .await
    }

    async fn incoming_calls(
        &self,
        params: CallHierarchyIncomingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyIncomingCall>>> {
        let of = params.item;
        self.read(&of.uri.clone(), move |file| {
            Some(features::feeds::incoming(file, &of))
        })
        .await
    }

    async fn outgoing_calls(
        &self,
        params: CallHierarchyOutgoingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyOutgoingCall>>> {
        let of = params.item;
        self.read(&of.uri.clone(), move |file| {
            Some(features::feeds::outgoing(file, &of))
        })
        .await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<WorkspaceSymbolResponse>> {
        self.read_all(move |all| Some(features::symbols::search(all, &params.query)))
            .await
    }

    async fn will_rename_files(&self, params: RenameFilesParams) -> Result<Option<WorkspaceEdit>> {
        self.read_all(move |all| Some(features::rename::files(all, &params.files)))
            .await
    }
}
