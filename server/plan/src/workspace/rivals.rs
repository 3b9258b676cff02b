//! The findings about claims that several sites make.

use std::cell::OnceCell;

use rustc_hash::FxHashMap;

use super::claim::Claim;
use super::claims::{Holder, holders};
use super::entry::Entry;
use super::evaluate::Evaluation;
use super::view::View;
use crate::finding::{Code, Finding};

/// Who claims the same as the items of one file, in the order of files and text.
pub(super) struct Rivals<'a> {
    view: &'a View,
    /// The file. It may be an older version by now, so what it claims itself is
    /// taken from it, not from what all claim.
    entry: &'a Entry,
    /// How often the file itself makes each of its claims.
    counted: OnceCell<FxHashMap<&'a Claim, usize>>,
    /// Who in the file makes each of its claims: few claims are contested, so asked for seldom.
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
            counted: OnceCell::new(),
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
        let own = self.counted.get_or_init(|| counted(self.entry)).get(claim);
        own.is_some_and(|own| *own > 1)
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
            let all = view.claims().holders(claim).into_iter();
            let elsewhere = all.filter_map(|holder| {
                let path = holder.spot.item.file.clone();
                let start = view.range(&holder.spot)?.start;
                (path != *file).then_some((path, start, holder))
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

/// Who in a version of a file makes each of its claims.
fn by_claim(entry: &Entry) -> FxHashMap<&Claim, Vec<Holder>> {
    let mut claims: FxHashMap<&Claim, Vec<Holder>> = FxHashMap::default();
    for (claim, holder) in entry.evaluations.iter().flat_map(|known| holders(known)) {
        claims.entry(claim).or_default().push(holder);
    }
    claims
}

/// How often a version of a file makes each of its claims.
fn counted(entry: &Entry) -> FxHashMap<&Claim, usize> {
    let mut counted = FxHashMap::default();
    let made = entry
        .evaluations
        .iter()
        .flat_map(|known| &*known.facts().claims);
    for (claim, _) in made {
        *counted.entry(claim).or_default() += 1;
    }
    counted
}
