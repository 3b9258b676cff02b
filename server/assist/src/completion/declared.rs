//! What files declare: models, rule sets, monitoring centres; and the files
//! themselves.
//!
//! What no `use` has brought in yet is offered too, and brings its `use` along.

use std::collections::BTreeSet;
use std::sync::Arc;

use bellwire_plan::model::{Scope, Words, resolve_rules};
use bellwire_plan::sentence::count;
use bellwire_plan::source::{FilePath, Item};
use bellwire_plan::vocabulary::{Names, Space, Word};

use super::surroundings::Surroundings;
use super::{Completion, CompletionKind};
use crate::describe;
use crate::imports;

/// What `names` can stand for in a statement of `word`.
pub(super) fn models(plan: &Surroundings, word: &Word, names: Names) -> Vec<Completion> {
    let (space, kind) = match names {
        Names::Model("") => (Space::Model, Some(word.name)),
        Names::Model(kind) => (Space::Model, Some(kind)),
        Names::Rules => (Space::Rules, None),
        Names::Monitoring => (Space::Monitoring, None),
        _ => return Vec::new(),
    };
    let own = plan.entry.file.path();
    let typed = &plan.cursor.item;
    let offer = |item: &Arc<Item>| {
        // The cursor's own item, which has been read anew with the stand-in.
        if item.file == *own && item.word() == typed.word() && item.name() == typed.name() {
            return None;
        }
        if let Some(kind) = kind
            && item.model()?.kind.name != kind
        {
            return None;
        }
        let completion = completion(plan, item)?;
        let is_used_here = plan.site.is_some_and(|site| {
            let mut names = site.occurrences.iter();
            names.any(|name| name.target.item.id == item.id)
        });
        Some(completion.rank(if is_used_here { 4 } else { 5 }))
    };
    let known = plan.scope().all(space);
    let mut found: Vec<Completion> = known.iter().filter_map(offer).collect();
    for path in plan.view.declaring(space) {
        let is_used = path == *own || plan.entry.imports.iter().any(|used| used.target == path);
        if is_used {
            continue;
        }
        let file = plan.view.file(&path);
        let Some((file, add)) = file.zip(imports::add(&plan.entry.file, &path)) else {
            continue;
        };
        for item in file.all(space) {
            let Some(mut completion) = offer(&item) else {
                continue;
            };
            // A name that means something here already would stay what it is.
            if known.iter().any(|known| known.name() == item.name()) {
                continue;
            }
            completion.extra = vec![add.clone()];
            let from = path.as_str().rsplit('/').next().unwrap_or("");
            let detail = completion.detail.take().unwrap_or_default();
            completion.detail = Some(format!("{detail} (uses {from})"));
            found.push(completion.rank(6));
        }
    }
    found
}

/// The same, with the colon before them, where it is not typed yet.
pub(super) fn models_with_colon(plan: &Surroundings, word: &Word, names: Names) -> Vec<Completion> {
    let mut found = models(plan, word, names);
    for completion in &mut found {
        completion.filter = Some(completion.label.clone());
        completion.insert = format!(": {}", completion.label);
        completion.label = completion.insert.clone();
    }
    found
}

fn completion(plan: &Surroundings, item: &Arc<Item>) -> Option<Completion> {
    let name = item.name()?;
    if let Some(model) = item.model() {
        let label = model.label.as_deref().unwrap_or("");
        let mut data = describe::model(model, plan.measures());
        // `Sealed lead-acid, 12 V, 7 Ah` says it already.
        data.retain(|part| label.split(", ").all(|said| said != part));
        let detail = [label, &data.join(", ")];
        let detail: Vec<&str> = detail.into_iter().filter(|text| !text.is_empty()).collect();
        let mut completion = Completion::new(CompletionKind::Model, name).detail(detail.join(": "));
        completion.key = Some(format!("{} model {}#{name}", plan.measures(), item.file));
        return Some(completion);
    }
    let completion = Completion::new(CompletionKind::Declaration, name);
    if item.rules().is_none() {
        return Some(completion);
    }
    let (mut findings, mut uses) = (Vec::new(), Vec::new());
    let rules = resolve_rules(Words::root(item), plan.scope(), &mut findings, &mut uses);
    Some(completion.detail(describe::holding(&rules).join(", ")))
}

/// The files of the workspace that declare what plans use, seen from this one,
/// which does not use them yet. Files with nothing but sites are left out.
pub(super) fn files(plan: &Surroundings) -> Vec<Completion> {
    let own = plan.entry.file.path();
    let typed = &plan.cursor.replace;
    let text = plan.entry.file.text();
    let line = text.line(text.line_of(typed.start));
    let is_quoted = text.slice(line.start..typed.start).ends_with('"');
    // The path that is being typed does not count as a use of its file.
    let used = |path: &FilePath| {
        let mut uses = plan
            .entry
            .imports
            .iter()
            .filter(|used| used.target == *path);
        uses.any(|used| {
            let place = imports::place(plan.entry, used);
            place.is_none_or(|place| place.start != typed.start)
        })
    };
    let paths: BTreeSet<FilePath> = Space::LOOKED_UP
        .into_iter()
        .flat_map(|space| plan.view.declaring(space))
        .collect();
    paths
        .into_iter()
        .filter(|path| path != own && !used(path))
        .filter_map(|path| {
            let file = plan.view.file(&path)?;
            let has_site = !file.all(Space::Site).is_empty();
            let models = file.all(Space::Model).len();
            let others = file.all(Space::Rules).len() + file.all(Space::Monitoring).len();
            let detail = match (models, others) {
                (0, others) => count(others, "declaration"),
                (models, _) => count(models, "model"),
            };
            // A file with sites is seldom meant to be used by others.
            let rank = if has_site { 5 } else { 3 };
            let mut completion = Completion::new(CompletionKind::File, own.way_to(&path)?);
            if !is_quoted {
                completion.insert = format!("\"{}\"", completion.label);
            }
            Some(completion.detail(detail).rank(rank))
        })
        .collect()
}
