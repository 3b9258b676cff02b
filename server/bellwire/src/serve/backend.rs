//! The protocol's methods, each one line: post to the owner, or answer from a snapshot.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::request::*;
use tower_lsp::ls_types::*;
use tower_lsp::{Client, LanguageServer};

use super::features::standing::Standing;
use super::features::tokens;
use super::owner::Owner;
use super::session::Session;
use super::{client, convert, features};
use crate::disk;

/// The server, as the protocol sees it.
pub struct Backend {
    client: Client,
    session: OnceLock<Session>,
    ended: Arc<AtomicBool>,
    tokens: tokens::Sent,
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

    /// How the site at a position stands.
    pub async fn standing(&self, at: TextDocumentPositionParams) -> Result<Option<Standing>> {
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::standing::standing(file, at.position)
            })
            .await
    }

    fn session(&self) -> Result<&Session> {
        self.session.get().ok_or_else(Error::internal_error)
    }

    /// Has the owner do something. Posts before it is first awaited.
    fn tell<W>(&self, work: W) -> impl Future<Output = ()> + Send + use<W>
    where
        W: FnOnce(&mut Owner) + Send + 'static,
    {
        let told = self.session().map(|session| session.tell(work));
        async move {
            if let Ok(told) = told {
                told.await;
            }
        }
    }
}

impl LanguageServer for Backend {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let (session, result) = Session::begin(self.client.clone(), params)?;
        let set = self.session.set(session);
        set.map_err(|_| Error::invalid_request())?;
        Ok(result)
    }

    async fn initialized(&self, _: InitializedParams) {
        if let Ok(session) = self.session() {
            session.settle_in();
        }
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
        self.tell(move |owner| owner.change_roots(&removed, added))
            .await;
        if let Ok(session) = self.session().cloned() {
            tokio::spawn(async move { session.read_folders(fresh).await });
        }
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        if let Ok(session) = self.session().cloned() {
            tokio::spawn(async move { session.fetch_settings(Some(&params.settings)).await });
        }
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::definition::definition(file, at.position)
            })
            .await
    }

    async fn goto_declaration(
        &self,
        params: GotoDeclarationParams,
    ) -> Result<Option<GotoDeclarationResponse>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::definition::definition(file, at.position)
            })
            .await
    }

    async fn goto_type_definition(
        &self,
        params: GotoTypeDefinitionParams,
    ) -> Result<Option<GotoTypeDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::definition::type_definition(file, at.position)
            })
            .await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let with_declaration = params.context.include_declaration;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::references::references(file, at.position, with_declaration)
            })
            .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::references::highlights(file, at.position)
            })
            .await
    }

    async fn linked_editing_range(
        &self,
        params: LinkedEditingRangeParams,
    ) -> Result<Option<LinkedEditingRanges>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::references::linked(file, at.position)
            })
            .await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let done = self
            .session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::rename::prepare(file, params.position))
            });
        done.await?.transpose()
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let at = params.text_document_position;
        let done = self.session()?.read(&at.text_document.uri, move |file| {
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
        self.session()?
            .read(&params.text_document.uri, |file| {
                Some(features::symbols::outline(file))
            })
            .await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.session()?
            .read(&params.text_document.uri, |file| {
                Some(features::links::links(file))
            })
            .await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.session()?
            .read(&params.text_document.uri, |file| {
                Some(features::folding::folds(file))
            })
            .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::folding::selections(file, &params.positions))
            })
            .await
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let known = params.previous_result_id;
        let report = self
            .session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::pull::one(file, known.as_deref()))
            });
        Ok(report.await?.unwrap_or_else(features::pull::none))
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        self.session()?
            .read_all(move |all| features::pull::all(all, params.previous_result_ids))
            .await
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::hover::hover(file, at.position)
            })
            .await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let at = params.text_document_position;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                Some(features::completion::complete(file, at.position))
            })
            .await
    }

    async fn completion_resolve(&self, params: CompletionItem) -> Result<CompletionItem> {
        self.session()?
            .read_all(move |all| features::completion::resolve(all, params))
            .await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::actions::actions(
                    file,
                    params.range,
                    &params.context,
                ))
            })
            .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.session()?
            .read(&params.text_document.uri, |file| {
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
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::hints::hints(file, params.range))
            })
            .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let sent = self.tokens.clone();
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(tokens::full(file, &sent).into())
            })
            .await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let (sent, known) = (self.tokens.clone(), params.previous_result_id);
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(tokens::delta(file, &known, &sent))
            })
            .await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(tokens::part(file, params.range).into())
            })
            .await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.session()?
            .read(&params.text_document.uri, |file| {
                Some(features::format::whole(file))
            })
            .await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.session()?
            .read(&params.text_document.uri, move |file| {
                Some(features::format::range(file, params.range))
            })
            .await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let at = params.text_document_position;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                Some(features::format::typed(file, at.position, &params.ch))
            })
            .await
    }

    async fn prepare_call_hierarchy(
        &self,
        params: CallHierarchyPrepareParams,
    ) -> Result<Option<Vec<CallHierarchyItem>>> {
        let at = params.text_document_position_params;
        self.session()?
            .read(&at.text_document.uri, move |file| {
                features::feeds::prepare(file, at.position)
            })
            .await
    }

    async fn incoming_calls(
        &self,
        params: CallHierarchyIncomingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyIncomingCall>>> {
        let of = params.item;
        self.session()?
            .read(&of.uri.clone(), move |file| {
                Some(features::feeds::incoming(file, &of))
            })
            .await
    }

    async fn outgoing_calls(
        &self,
        params: CallHierarchyOutgoingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyOutgoingCall>>> {
        let of = params.item;
        self.session()?
            .read(&of.uri.clone(), move |file| {
                Some(features::feeds::outgoing(file, &of))
            })
            .await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<WorkspaceSymbolResponse>> {
        self.session()?
            .read_all(move |all| Some(features::symbols::search(all, &params.query)))
            .await
    }

    async fn will_rename_files(&self, params: RenameFilesParams) -> Result<Option<WorkspaceEdit>> {
        self.session()?
            .read_all(move |all| Some(features::rename::files(all, &params.files)))
            .await
    }
}
