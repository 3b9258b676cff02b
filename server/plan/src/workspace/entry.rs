//! A file with everything that was computed from it.

use std::sync::{Arc, LazyLock};

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::Shared;
use super::evaluate::Evaluation;
use super::index::{Declares, declares};
use super::scope::{FileScope, Print};
use crate::checks::Day;
use crate::finding::{Code, Finding};
use crate::library::LIBRARY;
use crate::model::{Space, What};
use crate::source::{File, FilePath, Item, Span, Spot};

/// Items that an edit makes stale, at most. More than these are worked out on
/// all cores, and nothing is kept of them that can be made again.
const AT_ONCE: usize = 8;

/// The built-in library, worked out once for all workspaces.
pub(super) static LIBRARY_ENTRIES: LazyLock<Vec<Arc<Entry>>> = LazyLock::new(|| {
    let nothing = Shared::new(Day::default());
    let work = |file: &Arc<File>| {
        let entry = Entry::new(file.clone(), None);
        Arc::new(entry.worked_out(&nothing, &FxHashMap::default(), true))
    };
    LIBRARY.iter().map(work).collect()
});

/// One version of a file, worked out.
#[derive(Debug)]
pub struct Entry {
    /// The file.
    pub file: Arc<File>,
    /// One for each item, in the order of the text.
    pub evaluations: Vec<Arc<Evaluation>>,
    /// The files that it uses.
    pub imports: Vec<Import>,
    pub(super) declares: Declares,
    /// What is wrong with an item as part of this file: the item's id, and what.
    pub(super) findings: Vec<(u64, Finding)>,
    /// The scope that the evaluations were made in.
    print: Print,
}

/// A `use`.
#[derive(Debug, Clone)]
pub struct Import {
    /// The statement.
    pub item: Arc<Item>,
    /// The path, between its quotes.
    pub span: Span,
    /// The file that it means.
    pub target: FilePath,
}

/// Why a file that is used cannot be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ImportState {
    /// It is not there.
    Missing,
    /// It lies outside the workspace folders.
    Outside,
}

impl Entry {
    /// A file whose items are yet to be worked out; what is known of them from
    /// the version before is kept until then.
    pub(super) fn new(file: Arc<File>, old: Option<&Entry>) -> Entry {
        let imports = file
            .items()
            .filter_map(|(_, item)| {
                let What::Use(Some(span)) = item.declared().what else {
                    return None;
                };
                Some(Import {
                    item: item.clone(),
                    span,
                    target: file.path().join(item.text(span)),
                })
            })
            .collect();
        Entry {
            declares: declares(&file),
            file,
            evaluations: old.map(|old| old.evaluations.clone()).unwrap_or_default(),
            imports,
            findings: Vec::new(),
            print: old.map(|old| old.print).unwrap_or_default(),
        }
    }

