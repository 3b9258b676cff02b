//! What is meant by a word or a name that means nothing where it stands.

use bellwire_plan::finding::{Code, meant, nearest};
use bellwire_plan::source::Statement;
use bellwire_plan::vocabulary::{WORDS, word};
use bellwire_plan::workspace::{Entry, Located, View};

use super::{Proposal, around_finding};
use crate::completion::{Completion, complete};
use crate::edit::Edit;
use crate::walk::evaluation;

/// What is written, corrected to what may stand there: the nearest word or
/// name, or those that have it as a part, or the same name with the `use` that it needs.
pub(super) fn names(view: &View, entry: &Entry, found: &Located) -> Vec<Proposal> {
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
