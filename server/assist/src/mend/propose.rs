//! Changes that need no figures: names and words that are meant, clauses to add,
//! lines to take out.

use std::ops::Range;

use bellwire_plan::finding::{Code, meant, nearest};
use bellwire_plan::source::{Form, Item, Quantity, Span, Statement, line_behind};
use bellwire_plan::vocabulary::{Dimension, Names, Presence, Slot, WORDS, What, word, words};
use bellwire_plan::workspace::{Entry, Located, View};
use rustc_hash::FxHashSet;

use super::{Proposal, edit, lines, run, start_of};
use crate::completion::{Completion, complete};
use crate::edit::{Edit, indent_of, line_break};
use crate::rename::beyond;
use crate::walk::{Around, around, evaluation, holders, slotted, whole};

/// What could mend a finding, best first.
pub(super) fn proposals(view: &View, entry: &Entry, found: &Located) -> Vec<Proposal> {
    let mut proposals = Vec::new();
    match found.finding.code {
        Code::UnknownWord
        | Code::UnknownName
        | Code::WrongKind
        | Code::WrongUnit
        | Code::Misplaced => {
            proposals.extend(names(view, entry, found));
            proposals.extend(punctuation(entry, found));
            proposals.extend(lines::own_lines(entry, found));
            proposals.extend(units(entry, found).into_iter().flatten());
        }
        Code::ZoneMissingPartition => {
            proposals.extend(partitions(entry, found).into_iter().flatten())
        }
        Code::Syntax => proposals.extend(lines::brace_up(entry, found)),
        Code::NameTaken => proposals.extend(free_number(entry, found)),
        Code::NotWired => proposals.extend(run::to_device(view, entry, found)),
        Code::InputMissing => proposals.extend(run::to_detectors(view, entry, found)),
        // What is there twice within a statement has a change of its own.
        Code::Repeated if found.finding.mend.is_some() => {}
        Code::Unused | Code::AcceptUnused | Code::Repeated => {
            proposals.extend(removal(entry, found));
        }
        _ => {}
    }
    proposals.extend(acceptance(entry, found));
    proposals
}

/// The statements around a finding, outermost first.
fn around_finding<'a>(item: &'a Item, found: &Located) -> Vec<Around<'a>> {
    around(item, holders(item, found.finding.span))
}

/// What is written, corrected to what may stand there: the nearest word or
/// name, or those that have it as a part, or the same name with the `use` that it needs.
fn names(view: &View, entry: &Entry, found: &Located) -> Vec<Proposal> {
    let written = entry.file.text().slice(found.range.clone());
    let mut offers = complete(view, entry, found.range.end);
    offers.retain(|offer| offer.replace == found.range);
    let end = found.range.end;
    if entry.file.text().slice(end..end + 1) == "." {
        return owners(found, &offers, &written);
    }
    let mut proposals = missing_uses(&offers, &written);
    // Which terminals of a panel are meant, no spelling says.
    let is_own = |name: &&str| {
        let part = name.strip_prefix(&*written);
        !part.is_some_and(|part| part.starts_with('.'))
    };
    let names: Vec<&str> = offers.iter().map(offered).filter(is_own).collect();
    // What is there and needs no `use` is spelt right; something else is wrong with it.
    if proposals.is_empty() && names.contains(&&*written) {
        return proposals;
    }
    let near = nearest(&written, names.iter().copied());
    let mut meant = meant(&written, names.iter().copied());
    meant.retain(|name| fits_inside(found, name));
    let is_only = proposals.is_empty() && meant.len() == 1;
    for name in meant {
        let Some(offer) = offers.iter().find(|offer| offered(offer) == name) else {
            continue;
        };
        let proposal = in_place_of(&written, offer);
        proposals.push(match is_only {
            // A word can only be misspelt; a name may be that of another thing.
            true if near.is_some() && found.finding.code == Code::UnknownWord => proposal.slip(),
            // What may stand elsewhere is spelt right too.
            true if found.finding.code != Code::Misplaced && !is_declared(entry, found) => {
                proposal.preferred()
            }
            _ => proposal,
        });
    }
    proposals
}

/// Whether a word, or the kind of a model, may stand around most of what stands inside the
/// statement.
fn fits_inside(found: &Located, name: &str) -> bool {
    let Some(item) = found.item.as_ref() else {
        return true;
    };
    let around = around_finding(item, found);
    let Some(innermost) = around.last() else {
        return true;
    };
    let (statement, span) = (innermost.statement, Some(found.finding.span));
    let first = statement.arguments.first().map(|first| first.span);
    let inner = if statement.keyword == span {
        let meant = innermost.outer.and_then(|outer| word(name, outer));
        if meant.is_none_or(|word| word.list) {
            return true;
        }
        meant.and_then(|word| word.context(first.map(|first| item.text(first))))
    } else if first == span && innermost.word.is_some_and(|word| word.opens_by_kind) {
        innermost.word.and_then(|word| word.context(Some(name)))
    } else {
        return true;
    };
    // What is no word anywhere may be misspelt.
    let is_other = |line: &Statement| {
        let keyword = item.keyword(line);
        WORDS.iter().any(|word| word.name == keyword)
            && inner.is_none_or(|inner| word(keyword, inner).is_none())
    };
    let lines = statement.body.iter();
    let others = lines.filter(|line| is_other(line)).count();
    2 * others <= statement.body.len()
}

