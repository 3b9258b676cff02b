//! One top-level statement, worked out. A pure function of the statement, its
//! scope and the day.

use std::sync::Arc;

use super::scope::{FileScope, Lookups, Recorder};
use crate::checks::{self, Day, shape};
use crate::figures::{Figures, figures};
use crate::finding::Finding;
use crate::model::{Accept, Site, Space, Use, Words, resolve, resolve_model, resolve_rules};
use crate::source::{Item, Spot};

/// What is known of an item.
#[derive(Debug)]
pub struct Evaluation {
    /// The item.
    pub item: Arc<Item>,
    /// The typed site, if the item is one.
    pub site: Option<Site>,
    /// What is computed for the site.
    pub figures: Figures,
    /// What is wrong with the item by itself and in its scope, in the order of
    /// the text. [`super::View::findings`] adds what takes more than that to see.
    pub findings: Vec<Finding>,
    /// Names in an item that is no site; those of a site are in the site.
    uses: Vec<Use>,
    pub(super) lookups: Lookups,
}

impl Evaluation {
    /// Works out an item.
    pub(super) fn new(item: &Arc<Item>, scope: &FileScope, today: Day) -> Evaluation {
        let recorder = Recorder::new(scope);
        let mut findings = Vec::new();
        shape::check(item, &mut findings);
        let mut uses = Vec::new();
        let mut site = None;
        let mut computed = Figures::default();
        match Space::of(item) {
            Some(Space::Site) => {
                let resolved = resolve(item, &recorder, &mut findings);
                computed = figures(&resolved);
                let context = checks::Context {
                    today,
                    scope: &recorder,
                };
                checks::check(&resolved, &computed, &context, &mut findings);
                site = Some(resolved);
            }
            Some(space) => {
                uses.extend(item.declared().name.map(|span| Use {
                    span,
                    target: Spot {
                        item: item.clone(),
                        span,
                    },
                }));
                if space == Space::Rules {
                    resolve_rules(Words::root(item), &recorder, &mut findings, &mut uses);
                }
                if space == Space::Model {
                    uses.extend(resolve_model(item, &recorder, &mut findings));
                    if let Some(model) = item.model() {
                        checks::check_model(item, model, &recorder, &mut findings);
                    }
                }
            }
            None => {}
        }
        findings.sort_by_key(|finding| (finding.span, finding.code));
        Evaluation {
            item: item.clone(),
            site,
            figures: computed,
            findings,
            uses,
            lookups: recorder.finish(),
        }
    }

    /// Every name in the item and what it stands for, declarations included.
    pub fn uses(&self) -> &[Use] {
        self.site.as_ref().map_or(&self.uses, |site| &site.uses)
    }

    /// The findings that are accepted in the item.
    pub fn accepts(&self) -> &[Accept] {
        self.site.as_ref().map_or(&[], |site| &site.accepts)
    }
}
