//! One top-level statement, worked out. A pure function of the statement, its
//! scope and the day.
//!
//! A site's evaluation that can be made again from its text and its scope's
//! answers is dropped, and made again on demand: a workspace of thousands of
//! sites keeps, of those that nobody edits, only what is wrong with them and
//! what others need.

use std::sync::{Arc, OnceLock};

use super::claim::{self, Claim};
use super::named::SiteNames;
use super::scope::{FileScope, Lookups, Recorder};
use crate::checks::{self, shape};
use crate::day::Day;
use crate::figures::{Figures, figures};
use crate::finding::Finding;
use crate::library;
use crate::model::{
    Accept, Occurrence, Scope, Site, Words, accepts, resolve, resolve_model, resolve_rules,
};
use crate::source::{Item, Span, Spot};
use crate::vocabulary::Space;

/// What is known of an item.
#[derive(Debug)]
pub struct Evaluation {
    /// The item.
    pub item: Arc<Item>,
    /// What is wrong with the item by itself and in its scope, in the order of
    /// the text. [`super::View::findings`] adds what takes more than that to see.
    pub findings: Arc<[Finding]>,
    facts: Arc<Facts>,
    resolved: OnceLock<Resolved>,
    figures: OnceLock<Figures>,
}

/// What others need of an item.
#[derive(Debug)]
pub(super) struct Facts {
    pub(super) lookups: Lookups,
    /// What a site is called.
    called: Option<Box<str>>,
    accepts: Box<[Accept]>,
    pub(super) claims: Box<[(Claim, Span)]>,
    names: SiteNames,
}

/// An item with its names resolved.
#[derive(Debug, Default)]
struct Resolved {
    site: Option<Site>,
    /// Names in an item that is no site; those of a site are in the site.
    occurrences: Vec<Occurrence>,
}

impl Resolved {
    fn new(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) -> Resolved {
        let mut resolved = Resolved::default();
        let Some(space) = Space::of(item) else {
            return resolved;
        };
        let occurrences = &mut resolved.occurrences;
        if space != Space::Site {
            occurrences.extend(item.declared().name.map(|span| Occurrence {
                span,
                target: Spot {
                    item: item.clone(),
                    span,
                },
            }));
        }
        match space {
            Space::Site => resolved.site = Some(resolve(item, scope, findings)),
            Space::Rules => {
                resolve_rules(Words::root(item), scope, findings, occurrences);
            }
            Space::Model => occurrences.extend(resolve_model(item, scope, findings)),
            Space::Monitoring => {}
        }
        resolved
    }
}

impl Evaluation {
    /// Works out an item.
    pub(super) fn new(item: &Arc<Item>, scope: &FileScope, today: Day) -> Evaluation {
        let recorder = Recorder::new(scope);
        let mut findings = Vec::new();
        shape::check(item, &mut findings);
        let resolved = Resolved::new(item, &recorder, &mut findings);
        let mut computed = Figures::default();
        if let Some(site) = &resolved.site {
            computed = figures(site);
            let given = checks::Given {
                today,
                scope: &recorder,
            };
            checks::check(site, &computed, &given, &mut findings);
        } else if let Some(model) = item.model() {
            checks::check_model(item, model, &recorder, &mut findings);
        } else if item.rules().is_some() {
            checks::check_rules(item, &recorder, &mut findings);
        }
        let accepts = accepts(item, &mut findings);
        findings.sort_by_key(|finding| (finding.span, finding.code));
        let site = resolved.site.as_ref();
        let facts = Facts {
            lookups: recorder.finish(),
            called: site.map(|site| site.called().into()),
            accepts: accepts.into(),
            claims: site.map(claim::of).unwrap_or_default(),
            names: site.map(SiteNames::of).unwrap_or_default(),
        };
        Evaluation {
            item: item.clone(),
            findings: findings.into(),
            facts: Arc::new(facts),
            resolved: OnceLock::from(resolved),
            figures: OnceLock::from(computed),
        }
    }

    /// The same evaluation without what can be made again; `item` is the item,
    /// at rest as well.
    pub(super) fn at_rest(&self, item: Arc<Item>) -> Evaluation {
        // A place in the item itself would keep the item as it was.
        let own = |finding: &Finding| {
            let mut spots = finding.related.iter();
            spots.any(|(spot, _)| spot.item.id == item.id && !Arc::ptr_eq(&spot.item, &item))
        };
        let findings = match self.findings.iter().any(own) {
            false => self.findings.clone(),
            true => {
                let mut findings = self.findings.to_vec();
                let related = findings.iter_mut().flat_map(|finding| &mut finding.related);
                for (spot, _) in related.filter(|(spot, _)| spot.item.id == item.id) {
                    spot.item = item.clone();
                }
                findings.into()
            }
        };
        Evaluation {
            item,
            findings,
            facts: self.facts.clone(),
            resolved: OnceLock::new(),
            figures: OnceLock::new(),
        }
    }

    /// Whether nothing is kept of it that can be made again.
    pub(super) fn rests(&self) -> bool {
        self.item.rests() && self.resolved.get().is_none() && self.figures.get().is_none()
    }

    fn resolved(&self) -> &Resolved {
        self.resolved
            .get_or_init(|| Resolved::new(&self.item, &self.facts.lookups, &mut Vec::new()))
    }

    pub(super) fn facts(&self) -> &Facts {
        &self.facts
    }

    /// Whether the item is a site.
    pub fn is_site(&self) -> bool {
        self.facts.called.is_some()
    }

    /// What the site is called, if the item is one.
    pub fn called(&self) -> Option<&str> {
        self.facts.called.as_deref()
    }

    /// The typed site, if the item is one.
    pub fn site(&self) -> Option<&Site> {
        self.resolved().site.as_ref()
    }

    /// What is computed for the site.
    pub fn figures(&self) -> &Figures {
        self.figures
            .get_or_init(|| self.site().map(figures).unwrap_or_default())
    }

    /// Every name in the item and what it stands for, declarations included.
    pub fn occurrences(&self) -> &[Occurrence] {
        let resolved = self.resolved();
        let site = resolved.site.as_ref();
        site.map_or(&resolved.occurrences, |site| &site.occurrences)
    }

    /// Whether the item, when it was worked out, looked for a name and found this.
    pub fn has_found(&self, item: &Item) -> bool {
        self.facts.lookups.ids().any(|id| id == item.id)
    }

    /// Whether the item, when it was worked out, looked for a name and found what
    /// the built-in library declares.
    pub fn has_found_built_in(&self, space: Space, name: &str) -> bool {
        let found = self.facts.lookups.find(space, name);
        found.is_some_and(|item| library::file(&item.file).is_some())
    }

    /// The things of the site that have names.
    pub fn names(&self) -> &SiteNames {
        &self.facts.names
    }

    /// The findings that are accepted in the item.
    pub fn accepts(&self) -> &[Accept] {
        &self.facts.accepts
    }
}
