//! Clauses to add: the partition that a zone lacks, and why a finding is accepted.

use bellwire_plan::source::{Form, Item, Span, Statement, line_behind};
use bellwire_plan::vocabulary::{Names, What, words};
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, around_finding, edit, start_of};
use crate::edit::{Edit, indent_of, line_break};
use crate::walk::evaluation;

/// The partitions that a zone could be in.
pub(super) fn partitions(entry: &Entry, found: &Located) -> Option<Vec<Proposal>> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let around = around_finding(item, found);
    let evaluation = evaluation(entry, item)?;
    let site = evaluation.site()?;
    let unit = around.iter().find_map(|around| {
        let mut units = site.units.iter();
        units.find(|unit| unit.span.start == around.statement.span.start)
    })?;
    // The innermost statement that can say a partition.
    let (owner, clause) = around.iter().rev().find_map(|around| {
        let mut clauses = words(around.inner?);
        let clause = clauses.find(|word| {
            let slot = word.slots.first();
            slot.is_some_and(|slot| slot.what == What::Named(Names::Partition))
        })?;
        Some((around.statement, clause))
    })?;
    let proposals = unit.partitions.iter().map(|partition| {
        let number = partition.number.value;
        let label = partition
            .label
            .as_ref()
            .map_or(String::new(), |label| format!(", {label}"));
        let text = format!("{} {number}", clause.name);
        Proposal::new(
            format!("Put it in partition {number}{label}"),
            vec![clause_edit(entry, item, start, owner, &text)],
        )
    });
    Some(proposals.collect::<Vec<_>>()).filter(|_| found.finding.mend.is_none())
}

/// `accept CODE "reason"` in the innermost statement that can have it.
pub(super) fn acceptance(entry: &Entry, found: &Located) -> Option<Proposal> {
    let code = found.finding.code;
    let item = found.item.as_ref().filter(|_| !code.is_of_reading())?;
    let start = start_of(entry, found)?;
    let around = around_finding(item, found);
    let (owner, accept) = around.iter().rev().find_map(|around| {
        let accept = words(around.inner?).find(|word| {
            let slot = word.slots.first();
            slot.is_some_and(|slot| slot.what == What::Named(Names::Code))
        })?;
        // What cannot be read takes no clauses.
        let is_known = around.word.is_some() && around.outer.is_some();
        is_known.then_some((around.statement, accept))
    })?;
    let text = format!("{} {} \"reason\"", accept.name, code.name());
    let edit = clause_edit(entry, item, start, owner, &text);
    Some(Proposal::new(
        format!("Accept `{}` here, with a reason", code.name()),
        vec![edit],
    ))
}

/// The edit that adds a clause to a statement: behind its other clauses, or on
/// a line of its own at the start of its block.
fn clause_edit(entry: &Entry, item: &Item, start: usize, owner: &Statement, clause: &str) -> Edit {
    let Some(block) = owner.block else {
        return edit(start, owner.span.after(), format!(", {clause}"));
    };
    let first = line_behind(item.source(), block.open.end as usize).trim();
    let is_inline = !first.is_empty() && !first.starts_with('#');
    if is_inline {
        // A block in one line holds one line: the clause goes before it.
        let last = owner.body.iter().filter(|inner| inner.form == Form::Clause);
        let end = last
            .map(|clause| clause.span.end)
            .max()
            .unwrap_or(owner.head.end);
        let at = Span { start: end, end };
        return edit(start, at, format!(", {clause}"));
    }
    let indent = indent_of(&entry.file, start + owner.head.start as usize);
    let line = format!("{}{indent}  {clause}", line_break(&entry.file));
    edit(start, block.open.after(), line)
}