/// Whether what is written is the name of something: it is spelt right, and only something else
/// is wrong with it.
fn is_declared(entry: &Entry, found: &Located) -> bool {
    let evaluation = found.item.as_ref().and_then(|item| evaluation(entry, item));
    let mut occurrences = evaluation.iter().flat_map(|own| own.occurrences());
    occurrences.any(|occurrence| occurrence.span == found.finding.span)
}

/// The thing whose terminal is named behind the point: `main` for `Main` in `Main.aux`.
fn owners(found: &Located, offers: &[Completion], written: &str) -> Vec<Proposal> {
    let owners = offers
        .iter()
        .filter_map(|offer| offered(offer).split('.').next());
    let meant = meant(written, owners);
    let change = |name: &&str| {
        let edit = Edit {
            range: found.range.clone(),
            text: name.to_string(),
        };
        let proposal = Proposal::new(format!("Change `{written}` to `{name}`"), vec![edit]);
        match meant.len() {
            1 => proposal.preferred(),
            _ => proposal,
        }
    };
    meant.iter().map(change).collect()
}

/// The name that a completion gives, as it is written in a plan.
fn offered(offer: &Completion) -> &str {
    offer.filter.as_deref().unwrap_or(&offer.label)
}

/// The `use` that what is written needs, from each file that has it.
fn missing_uses(offers: &[Completion], written: &str) -> Vec<Proposal> {
    let elsewhere = |offer: &&Completion| offer.label == written && !offer.extra.is_empty();
    let needing: Vec<&Completion> = offers.iter().filter(elsewhere).collect();
    let add = |offer: &&Completion| {
        let added = offer.extra.iter().map(|edit| edit.text.trim());
        let title = format!("Add {}", added.collect::<Vec<_>>().join(" and "));
        let mut proposal = Proposal::new(title, offer.extra.clone());
        proposal.adds = true;
        // Which of several files is meant, the designer says.
        match needing.len() {
            1 => proposal.slip(),
            _ => proposal,
        }
    };
    needing.iter().map(add).collect()
}

/// A completion in place of what is written.
fn in_place_of(written: &str, offer: &Completion) -> Proposal {
    let text = offer.insert.trim();
    let mut edits = vec![Edit {
        range: offer.replace.clone(),
        text: text.to_string(),
    }];
    edits.extend(offer.extra.iter().cloned());
    Proposal::new(format!("Change `{written}` to `{text}`"), edits)
}

/// A comma that is missing before a word, or a colon before a model.
fn punctuation(entry: &Entry, found: &Located) -> Option<Proposal> {
    let text = entry.file.text();
    let line = text.line(text.line_of(found.range.start));
    let head = text.slice(line.start..found.range.start);
    let end = line.start + head.trim_end().len();
    let what = text.slice(found.range.clone());
    let what = what.split_whitespace().next()?;
    let around = around_finding(found.item.as_ref()?, found);
    let innermost = around.last()?;
    let is_word = around
        .iter()
        .filter_map(|around| around.inner)
        .any(|inner| word(what, inner).is_some());
    let is_name = what.starts_with(char::is_alphabetic);
    let takes_model =
        is_name && innermost.word?.model.is_some() && innermost.statement.model.is_none();
    let is_listed = innermost.word?.list;
    let (mark, called) = match (is_word || is_listed, takes_model) {
        (true, _) => (", ", "comma"),
        (false, true) => (" : ", "colon"),
        (false, false) => return None,
    };
    let edit = Edit {
        range: end..found.range.start,
        text: mark.to_string(),
    };
    let title = format!("Put a {called} before `{what}`");
    let mut proposal = Proposal::new(title, vec![edit]).slip();
    proposal.guess = true;
    Some(proposal)
}

/// The units that a number without one could have: those of the dimension that
/// is meant first where it stands, the likely one before all others.
fn units(entry: &Entry, found: &Located) -> Option<Vec<Proposal>> {
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

/// The partitions that a zone could be in.
fn partitions(entry: &Entry, found: &Located) -> Option<Vec<Proposal>> {
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

/// The next number that no other statement of the same word around has, for one that is taken.
fn free_number(entry: &Entry, found: &Located) -> Option<Proposal> {
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

/// Takes out the statement that a finding is about, or one of several values.
fn removal(entry: &Entry, found: &Located) -> Option<Proposal> {
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

/// `accept CODE "reason"` in the innermost statement that can have it.
fn acceptance(entry: &Entry, found: &Located) -> Option<Proposal> {
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
