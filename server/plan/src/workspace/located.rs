//! All findings of a file, with their places, those of its items and those that
//! take the whole workspace to see.

use std::ops::Range;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::entry::Entry;
use super::evaluate::Evaluation;
use super::rivals::Rivals;
use super::view::View;
use crate::finding::{Code, Finding};
use crate::source::{File, FilePath, Item};

/// A finding with its place in the file.
#[derive(Debug, Clone)]
pub struct Located {
    /// Bytes in the file.
    pub range: Range<usize>,
    /// The finding; its own span is inside `item`.
    pub finding: Finding,
    /// The item that it is about; `None` for a text without any.
    pub item: Option<Arc<Item>>,
    /// The site that it is about.
    pub site: Option<String>,
    /// The other places: a file, bytes in this version of it, and what is there.
    pub related: Vec<(Arc<File>, Range<usize>, String)>,
}

impl Located {
    /// Where its item starts in the file, if it has one.
    pub fn item_start(&self) -> Option<usize> {
        self.range
            .start
            .checked_sub(self.finding.span.start as usize)
    }
}

impl View {
    /// A file, unless nobody has it open and nothing is wrong with it: most files of a large
    /// workspace, which need not be read again to say so.
    pub fn faulty(&self, path: &FilePath) -> Option<Arc<Entry>> {
        let stored = self.stored(path)?;
        let mut rivals = Rivals::new(self, &stored);
        let mut evaluations = stored.evaluations.iter();
        let is_clean = stored.file.is_closed()
            && stored.file.unreadable_because().is_none()
            && stored.file.loose_problems().is_empty()
            && stored.findings.is_empty()
            && evaluations.all(|known| {
                known.findings.is_empty()
                    && known.accepts().is_empty()
                    && rivals.check(known).is_empty()
            });
        match is_clean {
            true => None,
            false => self.entry(path),
        }
    }

    /// Everything that is wrong with a file, in the order of the text.
    pub fn findings(&self, entry: &Entry) -> Vec<Located> {
        let mut located = Vec::new();
        let loose = |range: Range<usize>, message: &str| Located {
            range,
            finding: Finding::new(Code::Syntax, Default::default(), message),
            item: None,
            site: None,
            related: Vec::new(),
        };
        located.extend(entry.file.unreadable_because().map(|why| loose(0..0, why)));
        located.extend(entry.file.loose_problems().iter().map(|problem| {
            let range = problem.span.start as usize..problem.span.end as usize;
            loose(range, &problem.message)
        }));
        let mut rivals = Rivals::new(self, entry);
        let mut in_file: FxHashMap<u64, Vec<&Finding>> = FxHashMap::default();
        for (id, finding) in &entry.findings {
            in_file.entry(*id).or_default().push(finding);
        }
        for ((start, item), evaluation) in entry.file.items().zip(&entry.evaluations) {
            let mut findings = evaluation.findings.to_vec();
            let own = in_file.remove(&item.id);
            findings.extend(own.into_iter().flatten().cloned());
            findings.extend(rivals.check(evaluation));
            accept(evaluation, &mut findings);
            findings.sort_by_key(|finding| (finding.span, finding.code));
            let site = evaluation.called().map(str::to_string);
            for finding in findings {
                let range = start + finding.span.start as usize..start + finding.span.end as usize;
                let related = finding
                    .related
                    .iter()
                    .filter_map(|(spot, message)| {
                        let (file, range) = match spot.item.file == item.file {
                            true => (entry.file.clone(), entry.file.locate(spot)?),
                            false => self.locate(spot)?,
                        };
                        Some((file, range, message.clone()))
                    })
                    .collect();
                located.push(Located {
                    range,
                    finding,
                    item: Some(item.clone()),
                    site: site.clone(),
                    related,
                });
            }
        }
        located
    }
}

/// Marks what is accepted, and reports acceptances that match nothing.
fn accept(evaluation: &Evaluation, findings: &mut Vec<Finding>) {
    let mut unused = Vec::new();
    for accept in evaluation.accepts() {
        let mut matched = false;
        for finding in findings.iter_mut() {
            let inside =
                accept.within.start <= finding.span.start && finding.span.end <= accept.within.end;
            if inside && finding.code == accept.code.value {
                finding.accepted = Some(accept.reason.clone());
                matched = true;
            }
        }
        if !matched {
            unused.push(Finding::new(
                Code::AcceptUnused,
                accept.code.span,
                format!(
                    "nothing here has `{}`: take the `accept` out",
                    accept.code.value
                ),
            ));
        }
    }
    findings.extend(unused);
}
