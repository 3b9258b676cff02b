//! Who of the whole workspace claims what only one may have.

use std::sync::Arc;

use dashmap::{DashMap, DashSet};
use rustc_hash::{FxBuildHasher, FxHashMap, FxHashSet};

use super::claim::Claim;
use super::entry::Entry;
use super::evaluate::Evaluation;
use crate::source::{FilePath, Span, Spot};

/// Who claims what.
#[derive(Debug, Default)]
pub(super) struct Claims {
    /// In the order of their files' names.
    claimants: DashMap<Claim, Vec<Claimant>, FxBuildHasher>,
    /// What more than one holds.
    contested: DashSet<Claim, FxBuildHasher>,
}

/// Who makes a claim.
#[derive(Debug, Clone)]
pub(super) struct Claimant {
    /// What the site is called.
    pub site: Box<str>,
    /// Where it makes it.
    pub spot: Spot,
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
            let made = evaluations.iter().flat_map(|known| claimants(known));
            let keyed = made.map(|(claim, claimant)| {
                let Spot { item, span } = &claimant.spot;
                ((claim.clone(), item.id, *span), claimant)
            });
            keyed.collect::<FxHashMap<(Claim, u64, Span), Claimant>>()
        };
        let (before, after) = (claimed(old), claimed(new));
        let mut touched = Vec::new();
        for (key, claimant) in &before {
            if after.contains_key(key) {
                continue;
            }
            let claim = &key.0;
            if let Some(mut claimants) = self.claimants.get_mut(claim) {
                claimants.retain(|other| other.spot != claimant.spot);
            }
            self.claimants
                .remove_if(claim, |_, claimants| claimants.is_empty());
            touched.push(claim.clone());
        }
        for (key, claimant) in after {
            if !before.contains_key(&key) {
                touched.push(key.0.clone());
                let mut claimants = self.claimants.entry(key.0).or_default();
                let file = &claimant.spot.item.file;
                let place = claimants.partition_point(|other| other.spot.item.file <= *file);
                claimants.insert(place, claimant);
            }
        }
        for claim in &touched {
            let claimants = self
                .claimants
                .get(claim)
                .map_or(0, |claimants| claimants.len());
            match claimants > 1 {
                true => self.contested.insert(claim.clone()),
                false => self.contested.remove(claim).is_some(),
            };
        }
        touched
    }

    /// Adds the files of all who make one of these claims.
    pub(super) fn add_claimants(&self, claims: &FxHashSet<Claim>, files: &mut FxHashSet<FilePath>) {
        for claim in claims {
            if let Some(claimants) = self.claimants.get(claim) {
                files.extend(
                    claimants
                        .iter()
                        .map(|claimant| claimant.spot.item.file.clone()),
                );
            }
        }
    }

    /// Adds the files that claim something that one of those that changed claims too.
    pub(super) fn add_rivals(
        &self,
        changed: &FxHashSet<FilePath>,
        files: &mut FxHashSet<FilePath>,
    ) {
        for claim in self.contested.iter() {
            let Some(claimants) = self.claimants.get(claim.key()) else {
                continue;
            };
            let mut paths = claimants.iter().map(|claimant| &claimant.spot.item.file);
            if paths.any(|path| changed.contains(path)) {
                files.extend(
                    claimants
                        .iter()
                        .map(|claimant| claimant.spot.item.file.clone()),
                );
            }
        }
    }

    /// The name of a site that is called so, in the first file that has one.
    pub(super) fn site(&self, name: &str) -> Option<Spot> {
        let claimants = self.claimants.get(&Claim::Site(name.to_string()))?;
        claimants.first().map(|claimant| claimant.spot.clone())
    }

    /// Who makes a claim in other files than this: how many they are, and all who do so
    /// in the first of these files, of as many as it takes to have `most`.
    pub(super) fn others(
        &self,
        claim: &Claim,
        file: &FilePath,
        most: usize,
    ) -> (usize, Vec<Claimant>) {
        let Some(claimants) = self.claimants.get(claim) else {
            return (0, Vec::new());
        };
        let file_of = |claimant: &Claimant| claimant.spot.item.file.clone();
        let before = claimants.partition_point(|claimant| claimant.spot.item.file < *file);
        let (before, rest) = claimants.split_at(before);
        let own = rest.partition_point(|claimant| claimant.spot.item.file == *file);
        let after = &rest[own..];
        let mut first: Vec<Claimant> = Vec::new();
        for claimant in before.iter().chain(after) {
            let last = first.last().map(file_of);
            if first.len() >= most && last.as_ref() != Some(&claimant.spot.item.file) {
                break;
            }
            first.push(claimant.clone());
        }
        (before.len() + after.len(), first)
    }

    /// Whether somebody in another file makes a claim.
    pub(super) fn is_made_outside(&self, claim: &Claim, file: &FilePath) -> bool {
        let claimants = self.claimants.get(claim);
        // Those of one file stand side by side.
        claimants.is_some_and(|claimants| {
            let ends = [claimants.first(), claimants.last()];
            let mut ends = ends.into_iter().flatten();
            ends.any(|claimant| claimant.spot.item.file != *file)
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

/// What an item claims, and who holds it.
pub(super) fn claimants(evaluation: &Evaluation) -> impl Iterator<Item = (&Claim, Claimant)> {
    let claims = evaluation.facts().claims.iter();
    claims.map(|(claim, span)| {
        let claimant = Claimant {
            site: evaluation.called().unwrap_or("").into(),
            spot: evaluation.item.spot(*span),
        };
        (claim, claimant)
    })
}
