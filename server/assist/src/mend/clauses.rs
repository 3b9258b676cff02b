//! Clauses to add: the partition or the loop that a zone lacks, and why a finding is accepted.

use std::sync::Arc;

use bellwire_plan::model::LoopModel;
use bellwire_plan::source::{Form, Item, Span, Statement, line_behind};
use bellwire_plan::vocabulary::{Names, What, Word, words};
use bellwire_plan::workspace::{Entry, Located};

use super::{Proposal, around_finding, edit, start_of};
use crate::edit::{Edit, indent_of, line_break};
use crate::walk::{Around, evaluation};

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
    let (owner, clause) = clause_for(&around, Names::Partition)?;
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

/// The loops that a zone which says none could be wired as.
pub(super) fn loops(entry: &Entry, found: &Located) -> Option<Vec<Proposal>> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let evaluation = evaluation(entry, item)?;
    let site = evaluation.site()?;
    let mut silent = site.zones.iter().filter(|zone| zone.loop_name.is_none());
    let input = silent.find_map(|zone| zone.input.filter(|at| at.span == found.finding.span))?;
    let (_, loops) = site.loops_of(input.value)?;
    let around = around_finding(item, found);
    let (owner, clause) = clause_for(&around, Names::Loop)?;
    let wired = |model: &Arc<LoopModel>| {
        let name = &model.name.value;
        let text = format!("{} {name}", clause.name);
        let edit = clause_edit(entry, item, start, owner, &text);
        Proposal::new(format!("Wire it as loop `{name}`"), vec![edit])
    };
    Some(loops.iter().map(wired).collect())
}

/// `accept CODE "reason"` in the innermost statement that can have it.
pub(super) fn acceptance(entry: &Entry, found: &Located) -> Option<Proposal> {
    let code = found.finding.code;
    let item = found.item.as_ref().filter(|_| !code.is_of_reading())?;
    let start = start_of(entry, found)?;
    let around = around_finding(item, found);
    let (owner, accept) = clause_for(&around, Names::Code)?;
    let text = format!("{} {} \"reason\"", accept.name, code.name());
    let edit = clause_edit(entry, item, start, owner, &text);
    Some(Proposal::new(
        format!("Accept `{}` here, with a reason", code.name()),
        vec![edit],
    ))
}

/// The innermost statement that can have a clause which names such a thing, and the clause.
fn clause_for<'a>(around: &[Around<'a>], names: Names) -> Option<(&'a Statement, &'static Word)> {
    // What cannot be read takes no clauses.
    let known = |around: &&Around| around.word.is_some() && around.outer.is_some();
    around.iter().rev().filter(known).find_map(|around| {
        let clause = words(around.inner?).find(|word| {
            let slot = word.slots.first();
            slot.is_some_and(|slot| slot.what == What::Named(names))
        })?;
        Some((around.statement, clause))
    })
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
