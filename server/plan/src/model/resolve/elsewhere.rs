//! Names that other items declare, and what is wrong with them.

use std::sync::Arc;

use crate::finding::{Code, Finding, Lack, did_you_mean};
use crate::model::at::At;
use crate::model::{Scope, Words};
use crate::sentence::a;
use crate::source::{Item, Span, Spot, line_behind};
use crate::vocabulary::{Group, Space, is_word};

/// Where an item's name is declared.
pub(super) fn declaration(item: &Arc<Item>) -> Option<Spot> {
    Some(item.spot(item.declared().name?))
}

/// Nothing if the scope is not whole, or may have it all the same: what is missing is told
/// there. Nothing either where the name goes on, which is told of what stands behind it.
/// `compares` says whether to look for the name that is meant.
pub(super) fn unknown(
    item: &Arc<Item>,
    span: Span,
    lack: Lack,
    scope: &dyn Scope,
    compares: bool,
) -> Option<Finding> {
    if !scope.is_whole() || scope.may_have(&lack) || goes_on(item, span) {
        return None;
    }
    let all = match compares {
        true => scope.all(lack.space),
        false => Vec::new(),
    };
    // The kind is the first word behind `model`.
    let is_of = |other: &Arc<Item>, kind: &str| {
        let own = Words::root(other).name();
        own.is_some_and(|own| own.value == kind)
    };
    let names = all
        .iter()
        .filter(|other| other.id != item.id)
        .filter(|other| lack.kind.is_none_or(|kind| is_of(other, kind)))
        .filter_map(|other| other.name());
    let hint = did_you_mean(&lack.name, names);
    let mend = if hint.is_empty() {
        " Declare it, or `use` the file that does."
    } else {
        ""
    };
    let what = match (lack.space, lack.kind) {
        (_, Some(kind @ "series")) => kind.to_string(),
        (_, Some(kind)) => format!("{kind} model"),
        (Space::Monitoring, None) => "monitoring centre".to_string(),
        (_, None) => "rule set".to_string(),
    };
    let message = format!("no {what} is called `{}`.{hint}{mend}", lack.name);
    Some(Finding::new(Code::UnknownName, span, message).lacking(lack))
}

/// Whether something stands behind a name that starts nothing else: `rules grade 2`, or
/// decimals: `sealed-12V-1,2Ah`.
fn goes_on(item: &Item, name: Span) -> bool {
    let behind = line_behind(item.source(), name.end as usize);
    let decimals = behind.strip_prefix(',');
    if decimals.is_some_and(|behind| behind.starts_with(|c: char| c.is_ascii_digit())) {
        return true;
    }
    let next = behind.trim_start_matches([' ', '\t']);
    let ends = |c: char| !c.is_alphanumeric() && !matches!(c, '-' | '_');
    let word = next.split(ends).next().unwrap_or_default();
    next.len() < behind.len() && !word.is_empty() && !is_word(word)
}

/// The series of that name. What is wrong with the name is reported.
pub(super) fn series_of(
    item: &Arc<Item>,
    name: &At<String>,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
) -> Option<Arc<Item>> {
    let (kind, called) = ("series", &name.value);
    let Some(found) = scope.find(Space::Model, called) else {
        let lack = Lack {
            space: Space::Model,
            kind: Some(kind),
            name: called.clone(),
        };
        findings.extend(unknown(item, name.span, lack, scope, true));
        return None;
    };
    found.model()?;
    if !is_series(&found) {
        findings.push(wrong_kind(name.span, called, &found, kind));
        return None;
    }
    Some(found)
}

pub(super) fn is_series(item: &Arc<Item>) -> bool {
    let model = item.model();
    model.is_some_and(|model| model.kind.group == Group::Series)
}

/// A name of a model of another kind than the one that is needed.
pub(super) fn wrong_kind(span: Span, name: &str, found: &Arc<Item>, kind: &str) -> Finding {
    let is = found
        .model()
        .map_or("something else", |model| model.kind.name);
    let finding = Finding::new(
        Code::WrongKind,
        span,
        format!(
            "`{name}` is {}, but {} is needed here: name another model",
            a(is),
            a(kind)
        ),
    );
    match declaration(found) {
        Some(spot) => finding.with(spot, "it is declared here"),
        None => finding,
    }
}
