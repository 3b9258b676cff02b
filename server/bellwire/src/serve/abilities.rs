//! What a client can do, as it says of itself. Read once, here alone.

use bellwire_plan::source::Encoding;
use tower_lsp::ls_types::{ClientCapabilities, MarkupKind, PositionEncodingKind};

/// What a client can do.
#[derive(Debug, Clone, Copy)]
pub struct Abilities {
    /// What it counts columns in.
    pub encoding: Encoding,
    /// Tab stops in completions.
    pub snippets: bool,
    /// Markdown in hovers, rather than plain text.
    pub markdown: bool,
    /// Markdown beside completions.
    pub markdown_beside: bool,
    /// A link at the code of a finding.
    pub links_codes: bool,
    /// A place that the server sends it to.
    pub shows_documents: bool,
    /// How far the server is with something.
    pub shows_progress: bool,
    /// Edits with the version that they are for.
    pub versioned_edits: bool,
    /// An outline that is nested.
    pub nests_symbols: bool,
    /// Actions that hold their changes; other clients take commands alone, and get nothing.
    pub takes_changes: bool,
    /// To ask first whether something can be renamed.
    pub prepares_renames: bool,
    /// To tell of files that change outside of it, once it is asked to.
    pub watches_files: bool,
    /// To be asked for its settings.
    pub gives_settings: bool,
    /// To ask for findings again when it is told to.
    pub refreshes_findings: bool,
    /// The same for hints.
    pub refreshes_hints: bool,
    /// The same for lenses.
    pub refreshes_lenses: bool,
}

impl Abilities {
    /// What a client says of itself.
    pub fn new(client: &ClientCapabilities) -> Abilities {
        let can = |said: Option<bool>| said == Some(true);
        let window = client.window.as_ref();
        let shows = window.and_then(|of| of.show_document.as_ref());
        let document = client.text_document.as_ref();
        let item = document.and_then(|of| of.completion.as_ref()?.completion_item.as_ref());
        let hover = document.and_then(|of| of.hover.as_ref()?.content_format.as_ref());
        let outline = document.and_then(|of| of.document_symbol.as_ref());
        let publish = document.and_then(|of| of.publish_diagnostics.as_ref());
        let actions = document.and_then(|of| of.code_action.as_ref());
        let rename = document.and_then(|of| of.rename.as_ref());
        let workspace = client.workspace.as_ref();
        let edit = workspace.and_then(|of| of.workspace_edit.as_ref());
        let watching = workspace.and_then(|of| of.did_change_watched_files.as_ref());
        let findings = workspace.and_then(|of| of.diagnostics.as_ref());
        let hints = workspace.and_then(|of| of.inlay_hint.as_ref());
        let lenses = workspace.and_then(|of| of.code_lens.as_ref());
        Abilities {
            encoding: encoding(client),
            snippets: can(item.and_then(|of| of.snippet_support)),
            markdown: prefers_markdown(hover),
            markdown_beside: prefers_markdown(item.and_then(|of| of.documentation_format.as_ref())),
            links_codes: can(publish.and_then(|of| of.code_description_support)),
            shows_documents: shows.is_some_and(|of| of.support),
            shows_progress: can(window.and_then(|of| of.work_done_progress)),
            versioned_edits: can(edit.and_then(|of| of.document_changes)),
            nests_symbols: can(outline.and_then(|of| of.hierarchical_document_symbol_support)),
            takes_changes: actions.is_some_and(|of| of.code_action_literal_support.is_some()),
            prepares_renames: can(rename.and_then(|of| of.prepare_support)),
            watches_files: can(watching.and_then(|of| of.dynamic_registration)),
            gives_settings: can(workspace.and_then(|of| of.configuration)),
            refreshes_findings: can(findings.and_then(|of| of.refresh_support)),
            refreshes_hints: can(hints.and_then(|of| of.refresh_support)),
            refreshes_lenses: can(lenses.and_then(|of| of.refresh_support)),
        }
    }
}

/// Bytes, if the client can count those, then characters, then the protocol's own.
fn encoding(client: &ClientCapabilities) -> Encoding {
    let offered = client.general.as_ref();
    let offered = offered.and_then(|general| general.position_encodings.as_ref());
    let offers = |kind| offered.is_some_and(|offered| offered.contains(&kind));
    if offers(PositionEncodingKind::UTF8) {
        Encoding::Utf8
    } else if offers(PositionEncodingKind::UTF32) {
        Encoding::Utf32
    } else {
        Encoding::Utf16
    }
}

/// Whether Markdown is what a client would rather have; it names what it takes, best first.
fn prefers_markdown(formats: Option<&Vec<MarkupKind>>) -> bool {
    formats.is_some_and(|formats| formats.first() == Some(&MarkupKind::Markdown))
}
