//! What belongs on another line: clauses that belong to the statement around their own, and the
//! brace of a block.

use std::sync::Arc;

use bellwire_plan::source::{Block, Form, Span, Statement};
use bellwire_plan::vocabulary::word;
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, edit, start_of};
use crate::edit::{Edit, indent_of, line_break};
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
    let own = item.keyword(statement);
    // On a line of its own, the same word once more would only be a mistake of another kind.
    let may_be_line = |clause: &&Arc<Statement>| {
        let keyword = item.keyword(clause);
        word(keyword, outer).is_some_and(|word| word.count.may_repeat() || keyword != own)
    };
    let clauses = statement.body.iter();
    let strangers = clauses.filter(|clause| statement.block.is_none() && may_be_line(clause));
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
    let outside = indent_of(&entry.file, start + statement.span.start as usize);
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

/// The `{` on a line of its own at the top level, moved up to the line that it belongs to. That is
/// another item, so what finds the brace does not see it.
pub(super) fn brace_up(entry: &Entry, found: &Located) -> Option<Proposal> {
    let root = found.item.as_ref()?.root();
    let open = root.block?.open;
    if root.form != Form::Fragment || open != found.finding.span {
        return None;
    }
    let text = entry.file.text();
    let brace = start_of(entry, found)? + open.start as usize;
    let own = text.line_of(brace);
    let is_first = text.slice(text.line(own).start..brace).trim().is_empty();
    let mut above = (0..own).rev().map(|line| text.line(line));
    let above = above.find(|line| !text.slice(line.clone()).trim().is_empty())?;
    let line = text.slice(above.clone());
    let line = line.trim_end();
    // Behind a comment the brace would be part of it.
    if !is_first || line.contains('#') || line.ends_with(['{', '}']) {
        return None;
    }
    let end = above.start + line.len();
    let (item, _) = entry.file.item_at(end)?;
    // What takes no block is not what it belongs to.
    around(item, [item.root()]).first()?.inner?;
    let gap = Edit {
        range: end..brace,
        text: " ".to_string(),
    };
    let mut proposal = Proposal::new("Move the `{` up", vec![gap]).slip();
    proposal.guess = true;
    Some(proposal)
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
