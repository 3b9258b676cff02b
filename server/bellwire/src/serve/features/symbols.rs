//! The outline of a file.

use bellwire_assist::{self as assist, Symbol};
use tower_lsp::ls_types::{DocumentSymbol, DocumentSymbolResponse};

use super::thing::symbol_kind;
use crate::serve::snapshot::Snapshot;

/// How deep symbols are nested at most. Plans stay far below; many readers of
/// JSON refuse to go far beyond.
const DEEPEST: usize = 24;

/// Everything that is declared in a file, nested as it stands there.
pub fn outline(file: &Snapshot) -> DocumentSymbolResponse {
    let symbols = assist::outline(&file.entry);
    DocumentSymbolResponse::Nested(
        symbols
            .into_iter()
            .map(|symbol| convert(file, symbol, DEEPEST))
            .collect(),
    )
}

fn convert(file: &Snapshot, symbol: Symbol, levels: usize) -> DocumentSymbol {
    let children: Vec<_> = symbol
        .children
        .into_iter()
        .take(if levels > 0 { usize::MAX } else { 0 })
        .map(|child| convert(file, child, levels - 1))
        .collect();
    #[allow(deprecated, reason = "the type has a field that is superseded by tags")]
    DocumentSymbol {
        // The protocol forbids empty names.
        name: match symbol.name.is_empty() {
            true => "(no name)".to_string(),
            false => symbol.name,
        },
        detail: (!symbol.detail.is_empty()).then_some(symbol.detail),
        kind: symbol_kind(symbol.thing),
        tags: None,
        deprecated: None,
        range: file.range(&symbol.range),
        selection_range: file.range(&symbol.name_range),
        children: (!children.is_empty()).then_some(children),
    }
}
