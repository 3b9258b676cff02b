//! What may stand in a slot of the vocabulary.

use bellwire_plan::day::{Date, Day};
use bellwire_plan::finding::Code;
use bellwire_plan::model::Words;
use bellwire_plan::source::Value;
use bellwire_plan::vocabulary::{Dimension, Names, Slot, What, Word, kind, kinds};

use super::surroundings::Surroundings;
use super::{Completion, CompletionKind, declared, names, terminals};
use crate::address::{self, Holder};

/// What may stand in `slot` of `word`. `arguments` are those of the statement,
/// the one that is asked for included; `parts` stand before it in a reference.
pub(super) fn of(
    plan: &Surroundings,
    word: &'static Word,
    slot: &Slot,
    arguments: &[Value],
    parts: &[&str],
) -> Vec<Completion> {
    if let What::Named(Names::Input) = slot.what {
        return terminals::inputs(plan, parts);
    }
    if !parts.is_empty() {
        return Vec::new();
    }
    match slot.what {
        What::Address => addresses(plan, None),
        What::Place => {
            let mut found = addresses(plan, Some(word.name));
            found.push(Completion::new(CompletionKind::Choice, "off").detail("it is switched off"));
            found
        }
        What::NewNumber => next_number(plan, word).into_iter().collect(),
        What::PathText => declared::files(plan),
        What::Date => dates(plan.view.today()),
        What::Choice(choices) => choices
            .iter()
            .map(|(choice, meaning)| {
                Completion::new(CompletionKind::Choice, *choice).detail(*meaning)
            })
            .collect(),
        What::Kind(there) => kinds(there)
            .map(|kind| Completion::new(CompletionKind::Choice, kind.name).detail(kind.meaning))
            .collect(),
        What::Named(Names::Model(_) | Names::Rules | Names::Monitoring) => {
            let What::Named(names) = slot.what else {
                return Vec::new();
            };
            declared::models(plan, word, names)
        }
        What::Named(Names::Code) => codes(plan, arguments.len() > 1),
        What::Named(named) => {
            let given: Vec<&str> = arguments
                .iter()
                .filter_map(|value| plan.cursor.text_before(value.span))
                .collect();
            let mut found = names::of(plan, named);
            found.retain(|completion| !given.contains(&completion.label.as_str()));
            found
        }
        _ => Vec::new(),
    }
}

/// The units of some dimensions, by their usual names, those of the plan first.
pub(super) fn units(plan: &Surroundings, dimensions: &[Dimension]) -> Vec<Completion> {
    let dimensions = dimensions.iter();
    let units = dimensions.flat_map(|dimension| plan.measures().units(*dimension));
    units
        .map(|unit| {
            let mut completion =
                Completion::new(CompletionKind::Unit, unit.name()).detail(unit.dimension.name());
            // Whoever types `mm2` wants `mm²`.
            completion.filter = unit.names.iter().find(|name| name.is_ascii()).map(|name| {
                let name = *name;
                name.to_string()
            });
            completion
        })
        .collect()
}

/// The free addresses for the device around the cursor, or for the second
/// thing that it is; the next one first.
fn addresses(plan: &Surroundings, second: Option<&'static str>) -> Vec<Completion> {
    let addresses = || {
        let site = plan.site?;
        let bus = plan.bus()?;
        let kind = match second {
            Some(name) => kind(name)?,
            None => plan.kind()?,
        };
        let device = plan.device();
        let own = device.map(|(device, _)| Holder { device, second });
        // What else it is may be told its place in another way.
        let told = device.filter(|_| second.is_none());
        let most = told.map_or(u64::MAX, |(_, device)| device.most_settable());
        let model = site.bus_model(bus)?;
        let unit = site.units.get(bus.unit)?;
        let free = address::free(site, bus, kind, own).into_iter();
        let settable = free.filter(|address| u64::from(*address) <= most);
        let offers = settable.take(256).map(|place| {
            let enabled = address::enabled(model, unit, place);
            Completion::new(CompletionKind::Number, place.to_string()).detail(enabled.phrase())
        });
        Some(offers.collect())
    };
    addresses().unwrap_or_default()
}

/// This month and today, as they are written.
fn dates(today: Day) -> Vec<Completion> {
    let dates = [
        (Date::month_of(today), "this month"),
        (today.into(), "today"),
    ];
    dates
        .map(|(date, detail)| {
            Completion::new(CompletionKind::Number, date.to_string()).detail(detail)
        })
        .into()
}

/// The number that the next statement of this word would have.
fn next_number(plan: &Surroundings, word: &Word) -> Option<Completion> {
    let owner = plan.around.iter().rev().find(|around| {
        let inner = around.context;
        inner.is_some_and(|inner| word.within.contains(&inner))
    })?;
    let item = &plan.cursor.item;
    let statements = owner.statement.body.iter();
    let numbers = statements
        .filter(|statement| item.keyword(statement) == word.name)
        .filter_map(|statement| Some(Words::new(item, statement).whole()?.value));
    let next = numbers.max().map_or(Some(1), |most| most.checked_add(1))?;
    Some(Completion::new(CompletionKind::Number, next.to_string()).detail("the next one"))
}

/// The codes of findings; those that are found in the statement around the
/// cursor come first.
fn codes(plan: &Surroundings, has_reason: bool) -> Vec<Completion> {
    let owner = plan.around.iter().rev().nth(1);
    let within = owner.map(|around| plan.cursor.original(around.statement.span));
    let here: Vec<Code> = within.map_or(Vec::new(), |within| {
        let findings = plan.view.findings(plan.entry).into_iter();
        findings
            .filter(|found| within.start <= found.range.start && found.range.end <= within.end)
            .filter(|found| !found.finding.code.is_of_reading())
            .map(|found| found.finding.code)
            .collect()
    });
    Code::ALL
        .iter()
        .map(|code| {
            let found = here.contains(code);
            let mut completion = Completion::new(CompletionKind::Code, code.name())
                .detail(code.title())
                .rank(if found { 1 } else { 5 });
            if !has_reason {
                completion.snippet = Some(format!("{} \"${{1:reason}}\"", code.name()));
            }
            completion
        })
        .collect()
}
