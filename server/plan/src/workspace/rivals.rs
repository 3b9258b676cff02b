//! The findings about claims that several sites make.

use std::cell::OnceCell;

use rustc_hash::FxHashMap;

use super::claim::Claim;
use super::claims::{Claimant, claimants};
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
    own: OnceCell<FxHashMap<&'a Claim, Vec<Claimant>>>,
    known: FxHashMap<Claim, Makers>,
}

/// Who makes a claim.
struct Makers {
    /// How many there are.
    count: usize,
    /// Those of the file, and so many of the others as a finding points at.
    first: Vec<Claimant>,
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
        for (claim, own) in claimants(evaluation) {
            if !self.is_contested(claim) {
                continue;
            }
            let makers = self.makers(claim);
            let others = makers
                .first
                .iter()
                .filter(|claimant| claimant.spot != own.spot);
            let others: Vec<&Claimant> = others.take(SHOWN).collect();
            let Some(first) = others.first() else {
                continue;
            };
            let mut finding = match claim {
                Claim::Site(name) => {
                    let count = match makers.count {
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

    fn makers(&mut self, claim: &Claim) -> &Makers {
        let (view, entry, in_file) = (self.view, self.entry, &self.own);
        self.known.entry(claim.clone()).or_insert_with(|| {
            let file = entry.file.path();
            let (count, others) = view.claims().others(claim, file, SHOWN);
            let elsewhere = others.into_iter().filter_map(|claimant| {
                let path = claimant.spot.item.file.clone();
                let start = view.range(&claimant.spot)?.start;
                Some((path, start, claimant))
            });
            let in_file = in_file.get_or_init(|| by_claim(entry));
            let here = in_file.get(claim).map_or(&[][..], Vec::as_slice);
            let count = count + here.len();
            let here = here.iter().filter_map(|claimant| {
                let range = entry.file.locate(&claimant.spot)?;
                Some((file.clone(), range.start, claimant.clone()))
            });
            let mut placed: Vec<_> = elsewhere.chain(here).collect();
            placed.sort_by(|a, b| (&a.0, a.1).cmp(&(&b.0, b.1)));
            let first = placed
                .into_iter()
                .map(|(_, _, claimant)| claimant)
                .collect();
            Makers { count, first }
        })
    }
}

/// Who in a version of a file makes each of its claims.
fn by_claim(entry: &Entry) -> FxHashMap<&Claim, Vec<Claimant>> {
    let mut claims: FxHashMap<&Claim, Vec<Claimant>> = FxHashMap::default();
    for (claim, claimant) in entry.evaluations.iter().flat_map(|known| claimants(known)) {
        claims.entry(claim).or_default().push(claimant);
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::day::Day;
    use crate::source::{File, FilePath};
    use crate::workspace::{NoFiles, Workspace};

    #[test]
    fn of_many_that_have_a_name_the_first_others_are_shown_and_all_are_counted() {
        let path = |number: usize| FilePath::new(&format!("/{number:02}.bell"));
        let twice = "site a {\n}\nsite a {\n}\n";
        // In any order, and one taken out again.
        let numbers = [7, 3, 9, 1, 0, 12, 5, 11, 8, 2, 4, 6, 10];
        let files = numbers.map(|number| File::new(path(number), twice));
        let mut workspace = Workspace::new(Arc::new(NoFiles), Day::default());
        workspace.put(files.into());
        workspace.remove(&[path(1)]);
        let view = workspace.view();
        let shown = |number| {
            let entry = view.entry(&path(number)).expect("it was put in");
            let found = view.findings(&entry).pop().expect("a name is taken");
            let places = found.related.iter();
            let places = places.map(|(file, range, _)| format!("{} {}", file.path(), range.start));
            (found.finding.message, places.collect::<Vec<_>>().join(", "))
        };
        let message = "24 sites are called `a`: give this one another name".to_string();
        let first = "/00.bell 5, /00.bell 16, /02.bell 5, /02.bell 16, /03.bell 5, /03.bell 16, /04.bell 5, /04.bell 16";
        assert_eq!(shown(9), (message.clone(), first.to_string()));
        let own = "/00.bell 5, /00.bell 16, /02.bell 5, /03.bell 5, /03.bell 16, /04.bell 5, /04.bell 16, /05.bell 5";
        assert_eq!(shown(2), (message, own.to_string()));
    }
}
