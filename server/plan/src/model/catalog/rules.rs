//! Rule sets, as far as they say things themselves.

use super::read::{amount, own_amount, owned};
use crate::model::at::At;
use crate::model::words::Words;
use crate::vocabulary::{Context, Dimension, keeps_within};

/// The words for what a rule set asks for.
const ASKED: [&str; 5] = ["standby", "alarm", "recharge", "ageing", "headroom"];

/// A rule set, as far as it says things itself.
#[derive(Debug, Clone, Default)]
pub struct RuleSet {
    /// The one that it is built on.
    pub base: Option<At<String>>,
    /// The words for what it, or what it is built on, says that it asks for, even if that
    /// cannot be read.
    pub(super) said: Vec<&'static str>,
    /// Hours without mains.
    pub standby: Option<f64>,
    /// Hours of alarm after that.
    pub alarm: Option<f64>,
    /// How soon the battery must be full again.
    pub recharge: Option<Recharge>,
    /// Capacity kept in hand, a factor.
    pub ageing: Option<f64>,
    /// Share of each limit that is kept free.
    pub headroom: Option<f64>,
    /// Where the values come from.
    pub source: Option<String>,
}

impl RuleSet {
    /// What this rule set does not say, taken from `base`.
    pub fn over(self, base: &RuleSet) -> RuleSet {
        let own = |word| self.said.contains(&word);
        RuleSet {
            standby: base.standby.filter(|_| !own("standby")).or(self.standby),
            alarm: base.alarm.filter(|_| !own("alarm")).or(self.alarm),
            recharge: base.recharge.filter(|_| !own("recharge")).or(self.recharge),
            ageing: base.ageing.filter(|_| !own("ageing")).or(self.ageing),
            headroom: base.headroom.filter(|_| !own("headroom")).or(self.headroom),
            source: self.source.clone().or_else(|| self.source_over(base)),
            said: [self.said, base.said.clone()].concat(),
            base: self.base,
        }
    }

    /// Where its values come from if it does not say: what it takes over has the base's source,
    /// and what it says itself has none.
    fn source_over(&self, base: &RuleSet) -> Option<String> {
        let (source, name) = base.source.as_ref().zip(self.base.as_ref())?;
        let own = match self.said.as_slice() {
            [] => String::new(),
            said => format!("{}: no source is named; all else ", said.join(", ")),
        };
        Some(format!("{own}as {}: {source}", name.value))
    }

    /// Whether it says how long the alarm lasts, and that cannot be read.
    pub fn alarm_unread(&self) -> bool {
        self.alarm.is_none() && self.said.contains(&"alarm")
    }

    /// One of which nothing can be read, whatever it asks for.
    pub fn unread() -> RuleSet {
        RuleSet {
            said: ASKED.to_vec(),
            ..RuleSet::default()
        }
    }

    /// Whether it gives an ageing factor, and that cannot be read.
    pub fn ageing_unread(&self) -> bool {
        self.ageing.is_none() && self.said.contains(&"ageing")
    }
}

/// How soon the battery must be full again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recharge {
    /// Hours.
    pub hours: f64,
    /// How full, a share.
    pub share: f64,
}

/// Reads a rule set, at the top level or inside a site.
pub(in crate::model) fn rule_set(words: Words) -> RuleSet {
    let hours = |keyword| amount(words, keyword, Dimension::Time).map(|at| at.value / 3600.0);
    // A word that means nothing may be meant for any of them.
    let has_more = words.has_unknown_word(Context::Rules);
    let said = ASKED.into_iter();
    let said = said.filter(|word| has_more || words.has(word));
    RuleSet {
        base: words.model().map(owned),
        said: said.collect(),
        standby: hours("standby"),
        alarm: hours("alarm"),
        recharge: words.get("recharge").and_then(|words| {
            Some(Recharge {
                hours: own_amount(words, Dimension::Time)?.value / 3600.0,
                share: match words.get("to") {
                    Some(to) => own_amount(to, Dimension::Share)?.value,
                    None => 0.8,
                },
            })
        }),
        ageing: words
            .get("ageing")
            .and_then(|words| words.number())
            .map(|at| at.value)
            .filter(|factor| keeps_within("ageing", None, *factor)),
        headroom: amount(words, "headroom", Dimension::Share).map(|at| at.value),
        source: words
            .get("source")
            .and_then(|words| words.label())
            .map(|at| at.value.into_owned()),
    }
}
