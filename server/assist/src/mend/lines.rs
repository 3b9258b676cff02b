//! Clauses that belong to the statement around their own: each on a line of its own.

use bellwire_plan::source::{Block, Span};
use bellwire_plan::vocabulary::word;
use bellwire_plan::workspace::{Entry, Located};

use super::propose::indent_of;
use super::{Proposal, edit, start_of};
use crate::edit::{Edit, line_break};
use crate::walk::{around, holders};

/// `{ standby 45 mA, alarm 110 mA }` in lines, as a block of several lines is written.
pub(super) fn own_lines(entry: &Entry, found: &Located) -> Option<Proposal> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let around = around(item, holders(item, found.finding.span));
    // The statement that takes no clauses, and the context that its clauses belong to.
    let position = around
        .iter()
        .position(|around| around.word.is_some() && around.inner.is_none())?;
    let (outer, statement) = (
        around.get(position)?.outer?,
        around.get(position)?.statement,
    );
    let strangers = statement
        .body
        .iter()
        .filter(|clause| statement.block.is_none() && word(item.keyword(clause), outer).is_some());
    // Each gap with its comma.
    let gaps: Vec<Span> = strangers
        .filter_map(|clause| {
            let end = clause.span.start;
            let before = item.text(Span { start: 0, end });
            Some(Span {
                start: before.trim_end().len() as u32,
                end: clause.keyword?.start,
            })
        })
        .collect();
    gaps.first()?;
    let outside = indent_of(entry, start + statement.span.start as usize);
    let break_ = line_break(&entry.file);
    let block = position
        .checked_sub(1)
        .and_then(|holder| around.get(holder)?.statement.block)
        .filter(|block| is_on_line(item.text(opening(block, statement.span))));
    let mut edits: Vec<Edit> = Vec::new();
    let indent = match block {
        Some(block) => {
            let close = block.close?;
            let inside = format!("{break_}{outside}  ");
            edits.push(edit(start, opening(&block, statement.span), &*inside));
            let closing = Span {
                start: statement.span.end,
                end: close.start,
            };
            let closed = is_on_line(item.text(closing));
            let outside = format!("{break_}{outside}");
            edits.extend(closed.then(|| edit(start, closing, outside)));
            inside
        }
        None => format!("{break_}{outside}"),
    };
    edits.extend(gaps.iter().map(|gap| edit(start, *gap, &*indent)));
    edits.sort_by_key(|edit| edit.range.start);
    Some(Proposal::new("Write each on a line of its own", edits).slip())
}

/// What stands between a block's brace and the statement.
fn opening(block: &Block, statement: Span) -> Span {
    Span {
        start: block.open.end,
        end: statement.start,
    }
}

/// Whether nothing but blanks of one line stand there.
fn is_on_line(text: &str) -> bool {
    text.chars().all(|c| matches!(c, ' ' | '\t'))
}
