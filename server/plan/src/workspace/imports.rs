//! The findings about what a file uses: files that cannot be had, that use it in
//! turn, that it uses twice, and what nothing needs.

use std::sync::Arc;

use rustc_hash::{FxHashMap, FxHashSet};

use super::batch::Batch;
use super::circles::Circle;
use super::entry::{Entry, Import};
use super::files::ImportState;
use super::shared::Shared;
use crate::finding::{Code, Finding};
use crate::model::Declaration;
use crate::source::{FilePath, Item, Spot};
use crate::vocabulary::Space;

/// What is wrong with what a file uses: the item's id, and what.
pub(super) fn check(entry: &Entry, batch: &Batch, is_used: bool) -> Vec<(u64, Finding)> {
    let shared = batch.shared;
    let mut findings = Vec::new();
    let mut seen: FxHashMap<&FilePath, Spot> = FxHashMap::default();
    let circle = match is_used {
        true => batch.circles.through(entry, shared),
        false => Circle::default(),
    };
    for import in &entry.imports {
        if import.path().trim().is_empty() {
            findings.push((import.item.id, left_out(import)));
            continue;
        }
        let own = [
            unreadable(import, entry, batch),
            cycle(import, entry, shared, &circle),
            seen.get(&import.target).map(|first| twice(import, first)),
        ];
        findings.extend(own.into_iter().flatten().map(|own| (import.item.id, own)));
        seen.entry(&import.target)
            .or_insert_with(|| import.item.spot(import.span));
    }
    findings.extend(unused(entry, shared, is_used));
    findings
}

/// A path with nothing between its quotes.
fn left_out(import: &Import) -> Finding {
    let message = "the path is missing: write that of the file to use, as in `use \"../catalog/merrow.bell\"`";
    Finding::new(Code::ImportMissing, import.span, message)
}

/// A file that cannot be had.
fn unreadable(import: &Import, user: &Entry, batch: &Batch) -> Option<Finding> {
    let path = import.path();
    let cannot = |why: &str| format!("`{path}` cannot be read: {why}");
    let (code, message) = match batch.absent.get(&import.target) {
        Some(ImportState::Missing) => (
            Code::ImportMissing,
            format!(
                "there is no file `{path}`: {}. Until then no name in this file is told as unknown",
                match path {
                    _ if path.contains('\\') => "write `/` between the folders of its path",
                    _ if !path.ends_with(".bell") => "write its whole name, which ends in `.bell`",
                    _ => "mend the path, which is seen from this file's folder, or create the file",
                }
            ),
        ),
        Some(ImportState::Outside) if user.file.path().is_unsaved() && !path.starts_with('/') => (
            Code::ImportOutside,
            format!(
                "`{path}` is seen from this file's folder, and it has none yet: save the plan first, or write the whole path"
            ),
        ),
        Some(ImportState::Outside) => (
            Code::ImportOutside,
            format!(
                "`{path}` lies outside the workspace folders, where nothing is read: move it inside, or open its folder too (on the command line, name one around both with `--root`)"
            ),
        ),
        Some(ImportState::Unreadable(why)) => (Code::ImportMissing, cannot(why)),
        None => {
            let entry = batch.shared.entries.get(&import.target)?;
            let why = entry.file.unreadable_because()?;
            (Code::ImportMissing, cannot(why))
        }
    };
    Some(Finding::new(code, import.span, message))
}

/// A file that uses this one too.
fn cycle(import: &Import, entry: &Entry, shared: &Shared, circle: &Circle) -> Option<Finding> {
    let own = entry.file.path();
    let message = if import.target == *own {
        "the file uses itself: take this out".to_string()
    } else if circle.contains(&import.target) {
        let path = import.path();
        let used = shared.entries.get(&import.target)?;
        let over = match used.imports.iter().any(|import| import.target == *own) {
            true => "",
            false => ", over others",
        };
        format!("`{path}` uses this file too{over}: put what both need into a file of its own")
    } else {
        return None;
    };
    Some(Finding::new(Code::ImportCycle, import.span, message))
}

/// A file that was used before.
fn twice(import: &Import, first: &Spot) -> Finding {
    let message = format!("`{}` is used twice: take one out", import.path());
    Finding::new(Code::Repeated, import.span, message).with(first.clone(), "the first one")
}

/// Files and models that nothing in a file needs.
fn unused(entry: &Entry, shared: &Shared, is_used: bool) -> Vec<(u64, Finding)> {
    // A plan that is just begun has its first `use` before anything that needs it.
    let is_import =
        |declared: &Declaration| matches!(declared, Declaration::Use(_) | Declaration::Nothing);
    let mut known = entry.evaluations.iter();
    let begun = known.all(|known| is_import(&known.item.declared().what));
    let lookups = || entry.evaluations.iter().map(|known| &known.facts().lookups);
    // A name that nothing has may be a misspelt one of any file, and what means nothing may
    // need any.
    let means_nothing = |(_, item): (usize, &Arc<Item>)| item.means_nothing();
    if begun
        || lookups().any(|lookups| lookups.lack_a_name())
        || entry.file.items().any(means_nothing)
    {
        return Vec::new();
    }
    let asked: FxHashSet<u64> = lookups().flat_map(|lookups| lookups.ids()).collect();
    let mut findings = Vec::new();
    for import in &entry.imports {
        let Some(used) = shared.entries.get(&import.target) else {
            continue;
        };
        let needed = used.file.items().any(|(_, item)| asked.contains(&item.id));
        if !needed && used.file.unreadable_because().is_none() {
            let path = import.path();
            let message = format!("nothing in this file needs `{path}`: take the `use` out");
            let finding = Finding::new(Code::Unused, import.item.root().span, message);
            findings.push((import.item.id, finding));
        }
    }
    // A model beside a site is meant for it; a catalog's models wait for plans.
    let has_site = entry.evaluations.iter().any(|known| known.is_site());
    if is_used || !has_site {
        return findings;
    }
    for (_, item) in entry.file.items() {
        let is_model = Space::of(item) == Some(Space::Model);
        if !is_model || asked.contains(&item.id) {
            continue;
        }
        if let (Some(name), Some(span)) = (item.name(), item.declared().name) {
            let message = format!("nothing uses the model `{name}`");
            findings.push((item.id, Finding::new(Code::Unused, span, message)));
        }
    }
    findings
}
