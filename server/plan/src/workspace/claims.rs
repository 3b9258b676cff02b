//! What only one site of the whole workspace may have: its name, and its
//! account at a monitoring centre.

use std::cell::OnceCell;
use std::sync::Arc;

use dashmap::{DashMap, DashSet};
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use super::entry::Entry;
use super::evaluate::Evaluation;
use super::view::View;
use crate::finding::{Code, Finding};
use crate::model::Site;
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
    /// What more than one holds.
    contested: DashSet<Claim, FxBuildHasher>,
}

#[derive(Debug, Clone)]
struct Holder {
    site: Box<str>,
    spot: Spot,
}

impl Claims {
    /// Takes out what the old entry claimed and puts in what the new one does.
    /// Gives the claims that are not the same as before.
    pub(super) fn replace(&self, old: Option<&Entry>, new: Option<&Entry>) -> Vec<Claim> {
        // What a site claims may change while its text does not: with the centre
        // that it reports to, for one. So evaluations are compared, not items.
        let (old, new) = changed(
            old.map_or(&[], |entry| &entry.evaluations),
            new.map_or(&[], |entry| &entry.evaluations),
        );
        let claimed = |evaluations: &[Arc<Evaluation>]| {
            let made = evaluations.iter().flat_map(|known| holders(known));
            let keyed = made.map(|(claim, holder)| {
                let Spot { item, span } = &holder.spot;
                ((claim.clone(), item.id, *span), holder)
            });
            keyed.collect::<FxHashMap<(Claim, u64, Span), Holder>>()
        };
        let (before, after) = (claimed(old), claimed(new));
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
        for claim in &touched {
            let holders = self.holders.get(claim).map_or(0, |holders| holders.len());
            match holders > 1 {
                true => self.contested.insert(claim.clone()),
                false => self.contested.remove(claim).is_some(),
            };
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

    /// Adds the files that claim something that one of those that changed claims too.
    pub(super) fn rivals(&self, changed: &FxHashSet<FilePath>, files: &mut FxHashSet<FilePath>) {
        for claim in self.contested.iter() {
            let Some(holders) = self.holders.get(claim.key()) else {
                continue;
            };
            let mut paths = holders.iter().map(|holder| &holder.spot.item.file);
            if paths.any(|path| changed.contains(path)) {
                files.extend(holders.iter().map(|holder| holder.spot.item.file.clone()));
            }
        }
    }

    /// The name of a site that is called so, in the first file that has one.
    pub(super) fn site(&self, name: &str) -> Option<Spot> {
        let holders = self.holders.get(&Claim::Site(name.to_string()))?;
        let spots = holders.iter().map(|holder| &holder.spot);
        spots.min_by_key(|spot| &spot.item.file).cloned()
    }

    /// Whether somebody in another file makes a claim.
    fn is_made_outside(&self, claim: &Claim, file: &FilePath) -> bool {
        let holders = self.holders.get(claim);
        holders.is_some_and(|holders| {
            let mut paths = holders.iter().map(|holder| &holder.spot.item.file);
            paths.any(|path| path != file)
        })
    }
}

/// The stretches of two lists between what both start with and what both end with.
fn changed<'a>(
    old: &'a [Arc<Evaluation>],
    new: &'a [Arc<Evaluation>],
) -> (&'a [Arc<Evaluation>], &'a [Arc<Evaluation>]) {
    let same = |(a, b): &(&Arc<Evaluation>, &Arc<Evaluation>)| Arc::ptr_eq(a, b);
    let head = old.iter().zip(new).take_while(same).count();
    let (old, new) = (&old[head..], &new[head..]);
    let tail = old.iter().rev().zip(new.iter().rev());
    let tail = tail.take_while(same).count();
    (&old[..old.len() - tail], &new[..new.len() - tail])
}

/// Who claims the same as the items of one file, in the order of files and text.
pub(super) struct Rivals<'a> {
    view: &'a View,
    /// The file. It may be an older version by now, so what it claims itself is
    /// taken from it, not from what all claim.
    entry: &'a Entry,
    /// What the file itself claims.
    own: OnceCell<FxHashMap<&'a Claim, Vec<Holder>>>,
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
        for (claim, own) in holders(evaluation) {
            if !self.is_contested(claim) {
                continue;
            }
            let holders = self.holders(claim);
            let others = holders.iter().filter(|holder| holder.spot != own.spot);
            let others: Vec<&Holder> = others.take(SHOWN).collect();
            let Some(first) = others.first() else {
                continue;
            };
            let mut finding = match claim {
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

    /// Whether somebody else makes a claim of the file.
    fn is_contested(&self, claim: &Claim) -> bool {
        let own = self.own.get_or_init(|| by_claim(self.entry)).get(claim);
        own.is_some_and(|own| own.len() > 1)
            || self
                .view
                .claims()
                .is_made_outside(claim, self.entry.file.path())
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
fn by_claim(entry: &Entry) -> FxHashMap<&Claim, Vec<Holder>> {
    let mut claims: FxHashMap<&Claim, Vec<Holder>> = FxHashMap::default();
    for (claim, holder) in entry.evaluations.iter().flat_map(|known| holders(known)) {
        claims.entry(claim).or_default().push(holder);
    }
    claims
}

/// What an item claims, and who holds it.
fn holders(evaluation: &Evaluation) -> impl Iterator<Item = (&Claim, Holder)> {
    let claims = evaluation.facts().claims.iter();
    claims.map(|(claim, span)| {
        let holder = Holder {
            site: evaluation.called().unwrap_or("").into(),
            spot: Spot {
                item: evaluation.item.clone(),
                span: *span,
            },
        };
        (claim, holder)
    })
}

/// What a site claims, and where.
pub(super) fn of(site: &Site) -> Box<[(Claim, Span)]> {
    let mut claims: FxHashMap<Claim, Span> = FxHashMap::default();
    if let Some(name) = &site.name {
        claims.insert(Claim::Site(name.value.clone()), name.span);
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
        claims.insert(claim, account.span);
    }
    claims.into_iter().collect()
}
