//! Rule sets and what they are built on; whom a site reports to.

use super::{Resolver, declaration, unknown};
use crate::finding::{Code, Finding, Lack};
use crate::model::Use;
use crate::model::catalog::{RuleSet, owned, rule_set};
use crate::model::read::Words;
use crate::model::scope::Scope;
use crate::model::site::Report;
use crate::vocabulary::Space;

/// The most rule sets that one is built on, one on the other; nobody has more than a few.
const DEEPEST: usize = 32;

/// The rule set of `words` with everything that it is built on. Reports a base
/// that is not there or leads back to where it started.
pub fn resolve_rules(
    words: Words,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
    uses: &mut Vec<Use>,
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
            break;
        };
        // A site's own rules are part of the site's item, so only top-level
        // rule sets can lead back to themselves.
        if seen.contains(&found.id) {
            findings.push(Finding::new(
                Code::Misplaced,
                base.span,
                format!("`{name}` is built on itself: base it on another rule set"),
            ));
            break;
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
            break;
        }
        seen.push(found.id);
        if seen.len() == 2 {
            uses.extend(declaration(&found).map(|target| Use {
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

impl<'a> Resolver<'a> {
    pub(super) fn rules(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        let set = if words.model().is_some() || words.statement.block.is_some() {
            let set = resolve_rules(words, self.scope, self.findings, &mut self.site.uses);
            self.declare(name.span);
            set
        } else {
            let Some(found) = self.find(Space::Rules, None, name) else {
                return;
            };
            let mut ignored = Vec::new();
            // What is wrong inside is reported where it is declared.
            resolve_rules(
                Words::root(&found),
                self.scope,
                &mut ignored,
                &mut Vec::new(),
            )
        };
        self.site.rules.name = Some(owned(name));
        self.site.rules.set = set;
    }

    pub(super) fn reports_to(&mut self, words: Words<'a>) {
        let Some(centre) = words.name() else { return };
        let monitoring = self.find(Space::Monitoring, None, centre);
        self.site.reports.push(Report {
            centre: owned(centre),
            monitoring,
            account: words.get("account").and_then(|words| words.count()),
        });
    }
}