    pub(super) fn same_imports(&self, other: &Entry) -> bool {
        let targets = |entry: &'_ Entry| -> Vec<FilePath> {
            entry
                .imports
                .iter()
                .map(|import| import.target.clone())
                .collect()
        };
        targets(self) == targets(other)
    }

    /// Whether nothing that was computed differs.
    pub(super) fn same_results(&self, other: &Entry) -> bool {
        self.findings == other.findings
            && self.evaluations.len() == other.evaluations.len()
            && self
                .evaluations
                .iter()
                .zip(&other.evaluations)
                .all(|(a, b)| Arc::ptr_eq(a, b))
    }

    /// Whether a finding names a place in one of these files.
    pub(super) fn points_into(&self, files: &FxHashSet<FilePath>) -> bool {
        let own = self.findings.iter().map(|(_, finding)| finding);
        let all = self
            .evaluations
            .iter()
            .flat_map(|evaluation| &*evaluation.findings);
        own.chain(all)
            .flat_map(|finding| &finding.related)
            .any(|(spot, _)| files.contains(&spot.item.file))
    }

    /// The scope of the file's items.
    pub(super) fn scope(&self, shared: &Shared) -> FileScope {
        let used = self.imports.iter().filter_map(|import| {
            let entry = shared.entries.get(&import.target)?;
            Some(entry.file.clone())
        });
        let used: Vec<Arc<File>> = used.collect();
        let read = used
            .iter()
            .filter(|file| file.unreadable_because().is_none());
        let uses = self.file.items();
        let uses = uses.filter(|(_, item)| matches!(item.declared().what, What::Use(_)));
        let whole = read.count() == uses.count();
        FileScope::new(self.file.clone(), used, whole)
    }

    /// The same file, worked out. What still holds is kept.
    pub(super) fn worked_out(
        &self,
        shared: &Shared,
        absent: &FxHashMap<FilePath, ImportState>,
        is_used: bool,
    ) -> Entry {
        let scope = self.scope(shared);
        let same_scope = scope.print() == self.print;
        let known: FxHashMap<u64, &Arc<Evaluation>> = self
            .evaluations
            .iter()
            .map(|evaluation| (evaluation.item.id, evaluation))
            .collect();
        let holds = |evaluation: &&Arc<Evaluation>| {
            same_scope || evaluation.facts().lookups.still_hold(&scope)
        };
        let items: Vec<(&Arc<Item>, Option<&Arc<Evaluation>>)> = self
            .file
            .items()
            .map(|(_, item)| (item, known.get(&item.id).copied().filter(holds)))
            .collect();
        let anew = |item: &Arc<Item>| Evaluation::new(item, &scope, shared.today);
        let stale = items.iter().filter(|(_, known)| known.is_none()).count();
        let evaluations: Vec<Arc<Evaluation>> = if stale > AT_ONCE {
            // Nobody looks at all of these soon.
            let work = |(item, known): &(&Arc<Item>, Option<&Arc<Evaluation>>)| match known {
                Some(known) => (*known).clone(),
                None => Arc::new(anew(item).at_rest((*item).clone())),
            };
            items.par_iter().map(work).collect()
        } else {
            let work = |(item, known): (_, Option<&Arc<Evaluation>>)| match known {
                Some(known) => known.clone(),
                None => Arc::new(anew(item)),
            };
            items.into_iter().map(work).collect()
        };
        let mut entry = Entry {
            file: self.file.clone(),
            evaluations,
            imports: self.imports.clone(),
            declares: self.declares,
            findings: Vec::new(),
            print: scope.print(),
        };
        let mut findings = Vec::new();
        entry.check_imports(shared, absent, is_used, &mut findings);
        entry.check_names(shared, &mut findings);
        entry.check_unused(shared, is_used, &mut findings);
        entry.findings = findings;
        entry
    }

    /// The same without what of its sites can be made again, except for those to
    /// be kept. What else a file declares others may refer to: that is kept.
    pub(super) fn at_rest(&self, keep: impl Fn(&Evaluation) -> bool) -> Entry {
        let rest = |evaluation: &Arc<Evaluation>| match !evaluation.is_site() || keep(evaluation) {
            true => evaluation.clone(),
            false => {
                let item = Arc::new(evaluation.item.at_rest());
                Arc::new(evaluation.at_rest(item))
            }
        };
        let evaluations: Vec<_> = self.evaluations.iter().map(rest).collect();
        let items = self.file.items().zip(&evaluations);
        let same = |((_, item), known): (_, &Arc<Evaluation>)| -> Arc<Item> {
            let item: &Arc<Item> = item;
            match item.id == known.item.id {
                true => known.item.clone(),
                false => item.clone(),
            }
        };
        let file = match evaluations.len() == self.file.items().count() {
            true => Arc::new(self.file.with_items(items.map(same))),
            false => self.file.clone(),
        };
        Entry {
            file,
            evaluations,
            imports: self.imports.clone(),
            declares: self.declares,
            findings: self.findings.clone(),
            print: self.print,
        }
    }

    fn check_imports(
        &self,
        shared: &Shared,
        absent: &FxHashMap<FilePath, ImportState>,
        is_used: bool,
        findings: &mut Vec<(u64, Finding)>,
    ) {
        let mut seen: FxHashMap<&FilePath, Spot> = FxHashMap::default();
        let back = match is_used {
            true => self.ways_back(shared),
            false => FxHashMap::default(),
        };
        for import in &self.imports {
            let path = import.item.text(import.span);
            let mut report = |code, message: String| {
                findings.push((import.item.id, Finding::new(code, import.span, message)));
            };
            match absent.get(&import.target) {
                Some(ImportState::Missing) => report(
                    Code::ImportMissing,
                    format!(
                        "there is no file `{path}`: mend the path, which is seen from this file's folder, or create the file. Until then no name in this file is told as unknown"
                    ),
                ),
                Some(ImportState::Outside) => report(
                    Code::ImportOutside,
                    format!(
                        "`{path}` lies outside the workspace folders, where nothing is read: move it inside, or open its folder too"
                    ),
                ),
                None => {}
            }
            if let Some(entry) = shared.entries.get(&import.target)
                && let Some(why) = entry.file.unreadable_because()
            {
                report(
                    Code::ImportMissing,
                    format!("`{path}` cannot be read: {why}"),
                );
            }
            if import.target == *self.file.path() {
                report(
                    Code::ImportCycle,
                    "the file uses itself: take this out".to_string(),
                );
            } else if let Some(steps) = back.get(&import.target) {
                let way = if *steps > 1 { ", over others" } else { "" };
                report(
                    Code::ImportCycle,
                    format!(
                        "`{path}` uses this file too{way}: put what both need into a file of its own"
                    ),
                );
            }
            let spot = Spot {
                item: import.item.clone(),
                span: import.span,
            };
            if let Some(first) = seen.get(&import.target) {
                let finding = Finding::new(
                    Code::Repeated,
                    import.span,
                    format!("`{path}` is used twice: take one out"),
                )
                .with(first.clone(), "the first one");
                findings.push((import.item.id, finding));
            } else {
                seen.insert(&import.target, spot);
            }
        }
    }

    /// The files that this one uses, over others or not, and that use it again:
    /// each with the fewest steps that lead back.
    fn ways_back(&self, shared: &Shared) -> FxHashMap<FilePath, usize> {
        let mut users: FxHashMap<FilePath, Vec<FilePath>> = FxHashMap::default();
        let mut seen: FxHashSet<FilePath> = FxHashSet::default();
        let targets = self.imports.iter().map(|import| import.target.clone());
        let mut next: Vec<FilePath> = targets.collect();
        while let Some(path) = next.pop() {
            if path == *self.file.path() || !seen.insert(path.clone()) {
                continue;
            }
            let Some(entry) = shared.entries.get(&path).map(|entry| entry.clone()) else {
                continue;
            };
            for import in &entry.imports {
                let users = users.entry(import.target.clone()).or_default();
                users.push(path.clone());
                next.push(import.target.clone());
            }
        }
        let mut back = FxHashMap::default();
        let mut front = vec![self.file.path().clone()];
        let mut steps = 0;
        while !front.is_empty() {
            steps += 1;
            for path in std::mem::take(&mut front) {
                for user in users.remove(&path).into_iter().flatten() {
                    if !back.contains_key(&user) {
                        back.insert(user.clone(), steps);
                        front.push(user);
                    }
                }
            }
        }
        back
    }

    /// Names that two things have, in this file or in those that it uses.
    fn check_names(&self, shared: &Shared, findings: &mut Vec<(u64, Finding)>) {
        let taken = |item: &Arc<Item>, span: Span, other: &Arc<Item>, name: &str, what: &str| {
            let mut finding = Finding::new(
                Code::NameTaken,
                span,
                format!("two {what}s are called `{name}`: give one of them another name"),
            );
            if let Some(span) = other.declared().name {
                let spot = Spot {
                    item: other.clone(),
                    span,
                };
                finding = finding.with(spot, "the other one");
            }
            (item.id, finding)
        };
        let used: Vec<(&Import, Arc<File>)> = self
            .imports
            .iter()
            .filter_map(|import| {
                let entry = shared.entries.get(&import.target)?;
                Some((import, entry.file.clone()))
            })
            .collect();
        for (_, item) in self.file.items() {
            // Sites are compared over the whole workspace, elsewhere.
            let Some(space) = Space::of(item).filter(|space| *space != Space::Site) else {
                continue;
            };
            let (Some(name), Some(span)) = (item.name(), item.declared().name) else {
                continue;
            };
            let own = self.file.declaring(space, name).iter().cloned();
            let others = used
                .iter()
                .filter_map(|(_, file)| file.declared(space, name));
            if let Some(other) = own.chain(others).find(|other| other.id != item.id) {
                findings.push(taken(item, span, &other, name, item.word()));
            }
        }
        // Who brought a name in first; whatever else brings it is told of that one.
        let mut first: FxHashMap<(Space, String), Arc<Item>> = FxHashMap::default();
        let mut known: FxHashSet<&FilePath> = FxHashSet::default();
        for (import, file) in &used {
            if !known.insert(file.path()) {
                continue;
            }
            let mut own = Vec::new();
            for space in [Space::Model, Space::Rules, Space::Monitoring] {
                for item in file.all(space) {
                    let Some(name) = item.name() else { continue };
                    let key = (space, name.to_string());
                    if let Some(other) = first.get(&key) {
                        let what = item.word();
                        findings.push(taken(&import.item, import.span, other, name, what));
                    } else {
                        own.push((key, item.clone()));
                    }
                }
            }
            first.extend(own);
        }
    }

    /// Files and models that nothing in this file needs.
    fn check_unused(&self, shared: &Shared, is_used: bool, findings: &mut Vec<(u64, Finding)>) {
        let asked: FxHashSet<u64> = self
            .evaluations
            .iter()
            .flat_map(|evaluation| evaluation.facts().lookups.ids())
            .collect();
        // A name that nothing has may be a misspelt one of any file.
        let mut evaluations = self.evaluations.iter();
        if evaluations.any(|evaluation| evaluation.facts().lookups.lack_a_name()) {
            return;
        }
        for import in &self.imports {
            let Some(entry) = shared.entries.get(&import.target) else {
                continue;
            };
            let needed = entry.file.items().any(|(_, item)| asked.contains(&item.id));
            if !needed && entry.file.unreadable_because().is_none() {
                let path = import.item.text(import.span);
                findings.push((
                    import.item.id,
                    Finding::new(
                        Code::Unused,
                        import.item.root().span,
                        format!("nothing in this file needs `{path}`: take the `use` out"),
                    ),
                ));
            }
        }
        // A model beside a site is meant for it; a catalog's models wait for plans.
        let has_site = self.evaluations.iter().any(|known| known.is_site());
        if is_used || !has_site {
            return;
        }
        for (_, item) in self.file.items() {
            let is_model = Space::of(item) == Some(Space::Model);
            if !is_model || asked.contains(&item.id) {
                continue;
            }
            if let (Some(name), Some(span)) = (item.name(), item.declared().name) {
                let message = format!("nothing uses the model `{name}`");
                findings.push((item.id, Finding::new(Code::Unused, span, message)));
            }
        }
    }
}
