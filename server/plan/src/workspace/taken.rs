//! The findings about names that two things have, in one file or in those that it uses.

use std::sync::Arc;

use super::entry::{Entry, Import};
use super::shared::Shared;
use crate::finding::{Code, Finding};
use crate::source::{File, Item, Span};
use crate::vocabulary::Space;

/// The names of a file that are taken: the item's id, and what is wrong. Sites are
/// compared over the whole workspace, elsewhere.
pub(super) fn check(entry: &Entry, shared: &Shared) -> Vec<(u64, Finding)> {
    let used = entry.imports.iter().filter_map(|import| {
        let entry = shared.entries.get(&import.target)?;
        Some((import, entry.file.clone()))
    });
    let used: Vec<(&Import, Arc<File>)> = used.collect();
    let mut findings = declared(&entry.file, &used);
    findings.extend(brought_in(&used));
    findings
}

/// What a file declares and somebody else does too.
fn declared(file: &File, used: &[(&Import, Arc<File>)]) -> Vec<(u64, Finding)> {
    let mut findings = Vec::new();
    for (_, item) in file.items() {
        let Some(space) = Space::of(item).filter(|space| *space != Space::Site) else {
            continue;
        };
        let (Some(name), Some(span)) = (item.name(), item.declared().name) else {
            continue;
        };
        let own = file.declaring(space, name).iter().cloned();
        let others = used
            .iter()
            .filter_map(|(_, file)| file.declared(space, name));
        if let Some(other) = own.chain(others).find(|other| other.id != item.id) {
            findings.push(taken(item, span, &other, name, item.word()));
        }
    }
    findings
}

/// What two of the files that are used declare. Who brought a name in first has it;
/// whatever else brings it is told of that one.
fn brought_in(used: &[(&Import, Arc<File>)]) -> Vec<(u64, Finding)> {
    let mut findings = Vec::new();
    for (index, (import, file)) in used.iter().enumerate() {
        let before = used.get(..index).unwrap_or(&[]);
        if before.iter().any(|(_, other)| other.path() == file.path()) {
            continue;
        }
        for (_, item) in file.items() {
            let space = Space::of(item).filter(|space| Space::LOOKED_UP.contains(space));
            let (Some(space), Some(name)) = (space, item.name()) else {
                continue;
            };
            let mut before = before.iter();
            if let Some(other) = before.find_map(|(_, file)| file.declaring(space, name).first()) {
                findings.push(taken(&import.item, import.span, other, name, item.word()));
            }
        }
    }
    findings
}

fn taken(item: &Item, span: Span, other: &Arc<Item>, name: &str, what: &str) -> (u64, Finding) {
    let message = format!("two {what}s are called `{name}`: give one of them another name");
    let mut finding = Finding::new(Code::NameTaken, span, message);
    if let Some(span) = other.declared().name {
        finding = finding.with(other.spot(span), "the other one");
    }
    (item.id, finding)
}
