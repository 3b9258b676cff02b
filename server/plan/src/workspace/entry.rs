//! A file with everything that was computed from it.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use super::evaluate::Evaluation;
use super::index::{Declares, declares};
use super::scope::Fingerprint;
use crate::finding::Finding;
use crate::model::Declaration;
use crate::source::{File, FilePath, Item, Span};

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
    pub(super) fingerprint: Fingerprint,
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

impl Import {
    /// The path as it is written.
    pub(super) fn path(&self) -> &str {
        self.item.text(self.span)
    }
}

impl Entry {
    /// A file whose items are yet to be worked out; what is known of them from
    /// the version before is kept until then.
    pub(super) fn new(file: Arc<File>, old: Option<&Entry>) -> Entry {
        let imports = file
            .items()
            .filter_map(|(_, item)| {
                let Declaration::Use(Some(span)) = item.declared().what else {
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
            fingerprint: old.map(|old| old.fingerprint).unwrap_or_default(),
        }
    }

    /// Whether its items, as they are, have been worked out, if perhaps in another scope.
    pub(super) fn is_evaluated(&self) -> bool {
        let items = self.file.items().map(|(_, item)| item.id);
        items.eq(self.evaluations.iter().map(|known| known.item.id))
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

    /// The same without what of its sites can be made again, except for those to
    /// be kept. Whatever else a file declares others may refer to: that is kept.
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
            findings: self.findings.clone(),
            ..self.with(evaluations, self.fingerprint)
        }
    }

    /// The same file with what came of its items, in a scope.
    pub(super) fn with(
        &self,
        evaluations: Vec<Arc<Evaluation>>,
        fingerprint: Fingerprint,
    ) -> Entry {
        Entry {
            file: self.file.clone(),
            evaluations,
            imports: self.imports.clone(),
            declares: self.declares,
            findings: Vec::new(),
            fingerprint,
        }
    }
}
