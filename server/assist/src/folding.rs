//! What can be folded away: blocks, comments of several lines, and a series of `use`.

use bellwire_plan::source::{Encoding, Span, Statement, Walker};
use bellwire_plan::workspace::Entry;

/// What a fold hides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoldKind {
    /// The lines of a block.
    Block,
    /// Comment lines.
    Comment,
    /// Uses of other files.
    Uses,
}

/// Lines that can be folded into the first of them. Lines count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fold {
    /// The line that stays.
    pub first: usize,
    /// The last line that goes; a block's closing brace stays.
    pub last: usize,
    /// What it hides.
    pub kind: FoldKind,
}

/// Everything of a file that can be folded, in the order of the text.
pub fn folds(entry: &Entry) -> Vec<Fold> {
    let text = entry.file.text();
    let mut folds = comments(&text.to_string());
    folds.extend(uses(entry));
    let mut lines = text.walker(Encoding::Utf8);
    for (start, item) in entry.file.items() {
        blocks(&mut lines, start, item.root(), &mut folds);
    }
    folds.sort_by_key(|fold| (fold.first, fold.last));
    folds
}

/// The block of a statement, and those inside, in the order of the text.
fn blocks(lines: &mut Walker, start: usize, statement: &Statement, folds: &mut Vec<Fold>) {
    let mut line_of = |span: Span| lines.position(start + span.start as usize).line as usize;
    let first = statement.block.map(|block| line_of(block.open));
    for inner in &statement.body {
        blocks(lines, start, inner, folds);
    }
    if let Some((first, block)) = first.zip(statement.block) {
        let end = block.close.unwrap_or(statement.span.after());
        let last = lines.position(start + end.start as usize).line as usize;
        // Where there is no brace, the last line of the block is its own.
        let last = last - usize::from(block.close.is_some() && last > first);
        folds.extend(fold(first, last, FoldKind::Block));
    }
}

/// Comment lines, one directly below the other. A text cannot go over a line's
/// end, so a line that starts with `#` is a comment.
fn comments(text: &str) -> Vec<Fold> {
    let mut folds = Vec::new();
    let mut first: Option<usize> = None;
    // The three line breaks, as the text's own lines have them.
    let text = text.replace("\r\n", "\n");
    let lines = text.split(['\n', '\r']).chain([""]);
    for (number, line) in lines.enumerate() {
        if line.trim_start().starts_with('#') {
            first.get_or_insert(number);
        } else if let Some(first) = first.take() {
            folds.extend(fold(first, number - 1, FoldKind::Comment));
        }
    }
    folds
}

/// Uses, with nothing but other uses, comments and blank lines between them.
fn uses(entry: &Entry) -> Vec<Fold> {
    let text = entry.file.text();
    let mut folds = Vec::new();
    let mut series: Option<(usize, usize)> = None;
    let mut imports = entry.imports.iter().peekable();
    for (start, item) in entry.file.items() {
        let line = text.line_of(start + item.root().span.start as usize);
        if imports
            .next_if(|import| import.item.id == item.id)
            .is_some()
        {
            let (first, _) = series.unwrap_or((line, line));
            series = Some((first, line));
        } else if let Some((first, last)) = series.take() {
            folds.extend(fold(first, last, FoldKind::Uses));
        }
    }
    folds.extend(series.and_then(|(first, last)| fold(first, last, FoldKind::Uses)));
    folds
}

fn fold(first: usize, last: usize, kind: FoldKind) -> Option<Fold> {
    (first < last).then_some(Fold { first, last, kind })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::fixture;
    use expect_test::{Expect, expect};

    fn check(text: &str, expected: Expect) {
        let (_, entry, _) = fixture(text);
        let show = |fold: Fold| {
            let line = |line| entry.file.text().slice(entry.file.text().line(line));
            let (first, last) = (line(fold.first), line(fold.last));
            format!("{:?}: {} … {}\n", fold.kind, first.trim(), last.trim())
        };
        let shown: String = folds(&entry).into_iter().map(show).collect();
        expected.assert_eq(&shown);
    }

    #[test]
    fn blocks_uses_and_comments_fold() {
        check(
            "//- sites/harbour.bell\n",
            expect![[r#"
            Uses: use "../catalog/merrow.bell" … use "../shared/monitoring.bell"
            Block: site harbour "Tidewheel Cycles, Harbour Street" { … run b1 : copper-4x22AWG, doubled { main.siren --18 m-- s1 }
            Block: panel main "Stock room" : M8, revision 4.2 { … zone 9 "Workshop window", input x1.1, from rc2,  partition 2, loop single
            Block: bus keys { … expander x1    "Loft"          : E8,  address 9
            Block: run keys-a : copper-4x22AWG { … front --8 m-- x1
        "#]],
        );
    }

    #[test]
    fn comment_lines_fold_in_one() {
        check(
            "# one\n# two\n\n# three\nsite a { # four\n  # five\r\n  # six\r\n  panel p : M8\n}\n",
            expect![[r#"
                Comment: # one … # two
                Block: site a { # four … panel p : M8
                Comment: # five … # six
            "#]],
        );
    }

    #[test]
    fn a_block_without_its_brace_folds_up_to_its_last_line() {
        check(
            "site a {\n  panel p : M8 {\n    partition 1\n  joint j\nsite b {\n}\n",
            expect![[r#"
                Block: site a { … joint j
                Block: panel p : M8 { … partition 1
            "#]],
        );
    }

    #[test]
    fn what_stands_on_one_line_does_not_fold() {
        check(
            "use \"a.bell\"\nsite a { }\n# one\nsite b {\n}\n",
            expect![[""]],
        );
    }
}
