//! The unit that a number lacks, and another number for one that is taken.

use bellwire_plan::source::{Quantity, Span};
use bellwire_plan::vocabulary::{Dimension, Slot, What};
use bellwire_plan::workspace::{Entry, Located};
use rustc_hash::FxHashSet;

use super::{Proposal, around_finding, edit, start_of};
use crate::rename::beyond;
use crate::walk::{Around, evaluation, slotted};

/// The units that a number without one could have: those of the dimension that
/// is meant first where it stands, the likely one before all others.
pub(super) fn units(entry: &Entry, found: &Located) -> Option<Vec<Proposal>> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let at = found.finding.span;
    let around = around_finding(item, found);
    let around = around.last()?;
    let dimensions = meant_dimensions(around, at)?;
    let number = item.text(at);
    let measures = item.measures();
    let likely = || {
        let is_word = around.statement.path.is_none();
        let word = around.word.filter(|_| is_word)?;
        word.likely_unit(&dimensions, number.parse().ok()?, measures)
    };
    let first = || Some(measures.usual(*dimensions.first()?));
    let likely = likely().or_else(first)?;
    let others = measures.units(likely.dimension);
    let units = [likely]
        .into_iter()
        .chain(others.filter(|unit| *unit != likely));
    let proposals = units.enumerate().map(|(index, unit)| {
        let text = format!("{number} {}", unit.name());
        let title = format!("Write `{text}`");
        let proposal = Proposal::new(title, vec![edit(start, at, text)]);
        match index {
            0 => proposal.preferred(),
            _ => proposal,
        }
    });
    Some(proposals.collect())
}

/// What the number at `at` may measure, if it has no unit.
fn meant_dimensions(around: &Around, at: Span) -> Option<Vec<Dimension>> {
    let is_meant = |number: Quantity| number.unit.is_none() && number.number.span == at;
    let statement = around.statement;
    let mut legs = statement.path.iter().flat_map(|path| &path.legs);
    if legs.any(|leg| leg.length.is_some_and(is_meant)) {
        return Some(vec![Dimension::Length]);
    }
    let mut values = slotted(around.word?.slots, &statement.arguments);
    let (_, slot) = values.find(|(value, _)| value.quantities().any(is_meant))?;
    match slot?.what {
        What::Amount(dimensions) => Some(dimensions.to_vec()),
        What::Range(dimension) => Some(vec![dimension]),
        _ => None,
    }
}

/// The next number that no other statement of the same word around has, for one that is taken.
pub(super) fn free_number(entry: &Entry, found: &Located) -> Option<Proposal> {
    let item = found.item.as_ref()?;
    let start = start_of(entry, found)?;
    let at = found.finding.span;
    let around = around_finding(item, found);
    let [.., outer, own] = around.as_slice() else {
        return None;
    };
    let is_number = |slot: &Slot| slot.what == What::NewNumber;
    let slot = own.word?.slots.first();
    let first = own.statement.arguments.first();
    if !slot.is_some_and(is_number) || first.map(|first| first.span) != Some(at) {
        return None;
    }
    let keyword = item.keyword(own.statement);
    let same = outer.statement.body.iter();
    let same = same.filter(|other| item.keyword(other) == keyword);
    let numbers = same.filter_map(|other| item.text(other.arguments.first()?.span).parse().ok());
    let taken: FxHashSet<u32> = numbers.collect();
    let mut free = item.text(at).parse::<u32>().ok()?..=u32::MAX;
    let free = free.find(|number| !taken.contains(number))?;
    let site = evaluation(entry, item)?.site()?;
    if beyond(site, &item.spot(at), &free.to_string()).is_some() {
        return None;
    }
    let title = format!("Give this {keyword} the number {free}");
    Some(Proposal::new(title, vec![edit(start, at, free.to_string())]).preferred())
}
