//! What every word is, for colours. What has been sent is kept, so that after
//! an edit only the difference goes over the line.

use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use bellwire_assist::{self as assist, TokenKind};
use bellwire_plan::source::FilePath;
use dashmap::DashMap;
use tower_lsp::ls_types::*;

use crate::serve::snapshot::Snapshot;

/// What was sent last for each file, with its number.
#[derive(Debug, Clone, Default)]
pub struct Sent {
    files: Arc<DashMap<FilePath, Answer>>,
    next: Arc<AtomicU64>,
}

/// An answer's number, and its tokens.
type Answer = (String, Arc<Vec<SemanticToken>>);

impl Sent {
    /// Forgets a file.
    pub fn forget(&self, name: &FilePath) {
        self.files.remove(name);
    }

    fn keep(&self, name: &FilePath, tokens: &[SemanticToken]) -> Option<String> {
        let id = self.next.fetch_add(1, Ordering::Relaxed).to_string();
        let kept = (id.clone(), Arc::new(tokens.to_vec()));
        self.files.insert(name.clone(), kept);
        Some(id)
    }
}

/// The kinds and marks, in the order of their numbers.
pub fn legend() -> SemanticTokensLegend {
    let kinds = TokenKind::ALL.iter();
    SemanticTokensLegend {
        token_types: kinds
            .map(|kind| SemanticTokenType::new(kind.name()))
            .collect(),
        token_modifiers: vec![
            SemanticTokenModifier::DECLARATION,
            SemanticTokenModifier::DEFAULT_LIBRARY,
        ],
    }
}

/// All tokens of a file.
pub fn full(file: &Snapshot, sent: &Sent) -> SemanticTokens {
    let data = encode(file, 0..file.text().len());
    SemanticTokens {
        result_id: sent.keep(file.name(), &data),
        data,
    }
}

/// The tokens in a range.
pub fn part(file: &Snapshot, range: tower_lsp::ls_types::Range) -> SemanticTokens {
    SemanticTokens {
        result_id: None,
        data: encode(file, file.bytes(range)),
    }
}

/// What changed since the answer `known`; all tokens, if that is not the last one.
pub fn delta(file: &Snapshot, known: &str, sent: &Sent) -> SemanticTokensFullDeltaResult {
    let before = sent.files.get(file.name()).map(|last| last.clone());
    let Some((_, before)) = before.filter(|(id, _)| id == known) else {
        return SemanticTokensFullDeltaResult::Tokens(full(file, sent));
    };
    let mut data = encode(file, 0..file.text().len());
    let result_id = sent.keep(file.name(), &data);
    let edits = assist::delta(&before, &data).map(|splice| SemanticTokensEdit {
        // The protocol counts numbers, of which a token has five.
        start: 5 * splice.start as u32,
        delete_count: 5 * splice.removed as u32,
        data: Some(data.drain(splice.inserted).collect()),
    });
    SemanticTokensFullDeltaResult::TokensDelta(SemanticTokensDelta {
        result_id,
        edits: edits.into_iter().collect(),
    })
}

/// The tokens, each by its distance from the one before.
fn encode(file: &Snapshot, bytes: Range<usize>) -> Vec<SemanticToken> {
    let mut positions = file.positions();
    let mut before = Position::new(0, 0);
    let tokens = assist::tokens(&file.entry, bytes).into_iter();
    tokens
        .map(|token| {
            let range = positions.range(&token.range);
            let start = range.start;
            let same_line = start.line == before.line;
            let column = if same_line { before.character } else { 0 };
            let delta_line = start.line - before.line;
            before = start;
            SemanticToken {
                delta_line,
                delta_start: start.character - column,
                length: range.end.character - start.character,
                token_type: token.kind as u32,
                token_modifiers_bitset: u32::from(token.is_declaration)
                    | u32::from(token.is_built_in) << 1,
            }
        })
        .collect()
}
