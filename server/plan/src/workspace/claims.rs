//! What only one site of the whole workspace may have: its name, and its
//! account at a monitoring centre.

use dashmap::DashMap;
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use super::entry::Entry;
use super::evaluate::Evaluation;
use crate::finding::{Code, Finding};
use crate::source::{FilePath, Spot};

/// Something that one site claims for itself.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) enum Claim {
    /// A site's name.
    Site(String),
    /// An account: the file and name of the centre, and the number.
    Account(FilePath, String, u32),
}

/// Who claims what.
#[derive(Debug, Default)]
pub(crate) struct Claims {
    holders: DashMap<Claim, Vec<Holder>, FxBuildHasher>,
}

#[derive(Debug, Clone)]
struct Holder {
    site: String,
    spot: Spot,
}

impl Claims {
    /// Takes out what the old entry claimed and puts in what the new one does.
    /// Gives the claims that are not the same as before.
    pub(super) fn replace(&self, old: Option<&Entry>, new: Option<&Entry>) -> Vec<Claim> {
        let ids = |entry: Option<&Entry>| -> FxHashSet<u64> {
            let evaluations = entry.into_iter().flat_map(|entry| &entry.evaluations);
            evaluations.map(|evaluation| evaluation.item.id).collect()
        };
        let (old_ids, new_ids) = (ids(old), ids(new));
        let mut touched = Vec::new();
        for evaluation in old.into_iter().flat_map(|entry| &entry.evaluations) {
            if new_ids.contains(&evaluation.item.id) {
                continue;
            }
            for (claim, _) in of(evaluation) {
                if let Some(mut holders) = self.holders.get_mut(&claim) {
                    holders.retain(|holder| holder.spot.item.id != evaluation.item.id);
                }
                self.holders
                    .remove_if(&claim, |_, holders| holders.is_empty());
                touched.push(claim);
            }
        }
        for evaluation in new.into_iter().flat_map(|entry| &entry.evaluations) {
            let is_known = old_ids.contains(&evaluation.item.id);
            for (claim, holder) in of(evaluation) {
                let mut holders = self.holders.entry(claim.clone()).or_default();
                let held = holders.iter().any(|other| other.spot == holder.spot);
                if is_known && held {
                    continue;
                }
                if !held {
                    holders.push(holder);
                }
                touched.push(claim);
            }
        }
        touched
    }

    /// The files of all who make one of these claims.
    pub(super) fn holders(&self, claims: &FxHashSet<Claim>) -> Vec<FilePath> {
        let mut files = Vec::new();
        for claim in claims {
            if let Some(holders) = self.holders.get(claim) {
                files.extend(holders.iter().map(|holder| holder.spot.item.file.clone()));
            }
        }
        files
    }

    /// The files that claim something that this one claims too.
    pub(super) fn rivals(&self, entry: &Entry) -> Vec<FilePath> {
        let mut files = Vec::new();
        for (claim, _) in entry
            .evaluations
            .iter()
            .flat_map(|evaluation| of(evaluation))
        {
            if let Some(holders) = self.holders.get(&claim).filter(|holders| holders.len() > 1) {
                files.extend(holders.iter().map(|holder| holder.spot.item.file.clone()));
            }
        }
        files
    }

    /// The findings about what an item claims and others claim too.
    pub(super) fn check(&self, evaluation: &Evaluation) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (claim, own) in of(evaluation) {
            let others: Vec<Holder> = match self.holders.get(&claim) {
                Some(holders) => holders
                    .iter()
                    .filter(|holder| holder.spot != own.spot)
                    .cloned()
                    .collect(),
                None => continue,
            };
            let Some(first) = others.first() else {
                continue;
            };
            let mut finding = match &claim {
                Claim::Site(name) => Finding::new(
                    Code::NameTaken,
                    own.spot.span,
                    format!("two sites are called `{name}`: give this one another name"),
                ),
                Claim::Account(_, centre, account) => Finding::new(
                    Code::AccountTaken,
                    own.spot.span,
                    format!(
                        "account {account} at `{centre}` serves `{}` already: ask the centre for another one",
                        first.site
                    ),
                ),
            };
            let mut others = others;
            others.sort_by(|a, b| a.spot.item.file.cmp(&b.spot.item.file));
            for other in others {
                finding = finding.with(other.spot, format!("site `{}` has it too", other.site));
            }
            findings.push(finding);
        }
        findings
    }
}

/// What an item claims, and where.
fn of(evaluation: &Evaluation) -> Vec<(Claim, Holder)> {
    let Some(site) = &evaluation.site else {
        return Vec::new();
    };
    let holder = |span| Holder {
        site: site.called().to_string(),
        spot: site.spot(span),
    };
    let mut claims: FxHashMap<Claim, Holder> = FxHashMap::default();
    if let Some(name) = &site.name {
        claims.insert(Claim::Site(name.value.clone()), holder(name.span));
    }
    for report in &site.reports {
        let (Some(centre), Some(account)) = (&report.monitoring, report.account) else {
            continue;
        };
        let claim = Claim::Account(
            centre.file.clone(),
            report.centre.value.clone(),
            account.value,
        );
        claims.insert(claim, holder(account.span));
    }
    claims.into_iter().collect()
}
