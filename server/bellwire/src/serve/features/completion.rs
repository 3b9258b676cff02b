//! What may be written at the cursor.

use bellwire_assist::{self as assist, Completion, CompletionKind};
use serde_json::Value;
use tower_lsp::ls_types::{
    CompletionItem, CompletionItemKind, CompletionResponse, CompletionTextEdit, Documentation,
    InsertTextFormat, Position, TextEdit,
};

use super::edit::text_edits;
use crate::serve::shown::markup;
use crate::serve::shown::shown;
use crate::serve::snapshot::{Everything, Snapshot};

/// The list at a position.
pub fn complete(file: &Snapshot, position: Position) -> CompletionResponse {
    let found = assist::complete(&file.view, &file.entry, file.offset(position));
    CompletionResponse::Array(found.into_iter().map(|found| item(file, found)).collect())
}

/// An item with its description, which the list comes without.
pub fn resolve(all: &Everything, mut item: CompletionItem) -> CompletionItem {
    let key = item.data.as_ref().and_then(Value::as_str);
    let text = key.and_then(|key| assist::document(&all.view, key));
    let text = text.map(|text| markup(all.edge.can.markdown_beside, text));
    item.documentation = text.map(Documentation::MarkupContent);
    item
}

fn item(file: &Snapshot, found: Completion) -> CompletionItem {
    let snippet = found.snippet.filter(|_| file.edge.can.snippets);
    let format = snippet.is_some().then_some(InsertTextFormat::SNIPPET);
    let edit = TextEdit::new(file.range(&found.replace), snippet.unwrap_or(found.insert));
    let extra = text_edits(file.positions(), found.extra);
    CompletionItem {
        // The protocol's default, said all the same: some clients filter by nothing else.
        filter_text: Some(found.filter.unwrap_or_else(|| found.label.clone())),
        label: shown(&found.label),
        kind: Some(kind(found.kind)),
        detail: found.detail.as_deref().map(shown),
        sort_text: Some(found.sort),
        insert_text_format: format,
        text_edit: Some(CompletionTextEdit::Edit(edit)),
        additional_text_edits: (!extra.is_empty()).then_some(extra),
        data: found.key.map(Value::String),
        ..CompletionItem::default()
    }
}

fn kind(kind: CompletionKind) -> CompletionItemKind {
    match kind {
        CompletionKind::Word => CompletionItemKind::KEYWORD,
        CompletionKind::Model => CompletionItemKind::CLASS,
        CompletionKind::Declaration => CompletionItemKind::INTERFACE,
        CompletionKind::Thing => CompletionItemKind::VARIABLE,
        CompletionKind::Terminal => CompletionItemKind::PROPERTY,
        CompletionKind::Number => CompletionItemKind::VALUE,
        CompletionKind::Unit => CompletionItemKind::UNIT,
        CompletionKind::Choice => CompletionItemKind::ENUM_MEMBER,
        CompletionKind::File => CompletionItemKind::FILE,
        CompletionKind::Code => CompletionItemKind::CONSTANT,
    }
}
