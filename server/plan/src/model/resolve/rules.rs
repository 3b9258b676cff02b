//! Rule sets and what they are built on; whom a site reports to.

use std::sync::Arc;

use super::Resolver;
use super::elsewhere::{declaration, unknown};
use crate::finding::{Code, Finding, Lack, Mend};
use crate::model::Occurrence;
use crate::model::at::At;
use crate::model::catalog::{RuleSet, owned, rule_set};
use crate::model::scope::Scope;
use crate::model::site::Report;
use crate::model::words::Words;
use crate::source::Item;
use crate::vocabulary::{Context, Space, word};

/// The most rule sets that one is built on, one on the other; nobody has more than a few.
const DEEPEST: usize = 32;

/// The rule set of `words` with everything that it is built on. Reports a base
/// that is not there or leads back to where it started; what it says is unread.
pub fn resolve_rules(
    words: Words,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
    occurrences: &mut Vec<Occurrence>,
) -> RuleSet {
    let mut set = rule_set(words);
    let Some(base) = set.base.clone() else {
        return set;
    };
    let mut seen: Vec<u64> = vec![words.item.id];
    let mut next = Some(base.value.clone());
    while let Some(name) = next {
        let Some(found) = scope.find(Space::Rules, &name) else {
            let lack = Lack {
                space: Space::Rules,
                kind: None,
                name,
            };
            findings.extend(unknown(words.item, base.span, lack, scope, true));
            return set.over(&RuleSet::unread());
        };
        // A site's own rules are part of the site's item, so only top-level
        // rule sets can lead back to themselves.
        if seen.contains(&found.id) {
            findings.push(Finding::new(
                Code::Misplaced,
                base.span,
                format!("`{name}` is built on itself: base it on another rule set"),
            ));
            return set.over(&RuleSet::unread());
        }
        if seen.len() > DEEPEST {
            findings.push(Finding::new(
                Code::Misplaced,
                base.span,
                format!(
                    "`{}` is built on more than {DEEPEST} rule sets, one on the other: base it on one further down",
                    base.value
                ),
            ));
            return set.over(&RuleSet::unread());
        }
        seen.push(found.id);
        if seen.len() == 2 {
            occurrences.extend(declaration(&found).map(|target| Occurrence {
                span: base.span,
                target,
            }));
        }
        let Some(rules) = found.rules() else { break };
        next = rules.base.as_ref().map(|base| base.value.clone());
        set = set.over(rules);
    }
    set
}

/// Whether a line below the rules of a site says what they ask for, which makes them its own.
fn says_more(line: &Words) -> bool {
    !matches!(line.keyword(), "note" | "accept")
}

impl<'a> Resolver<'a> {
    pub(super) fn rules(&mut self, words: Words<'a>) {
        self.site.rules.set = RuleSet::unread();
        let Some(name) = words.name() else { return };
        let own = words.model().is_some() || words.lines().any(|line| says_more(&line));
        let set = match own {
            true => self.own_rules(words, name),
            false => {
                let Some(found) = self.find(Space::Rules, None, name) else {
                    return;
                };
                self.known_rules(&found)
            }
        };
        self.site.rules.name = Some(owned(name));
        self.site.rules.set = set;
    }

    fn known_rules(&self, item: &Arc<Item>) -> RuleSet {
        // What is wrong inside is reported where it is declared.
        let mut ignored = Vec::new();
        resolve_rules(Words::root(item), self.scope, &mut ignored, &mut Vec::new())
    }

    /// The site's own rule set. One that is built on nothing and called as one that is known
    /// already is read as it is meant: as that one, with other values.
    fn own_rules(&mut self, words: Words<'a>, name: At<&str>) -> RuleSet {
        let set = resolve_rules(words, self.scope, self.findings, &mut self.site.occurrences);
        let known = match words.model() {
            Some(_) => None,
            None => self.scope.find(Space::Rules, name.value),
        };
        let Some(known) = known else {
            self.declare(name.span);
            return set;
        };
        self.note_item(name.span, &known);
        let mut lines = words.lines();
        if lines.any(|line| says_more(&line) && word(line.keyword(), Context::Rules).is_some()) {
            let built = format!("own : {}", name.value);
            let message = format!(
                "`{}` is a rule set that others have too: give what this site changes a name of its own, as in `rules {built}`.",
                name.value
            );
            let mend = Mend {
                title: format!("Build the site's own on {}", name.value),
                edits: vec![(name.span, built)],
            };
            let finding = Finding::new(Code::NameTaken, name.span, message);
            let finding = match declaration(&known) {
                Some(spot) => finding.with(spot, "the other one"),
                None => finding,
            };
            self.findings.push(finding.mended_by(Some(mend)));
        }
        set.over(&self.known_rules(&known))
    }

    pub(super) fn reports_to(&mut self, words: Words<'a>) {
        let Some(centre) = words.name() else { return };
        let monitoring = self.find(Space::Monitoring, None, centre);
        self.site.reports.push(Report {
            centre: owned(centre),
            monitoring,
            account: words.whole_of("account"),
        });
    }
}
