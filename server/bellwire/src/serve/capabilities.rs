//! What the server can do, as told to the client.

use serde_json::json;
use tower_lsp::ls_types::*;

use super::abilities::Abilities;
use super::convert;
use super::features::{actions, hints, standing, tokens};

/// The server's side of the introduction.
pub fn capabilities(client: Abilities, pulls: bool) -> ServerCapabilities {
    ServerCapabilities {
        position_encoding: Some(convert::encoding_kind(client.encoding)),
        text_document_sync: Some(
            TextDocumentSyncOptions {
                open_close: Some(true),
                change: Some(TextDocumentSyncKind::INCREMENTAL),
                ..TextDocumentSyncOptions::default()
            }
            .into(),
        ),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(CompletionOptions {
            resolve_provider: Some(true),
            trigger_characters: Some([" ", ".", ":", "\"", "/", "+"].map(String::from).into()),
            ..CompletionOptions::default()
        }),
        code_action_provider: client.takes_changes.then(|| {
            CodeActionProviderCapability::Options(CodeActionOptions {
                code_action_kinds: Some(vec![CodeActionKind::QUICKFIX, actions::FIX_ALL]),
                ..CodeActionOptions::default()
            })
        }),
        code_lens_provider: Some(CodeLensOptions {
            resolve_provider: Some(false),
        }),
        execute_command_provider: Some(ExecuteCommandOptions {
            commands: vec![hints::GO.into()],
            ..ExecuteCommandOptions::default()
        }),
        inlay_hint_provider: Some(OneOf::Left(true)),
        semantic_tokens_provider: Some(
            SemanticTokensOptions {
                legend: tokens::legend(),
                range: Some(true),
                full: Some(SemanticTokensFullOptions::Delta { delta: Some(true) }),
                ..SemanticTokensOptions::default()
            }
            .into(),
        ),
        document_formatting_provider: Some(OneOf::Left(true)),
        document_range_formatting_provider: Some(OneOf::Left(true)),
        document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
            first_trigger_character: "}".into(),
            more_trigger_character: Some(vec!["\n".into()]),
        }),
        call_hierarchy_provider: Some(CallHierarchyServerCapability::Simple(true)),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        definition_provider: Some(OneOf::Left(true)),
        declaration_provider: Some(DeclarationCapability::Simple(true)),
        type_definition_provider: Some(TypeDefinitionProviderCapability::Simple(true)),
        references_provider: Some(OneOf::Left(true)),
        document_highlight_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        document_link_provider: Some(DocumentLinkOptions {
            resolve_provider: Some(false),
            work_done_progress_options: WorkDoneProgressOptions::default(),
        }),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
        linked_editing_range_provider: Some(LinkedEditingRangeServerCapabilities::Simple(true)),
        rename_provider: Some(match client.prepares_renames {
            true => OneOf::Right(RenameOptions {
                prepare_provider: Some(true),
                work_done_progress_options: WorkDoneProgressOptions::default(),
            }),
            false => OneOf::Left(true),
        }),
        diagnostic_provider: pulls.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("bellwire".into()),
                inter_file_dependencies: true,
                workspace_diagnostics: true,
                work_done_progress_options: WorkDoneProgressOptions::default(),
            })
        }),
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: Some(WorkspaceFileOperationsServerCapabilities {
                will_rename: Some(moved_paths()),
                // A client that is asked to watch plans alone does not tell of their folders.
                did_create: Some(moved_paths()),
                did_rename: Some(moved_paths()),
                did_delete: Some(moved_paths()),
                ..WorkspaceFileOperationsServerCapabilities::default()
            }),
        }),
        // Requests of our own.
        experimental: Some(json!({ standing::STANDING: true })),
        ..ServerCapabilities::default()
    }
}

/// Plans and the folders that they may be in.
fn moved_paths() -> FileOperationRegistrationOptions {
    let filter = |glob: &str, kind| FileOperationFilter {
        scheme: Some("file".into()),
        pattern: FileOperationPattern {
            glob: glob.into(),
            matches: Some(kind),
            options: None,
        },
    };
    FileOperationRegistrationOptions {
        filters: vec![
            filter("**/*.bell", FileOperationPatternKind::File),
            filter("**", FileOperationPatternKind::Folder),
        ],
    }
}
