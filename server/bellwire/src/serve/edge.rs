//! What an answer must know of the client: how it counts columns, what it calls files,
//! what it can show.

use std::ops::Range;
use std::sync::Arc;

use bellwire_assist::plain;
use bellwire_plan::library;
use bellwire_plan::source::{Encoding, File, FilePath, Text};
use dashmap::DashMap;
use tower_lsp::ls_types::{self as lsp, ClientCapabilities, Location, MarkupKind, Uri};

use super::convert::{self, Places};
use super::shelf;

/// What a client can show.
#[derive(Debug, Clone, Copy, Default)]
pub struct Can {
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
    /// Edits with the version that they are for.
    pub versioned_edits: bool,
    /// An outline that is nested.
    pub nests_symbols: bool,
}

impl Can {
    /// What a client says of itself.
    pub fn new(client: &ClientCapabilities) -> Can {
        let document = client.text_document.as_ref();
        let item = document.and_then(|of| of.completion.as_ref()?.completion_item.as_ref());
        let formats = document.and_then(|of| of.hover.as_ref()?.content_format.as_ref());
        let beside = item.and_then(|item| item.documentation_format.as_ref());
        let outline = document.and_then(|of| of.document_symbol.as_ref());
        let window = client.window.as_ref();
        let publish = document.and_then(|of| of.publish_diagnostics.as_ref());
        let workspace = client.workspace.as_ref();
        let edit = workspace.and_then(|of| of.workspace_edit.as_ref());
        Can {
            versioned_edits: edit.and_then(|of| of.document_changes) == Some(true),
            nests_symbols: outline.and_then(|of| of.hierarchical_document_symbol_support)
                == Some(true),
            snippets: item.and_then(|item| item.snippet_support) == Some(true),
            markdown: prefers_markdown(formats),
            markdown_beside: prefers_markdown(beside),
            links_codes: publish.and_then(|of| of.code_description_support) == Some(true),
            shows_documents: window
                .and_then(|of| of.show_document.as_ref())
                .is_some_and(|of| of.support),
        }
    }
}

/// Whether Markdown is what a client would rather have; it names what it takes, best first.
fn prefers_markdown(formats: Option<&Vec<MarkupKind>>) -> bool {
    formats.is_some_and(|formats| formats.first() == Some(&MarkupKind::Markdown))
}

/// Markdown as such, or made into plain text.
pub fn markup(is_markdown: bool, text: String) -> lsp::MarkupContent {
    let (kind, value) = match is_markdown {
        true => (MarkupKind::Markdown, text),
        false => (MarkupKind::PlainText, plain(&text)),
    };
    lsp::MarkupContent {
        kind,
        value: convert::shown(&value),
    }
}

/// The client's side of places. Cheap to clone.
#[derive(Debug, Clone)]
pub struct Edge {
    /// What columns count.
    pub encoding: Encoding,
    /// What it can show.
    pub can: Can,
    /// What it calls the documents that it has open.
    uris: Arc<DashMap<FilePath, Uri>>,
}

impl Edge {
    /// The edge to a client that has no documents open.
    pub fn new(client: &ClientCapabilities) -> Edge {
        Edge {
            encoding: convert::encoding(client),
            can: Can::new(client),
            uris: Arc::default(),
        }
    }

    /// Notes what the client calls a document that it opens.
    pub fn opened(&self, name: FilePath, uri: Uri) {
        self.uris.insert(name, uri);
    }

    /// Notes that a document is open no longer.
    pub fn closed(&self, name: &FilePath) {
        self.uris.remove(name);
    }

    /// The URI of a file; one of the built-in library is put where editors can read it.
    pub fn uri(&self, name: &FilePath) -> Option<Uri> {
        if let Some(uri) = self.uris.get(name) {
            return Some(uri.clone());
        }
        match library::file(name) {
            Some(_) => Uri::from_file_path(shelf::library_file(name)?),
            None => convert::uri(name),
        }
    }

    /// The places of a text, as the client counts them.
    pub fn places<'a>(&self, text: &'a Text) -> Places<'a> {
        Places::new(text, self.encoding)
    }

    /// A place in any file.
    pub fn location(&self, file: &File, range: &Range<usize>) -> Option<Location> {
        Some(Location {
            uri: self.uri(file.path())?,
            range: self.places(file.text()).range(range),
        })
    }
}
