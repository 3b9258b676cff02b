//! The outline of a file, and finding things in all of them.

use bellwire_assist::{self as assist, Symbol};
use tower_lsp::ls_types::{
    DocumentSymbol, DocumentSymbolResponse, Location, Range, SymbolInformation, Uri,
    WorkspaceSymbolResponse,
};

use super::thing::symbol_kind;
use crate::serve::convert::Positions;
use crate::serve::shown::shown;
use crate::serve::snapshot::{Everything, Snapshot};

/// How deep symbols are nested at most. Plans stay far below; many readers of
/// JSON refuse to go far beyond.
const DEEPEST: usize = 24;

/// Everything that is declared in a file, nested as it stands there; for a client
/// that knows no other way one after the other, each with what it is in.
pub fn outline(file: &Snapshot) -> DocumentSymbolResponse {
    let symbols = assist::outline(&file.entry).into_iter();
    let mut positions = file.positions();
    let nested = symbols.map(|symbol| convert(&mut positions, symbol, DEEPEST));
    let nested: Vec<_> = nested.collect();
    let uri = file.edge.uri(file.name());
    match uri.filter(|_| !file.edge.can.nests_symbols) {
        None => DocumentSymbolResponse::Nested(nested),
        Some(uri) => {
            let mut flat = Vec::new();
            flatten(nested, None, &uri, &mut flat);
            DocumentSymbolResponse::Flat(flat)
        }
    }
}

fn flatten(
    nested: Vec<DocumentSymbol>,
    within: Option<&str>,
    uri: &Uri,
    flat: &mut Vec<SymbolInformation>,
) {
    for symbol in nested {
        let children = symbol.children.unwrap_or_default();
        #[allow(deprecated, reason = "the type has a field that is superseded by tags")]
        flat.push(SymbolInformation {
            name: symbol.name.clone(),
            kind: symbol.kind,
            tags: None,
            deprecated: None,
            location: Location::new(uri.clone(), symbol.range),
            container_name: within.map(str::to_string),
        });
        flatten(children, Some(&symbol.name), uri, flat);
    }
}

/// How many things are found at most; whoever wants another types one more letter.
const MOST: usize = 256;

/// The things of all files that fit a few letters best.
pub fn search(all: &Everything, query: &str) -> WorkspaceSymbolResponse {
    let found = assist::symbols(&all.view, query, MOST).into_iter();
    let symbol = |found: assist::FoundSymbol| {
        #[allow(deprecated, reason = "the type has a field that is superseded by tags")]
        Some(SymbolInformation {
            location: all.edge.location(&found.file, &found.range)?,
            name: match found.label.is_empty() {
                true => shown(&found.name),
                false => shown(&format!("{} {}", found.name, found.label)),
            },
            kind: symbol_kind(found.thing),
            tags: None,
            deprecated: None,
            container_name: found.site.as_deref().map(shown),
        })
    };
    WorkspaceSymbolResponse::Flat(found.filter_map(symbol).collect())
}

fn convert(positions: &mut Positions, symbol: Symbol, levels: usize) -> DocumentSymbol {
    // In the order of the text: start, name, children, end.
    let start = positions.position(symbol.range.start);
    let selection_range = positions.range(&symbol.name_range);
    let children: Option<Vec<_>> = levels.checked_sub(1).map(|levels| {
        let children = symbol.children.into_iter();
        children
            .map(|child| convert(positions, child, levels))
            .collect()
    });
    #[allow(deprecated, reason = "the type has a field that is superseded by tags")]
    DocumentSymbol {
        name: shown(&symbol.name),
        detail: (!symbol.detail.is_empty()).then(|| shown(&symbol.detail)),
        kind: symbol_kind(symbol.thing),
        tags: None,
        deprecated: None,
        range: Range::new(start, positions.position(symbol.range.end)),
        selection_range,
        children: children.filter(|children| !children.is_empty()),
    }
}
