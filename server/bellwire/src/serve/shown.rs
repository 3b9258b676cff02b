//! What may be shown to people in the client.

use bellwire_assist::plain as plain_text;
use tower_lsp::ls_types::{MarkupContent, MarkupKind};

use crate::output::plain;

/// Words to be shown. People's own are among them, so nothing is left in them that
/// turns the direction of writing, or commands a terminal that an editor runs in.
pub fn shown(text: &str) -> String {
    let lines: Vec<_> = text.split('\n').map(plain).collect();
    lines.join("\n")
}

/// Markdown as such, or made into plain text.
pub fn markup(is_markdown: bool, text: String) -> MarkupContent {
    let (kind, value) = match is_markdown {
        true => (MarkupKind::Markdown, text),
        false => (MarkupKind::PlainText, plain_text(&text)),
    };
    MarkupContent {
        kind,
        value: shown(&value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_commands_nothing() {
        assert_eq!(
            shown("a\n\nb\u{1b}[2J\u{202e}"),
            "a\n\nb\u{fffd}[2J\u{fffd}"
        );
    }
}
