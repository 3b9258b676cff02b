//! Rule sets that ask for a longer alarm than standby, or for less than the one that they are
//! built on. That may be right, where another standard or an authority permits it: then they say
//! so in `source`.

use std::sync::Arc;

use crate::figures::{above, below};
use crate::finding::{Code, Finding, Mend};
use crate::model::{RuleSet, Scope, Words, resolve_rules};
use crate::sentence::list;
use crate::source::Item;
use crate::vocabulary::{Context, Dimension, Space, hours, in_usual_unit};

/// Checks a site's own rule set.
pub(super) fn check_site(site: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    if let Some(rules) = Words::root(site).get("rules") {
        check(rules, scope, findings);
    }
}

/// Checks a rule set: what it asks for, and whether that is less than what the one that it is
/// built on does.
pub(super) fn check(rules: Words, scope: &dyn Scope, findings: &mut Vec<Finding>) {
    findings.extend(long_alarm(rules));
    // A word that means nothing may be meant for it.
    let says_why = rules.has("source") || rules.has_unknown_word(Context::Rules);
    let Some(base) = rules.model().filter(|_| !says_why) else {
        return;
    };
    let Some(item) = scope.find(Space::Rules, base.value) else {
        return;
    };
    // What is wrong with names is told where they are resolved.
    let set = |words| resolve_rules(words, scope, &mut Vec::new(), &mut Vec::new());
    let less = less(&set(rules), &set(Words::root(&item)));
    let Some(name) = rules.name().filter(|_| !less.is_empty()) else {
        return;
    };
    let message = format!(
        "{} asks for {}: less than {}, which it is built on. Ask for as much, or say in `source` what permits it.",
        name.value,
        list(&less),
        base.value,
    );
    findings.push(Finding::new(Code::RulesWeaker, name.span, message));
}

/// An alarm that lasts longer than the system must hold out before it: every standard asks for
/// hours, and then minutes (common practice).
fn long_alarm(rules: Words) -> Option<Finding> {
    let time = |keyword| rules.amount_of(keyword, Dimension::Time);
    let (standby, alarm) = (time("standby")?, time("alarm")?);
    if standby.value <= 0.0 || !above(alarm.value, standby.value) {
        return None;
    }
    let [before, then] = [standby, alarm].map(|time| rules.text(time.span));
    let message = format!(
        "{then} of alarm are more than the {before} in standby before them: are the two swapped?"
    );
    let title = "Swap standby and alarm";
    let swap = Mend::swap(title, rules.item, standby.span, alarm.span);
    Some(Finding::doubt(alarm.span, message).mended_by(Some(swap)))
}

/// What a rule set asks for that is less than another does: `8 h in standby for 12 h`.
fn less(own: &RuleSet, base: &RuleSet) -> Vec<String> {
    let share = |share: f64| in_usual_unit(share, Dimension::Share);
    let mut less = Vec::new();
    let mut compare = |own: Option<f64>, base: Option<f64>, say: &dyn Fn(f64, f64) -> String| {
        if let Some((own, base)) = own.zip(base)
            && below(own, base)
        {
            less.push(say(own, base));
        }
    };
    compare(own.standby, base.standby, &|own, base| {
        format!("{} in standby instead of {}", hours(own), hours(base))
    });
    compare(own.alarm, base.alarm, &|own, base| {
        format!("{} in alarm instead of {}", hours(own), hours(base))
    });
    compare(own.ageing, base.ageing, &|own, base| {
        format!("an ageing factor of {own} instead of {base}")
    });
    compare(own.headroom, base.headroom, &|own, base| {
        format!("{} of headroom instead of {}", share(own), share(base))
    });
    // Slower is less.
    let rate = |set: &RuleSet| set.recharge.map(|recharge| 1.0 / recharge.hours);
    compare(rate(own), rate(base), &|own, base| {
        let [own, base] = [own, base].map(|rate| hours(1.0 / rate));
        format!("a recharge in {own} instead of {base}")
    });
    compare(
        own.recharge.map(|recharge| recharge.share),
        base.recharge.map(|recharge| recharge.share),
        &|own, base| format!("a recharge to {} instead of {}", share(own), share(base)),
    );
    less
}
