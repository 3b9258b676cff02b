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

/// How many of the others a finding points at.
const SHOWN: usize = 8;

#[derive(Debug, Clone)]
pub(super) struct Holder {
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

    /// The findings about what an item of `entry` claims and others claim too.
    pub(super) fn check(&self, entry: &Entry, evaluation: &Evaluation) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (claim, own) in of(evaluation) {
            let file = entry.file.path();
            let mut others: Vec<Holder> = Vec::new();
            if let Some(holders) = self.holders.get(&claim) {
                if matches!(holders.as_slice(), [only] if only.spot == own.spot) {
                    continue;
                }
                let elsewhere = holders
                    .iter()
                    .filter(|holder| holder.spot.item.file != *file);
                others.extend(elsewhere.take(SHOWN).cloned());
            }
            // The entry may be an older version of its file by now: what the file
            // itself claims is taken from the entry.
            let own_file = entry.claims.get_or_init(|| by_claim(entry));
            let siblings = own_file.get(&claim).into_iter().flatten();
            let siblings = siblings.filter(|holder| holder.spot != own.spot);
            others.extend(siblings.take(SHOWN).cloned());
            others.sort_by(|a, b| (&a.spot.item.file, &a.site).cmp(&(&b.spot.item.file, &b.site)));
            others.truncate(SHOWN);
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
            for other in others {
                finding = finding.with(other.spot, format!("site `{}` has it too", other.site));
            }
            findings.push(finding);
        }
        findings
    }
}

/// What a version of a file claims, worked out when there is a conflict.
fn by_claim(entry: &Entry) -> FxHashMap<Claim, Vec<Holder>> {
    let mut claims: FxHashMap<Claim, Vec<Holder>> = FxHashMap::default();
    for (claim, holder) in entry
        .evaluations
        .iter()
        .flat_map(|evaluation| of(evaluation))
    {
        claims.entry(claim).or_default().push(holder);
    }
    claims
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
