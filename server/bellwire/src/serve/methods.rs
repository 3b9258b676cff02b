//! The protocol's methods, each a line or two.

use std::path::PathBuf;
use std::sync::atomic::Ordering;

use serde_json::Value;
use tower_lsp::LanguageServer;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::request::*;
use tower_lsp::ls_types::*;

use super::backend::Backend;
use super::features::{
    actions, completion, definition, feeds, folding, format, hints, hover, links, pull, references,
    rename, symbols, tokens,
};
use super::mailbox::Effort;
use super::session::Session;
use super::{client, convert};
use crate::paths;

impl LanguageServer for Backend {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let (session, result) = Session::begin(self.client.clone(), &self.outlet, params)?;
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
        self.session()?.settled().await
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        self.tell(Effort::Long, |owner| owner.open(params.text_document))
            .await;
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        let document = params.text_document;
        self.tell(Effort::Quick, move |owner| {
            owner.change(&document.uri, document.version, params.content_changes)
        })
        .await;
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        if let Ok(session) = self.session() {
            let name = session.file_name(&params.text_document.uri);
            self.tokens.forget(&name);
            session.forget(&name);
        }
        self.tell(Effort::Long, move |owner| {
            owner.close(&params.text_document.uri)
        })
        .await;
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        self.tell(Effort::Long, |owner| owner.watched(params.changes))
            .await;
    }

    async fn did_create_files(&self, params: CreateFilesParams) {
        let came = params.files.into_iter().map(|file| file.uri);
        self.moved(Vec::new(), came.collect()).await;
    }

    async fn did_rename_files(&self, params: RenameFilesParams) {
        let files = params.files.into_iter();
        let (gone, came) = files.map(|file| (file.old_uri, file.new_uri)).unzip();
        self.moved(gone, came).await;
    }

    async fn did_delete_files(&self, params: DeleteFilesParams) {
        let gone = params.files.into_iter().map(|file| file.uri);
        self.moved(gone.collect(), Vec::new()).await;
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        let path = |folder: &WorkspaceFolder| paths::path(&convert::file_name(&folder.uri));
        let added: Vec<PathBuf> = params.event.added.iter().map(path).collect();
        let removed: Vec<PathBuf> = params.event.removed.iter().map(path).collect();
        let fresh = added.clone();
        self.tell(Effort::Long, move |owner| {
            owner.change_roots(&removed, added)
        })
        .await;
        if let (Ok(session), false) = (self.session().cloned(), fresh.is_empty()) {
            let watched = std::future::ready(false);
            tokio::spawn(async move { session.read_folders(fresh, watched).await });
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
        self.at(params.text_document_position_params, definition::definition)
            .await
    }

    async fn goto_declaration(
        &self,
        params: GotoDeclarationParams,
    ) -> Result<Option<GotoDeclarationResponse>> {
        self.at(params.text_document_position_params, definition::definition)
            .await
    }

    async fn goto_type_definition(
        &self,
        params: GotoTypeDefinitionParams,
    ) -> Result<Option<GotoTypeDefinitionResponse>> {
        self.at(
            params.text_document_position_params,
            definition::type_definition,
        )
        .await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let with_declaration = params.context.include_declaration;
        self.of(&at.text_document, move |file| {
            references::references(file, at.position, with_declaration)
        })
        .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        self.at(params.text_document_position_params, references::highlights)
            .await
    }

    async fn linked_editing_range(
        &self,
        params: LinkedEditingRangeParams,
    ) -> Result<Option<LinkedEditingRanges>> {
        self.at(params.text_document_position_params, references::linked)
            .await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        self.read(&params.text_document.uri, move |file| {
            rename::prepare(file, params.position).map(Some)
        })
        .await
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let at = params.text_document_position;
        self.read(&at.text_document.uri, move |file| {
            rename::rename(file, at.position, &params.new_name).map(Some)
        })
        .await
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        self.of(&params.text_document, symbols::outline).await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.of(&params.text_document, links::links).await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.of(&params.text_document, folding::folds).await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.of(&params.text_document, move |file| {
            folding::selections(file, &params.positions)
        })
        .await
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let known = params.previous_result_id;
        let report = self.of(&params.text_document, move |file| {
            pull::one(file, known.as_deref())
        });
        Ok(report.await?.unwrap_or_else(pull::none))
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        let report = self.read_all(move |all| pull::all(all, params.previous_result_ids));
        let place = || WorkspaceDiagnosticReport::default().into();
        Ok(report.await?.unwrap_or_else(place))
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        self.at(params.text_document_position_params, hover::hover)
            .await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        self.at(params.text_document_position, |file, at| {
            Some(completion::complete(file, at))
        })
        .await
    }

    async fn completion_resolve(&self, params: CompletionItem) -> Result<CompletionItem> {
        let item = self.read_all(move |all| completion::resolve(all, params));
        Ok(item.await?.unwrap_or_default())
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        self.of(&params.text_document, move |file| {
            actions::actions(file, params.range, &params.context)
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.of(&params.text_document, hints::lenses).await
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        let place = params.arguments.into_iter().next().unwrap_or_default();
        match (params.command.as_str(), serde_json::from_value(place)) {
            (hints::GO, Ok(place)) => {
                let client = self.client.clone();
                tokio::spawn(async move { client::go(&client, place).await });
                Ok(None)
            }
            _ => Err(Error::invalid_params("there is no such command")),
        }
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        self.of(&params.text_document, move |file| {
            hints::hints(file, params.range)
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let sent = self.tokens.clone();
        self.of(&params.text_document, move |file| {
            tokens::full(file, &sent).into()
        })
        .await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let (sent, known) = (self.tokens.clone(), params.previous_result_id);
        self.of(&params.text_document, move |file| {
            tokens::delta(file, &known, &sent)
        })
        .await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        self.of(&params.text_document, move |file| {
            tokens::part(file, params.range).into()
        })
        .await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.of(&params.text_document, format::whole).await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.of(&params.text_document, move |file| {
            format::range(file, params.range)
        })
        .await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let at = params.text_document_position;
        self.of(&at.text_document, move |file| {
            format::typed(file, at.position, &params.ch)
        })
        .await
    }

    async fn prepare_call_hierarchy(
        &self,
        params: CallHierarchyPrepareParams,
    ) -> Result<Option<Vec<CallHierarchyItem>>> {
        self.at(params.text_document_position_params, feeds::prepare)
            .await
    }

    async fn incoming_calls(
        &self,
        params: CallHierarchyIncomingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyIncomingCall>>> {
        let of = params.item;
        self.read(&of.uri.clone(), move |file| {
            Ok(Some(feeds::incoming(file, &of)))
        })
        .await
    }

    async fn outgoing_calls(
        &self,
        params: CallHierarchyOutgoingCallsParams,
    ) -> Result<Option<Vec<CallHierarchyOutgoingCall>>> {
        let of = params.item;
        self.read(&of.uri.clone(), move |file| {
            Ok(Some(feeds::outgoing(file, &of)))
        })
        .await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<WorkspaceSymbolResponse>> {
        self.read_all(move |all| symbols::search(all, &params.query))
            .await
    }

    async fn will_rename_files(&self, params: RenameFilesParams) -> Result<Option<WorkspaceEdit>> {
        self.read_all(move |all| rename::files(all, &params.files))
            .await
    }
}
