//! What feeds what, as the protocol's hierarchy of calls: callers feed, callees are fed.

use bellwire_assist::{self as assist, Fed};
use tower_lsp::ls_types::{
    CallHierarchyIncomingCall, CallHierarchyItem, CallHierarchyOutgoingCall, Position,
};

use super::thing::symbol_kind;
use crate::serve::shown::shown;
use crate::serve::snapshot::Snapshot;

/// The thing at a position.
pub fn prepare(file: &Snapshot, position: Position) -> Option<Vec<CallHierarchyItem>> {
    let fed = assist::fed_at(&file.entry, file.offset(position))?;
    Some(vec![item(file, fed)?])
}

/// What feeds it.
pub fn incoming(file: &Snapshot, of: &CallHierarchyItem) -> Vec<CallHierarchyIncomingCall> {
    let steps = assist::fed_by(&file.entry, offset(file, of)).into_iter();
    let call = |step: assist::Step| {
        Some(CallHierarchyIncomingCall {
            from: item(file, step.to)?,
            from_ranges: step.cables.iter().map(|cable| file.range(cable)).collect(),
        })
    };
    steps.filter_map(call).collect()
}

/// What it feeds.
pub fn outgoing(file: &Snapshot, of: &CallHierarchyItem) -> Vec<CallHierarchyOutgoingCall> {
    let steps = assist::feeds(&file.entry, offset(file, of)).into_iter();
    let call = |step: assist::Step| {
        Some(CallHierarchyOutgoingCall {
            to: item(file, step.to)?,
            from_ranges: step.cables.iter().map(|cable| file.range(cable)).collect(),
        })
    };
    steps.filter_map(call).collect()
}

/// The end of its name leads back to it.
fn offset(file: &Snapshot, of: &CallHierarchyItem) -> usize {
    file.offset(of.selection_range.end)
}

fn item(file: &Snapshot, fed: Fed) -> Option<CallHierarchyItem> {
    Some(CallHierarchyItem {
        name: shown(&fed.name),
        kind: symbol_kind(fed.thing),
        tags: None,
        detail: (!fed.label.is_empty()).then(|| shown(&fed.label)),
        uri: file.edge.uri(file.name())?,
        range: file.range(&fed.range),
        selection_range: file.range(&fed.name_range),
        data: None,
    })
}
