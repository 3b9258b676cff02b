//! What is there for nothing, or once too often: to take it out.

use std::ops::Range;

use bellwire_plan::source::{Form, Span, Statement};
use bellwire_plan::vocabulary::Presence;
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, around_finding, edit, start_of};
use crate::edit::Edit;
use crate::walk::{slotted, whole};

/// Takes out the statement that a finding is about, or one of several values.
pub(super) fn removal(entry: &Entry, found: &Located) -> Option<Proposal> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let around = around_finding(item, found);
    let innermost = around.last()?;
    let values = &innermost.statement.arguments;
    let slots = innermost.word.map_or(&[][..], |word| word.slots);
    let several = slotted(slots, values)
        .filter(|(_, slot)| slot.is_some_and(|slot| slot.presence == Presence::Several));
    let mut named = several.map(|(value, _)| value.span);
    if let Some(value) = named.find(|value| *value == found.finding.span) {
        let before = item.text(Span {
            start: 0,
            end: value.start,
        });
        let gap = Span {
            start: before.trim_end().len() as u32,
            end: value.end,
        };
        let title = format!("Take {} out", item.text(value));
        // Whether here or where else it is named, the designer says.
        return (values.len() > 1).then(|| Proposal::new(title, vec![edit(start, gap, "")]));
    }
    // A way of a run, which has none, is no more taken out than the run.
    let keyword = item.text(innermost.statement.keyword?);
    let range = statement_range(entry, start, innermost.statement);
    let removed = Edit {
        range,
        text: String::new(),
    };
    Some(Proposal::new(format!("Take out this `{keyword}`"), vec![removed]).preferred())
}

/// A statement with what goes with it: its note and its line break, or the
/// blanks before its comma.
fn statement_range(entry: &Entry, start: usize, statement: &Statement) -> Range<usize> {
    let text = entry.file.text();
    let span = whole(statement);
    let (from, to) = (start + span.start as usize, start + span.end as usize);
    if statement.form == Form::Clause {
        let from = start + statement.span.start as usize;
        let line = text.line(text.line_of(from));
        let before = text.slice(line.start..from);
        return line.start + before.trim_end().len()..to;
    }
    let first = text.line(text.line_of(from));
    let last = text.line_of(to);
    let before = text.slice(first.start..from);
    let after = text.slice(to..text.line(last).end);
    let stands_alone = before.trim().is_empty() && {
        let after = after.trim();
        after.is_empty() || after.starts_with('#')
    };
    if !stands_alone {
        return from..to;
    }
    let next = text.line(last + 1).start;
    first.start..next.max(text.line(last).end)
}
