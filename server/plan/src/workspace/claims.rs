//! What only one site of the whole workspace may have: its name, and its
//! account at a monitoring centre.

use std::cell::OnceCell;
use std::sync::Arc;

use dashmap::DashMap;
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use super::entry::Entry;
use super::evaluate::Evaluation;
use super::view::View;
use crate::finding::{Code, Finding};
use crate::source::{FilePath, Span, Spot};

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
        // What a site claims may change while its text does not: with the centre
        // that it reports to, for one. So evaluations are compared, not items.
        let evaluations = |entry: Option<&Entry>| -> FxHashSet<*const Evaluation> {
            let all = entry.into_iter().flat_map(|entry| &entry.evaluations);
            all.map(Arc::as_ptr).collect()
        };
        let claimed = |entry: Option<&Entry>, besides: &FxHashSet<*const Evaluation>| {
            let all = entry.into_iter().flat_map(|entry| &entry.evaluations);
            let other = all.filter(|evaluation| !besides.contains(&Arc::as_ptr(evaluation)));
            let made = other.flat_map(|evaluation| of(evaluation));
            let keyed = made.map(|(claim, holder)| {
                let Spot { item, span } = &holder.spot;
                ((claim, item.id, *span), holder)
            });
            keyed.collect::<FxHashMap<(Claim, u64, Span), Holder>>()
        };
        let before = claimed(old, &evaluations(new));
        let after = claimed(new, &evaluations(old));
        let mut touched = Vec::new();
        for (key, holder) in &before {
            if after.contains_key(key) {
                continue;
            }
            let claim = &key.0;
            if let Some(mut holders) = self.holders.get_mut(claim) {
                holders.retain(|other| other.spot != holder.spot);
            }
            self.holders
                .remove_if(claim, |_, holders| holders.is_empty());
            touched.push(claim.clone());
        }
        for (key, holder) in after {
            if !before.contains_key(&key) {
                touched.push(key.0.clone());
                self.holders.entry(key.0).or_default().push(holder);
            }
        }
        touched
    }

    /// Adds the files of all who make one of these claims.
    pub(super) fn holders(&self, claims: &FxHashSet<Claim>, files: &mut FxHashSet<FilePath>) {
        for claim in claims {
            if let Some(holders) = self.holders.get(claim) {
                files.extend(holders.iter().map(|holder| holder.spot.item.file.clone()));
            }
        }
    }

    /// Adds the files that claim something that this one claims too.
    pub(super) fn rivals(&self, entry: &Entry, files: &mut FxHashSet<FilePath>) {
        let evaluations = entry.evaluations.iter();
        let claims: FxHashSet<Claim> = evaluations
            .flat_map(|evaluation| of(evaluation))
            .map(|(claim, _)| claim)
            .collect();
        for claim in claims {
            if let Some(holders) = self.holders.get(&claim).filter(|holders| holders.len() > 1) {
                files.extend(holders.iter().map(|holder| holder.spot.item.file.clone()));
            }
        }
    }
}

/// Who claims the same as the items of one file, in the order of files and text.
pub(super) struct Rivals<'a> {
    view: &'a View,
    /// The file. It may be an older version by now, so what it claims itself is
    /// taken from it, not from what all claim.
    entry: &'a Entry,
    /// What the file itself claims.
    own: OnceCell<FxHashMap<Claim, Vec<Holder>>>,
    known: FxHashMap<Claim, Vec<Holder>>,
}

/// How many of the others a finding points at.
const SHOWN: usize = 8;

impl<'a> Rivals<'a> {
    pub(super) fn new(view: &'a View, entry: &'a Entry) -> Rivals<'a> {
        Rivals {
            view,
            entry,
            own: OnceCell::new(),
            known: FxHashMap::default(),
        }
    }

    /// The findings about what an item claims and others claim too.
    pub(super) fn check(&mut self, evaluation: &Evaluation) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (claim, own) in of(evaluation) {
            let holders = self.holders(&claim);
            let others = holders.iter().filter(|holder| holder.spot != own.spot);
            let others: Vec<&Holder> = others.take(SHOWN).collect();
            let Some(first) = others.first() else {
                continue;
            };
            let mut finding = match &claim {
                Claim::Site(name) => {
                    let count = match holders.len() {
                        2 => "two".to_string(),
                        count => count.to_string(),
                    };
                    let message =
                        format!("{count} sites are called `{name}`: give this one another name");
                    Finding::new(Code::NameTaken, own.spot.span, message)
                }
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
                let message = format!("site `{}` has it too", other.site);
                finding = finding.with(other.spot.clone(), message);
            }
            findings.push(finding);
        }
        findings
    }

    /// All who make a claim.
    fn holders(&mut self, claim: &Claim) -> &[Holder] {
        let (view, entry, in_file) = (self.view, self.entry, &self.own);
        self.known.entry(claim.clone()).or_insert_with(|| {
            let file = entry.file.path();
            let all = view.claims().holders.get(claim);
            let all = all.map_or_else(Vec::new, |all| all.clone());
            let elsewhere = all.into_iter().filter_map(|holder| {
                let (path, range) = view.locate(&holder.spot)?;
                (path != *file).then_some((path, range.start, holder))
            });
            let in_file = in_file.get_or_init(|| by_claim(entry));
            let here = in_file.get(claim).into_iter().flatten();
            let here = here.filter_map(|holder| {
                let range = entry.file.locate(&holder.spot)?;
                Some((file.clone(), range.start, holder.clone()))
            });
            let mut placed: Vec<_> = elsewhere.chain(here).collect();
            placed.sort_by(|a, b| (&a.0, a.1).cmp(&(&b.0, b.1)));
            placed.into_iter().map(|(_, _, holder)| holder).collect()
        })
    }
}

/// What a version of a file claims itself.
fn by_claim(entry: &Entry) -> FxHashMap<Claim, Vec<Holder>> {
    let mut claims: FxHashMap<Claim, Vec<Holder>> = FxHashMap::default();
    let evaluations = entry.evaluations.iter();
    for (claim, holder) in evaluations.flat_map(|evaluation| of(evaluation)) {
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
