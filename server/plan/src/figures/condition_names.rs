//! What the conditions of a zone's loop are called, in tables and in the JSON output.

use rustc_hash::FxHashSet;

use super::{ConditionFigures, ConditionKind, LoopContact, ZoneFigures};
use crate::model::Site;

impl ZoneFigures {
    /// The conditions, each in words for a table: `alarm`, `alarm at pir2, contact 2`.
    pub fn in_words(&self, site: &Site) -> Vec<(String, &ConditionFigures)> {
        let several = self.has_several(site);
        let at = |what: &str, contact: LoopContact| {
            let detector = site.devices.get(contact.detector).filter(|_| several);
            let detector = detector.map(|detector| format!(" at {}", detector.name.value));
            let number = (contact.number > 1).then(|| format!(", contact {}", contact.number));
            format!(
                "{what}{}{}",
                detector.unwrap_or_default(),
                number.unwrap_or_default()
            )
        };
        let words = |condition: &ConditionFigures| match condition.kind {
            ConditionKind::Normal => "normal".to_string(),
            ConditionKind::Alarm(contact) => at("alarm", contact),
            ConditionKind::AllAlarms => "all in alarm".to_string(),
            ConditionKind::Tamper(contact) => at("tamper", contact),
            ConditionKind::Short => "short".to_string(),
            ConditionKind::Cut => "cut".to_string(),
        };
        self.conditions.iter().map(|of| (words(of), of)).collect()
    }

    fn has_several(&self, site: &Site) -> bool {
        let zone = site.zones.get(self.zone);
        zone.is_some_and(|zone| zone.from.len() > 1)
    }

    /// The conditions, each with its key in the JSON output: `normal`, `short`, `cut`;
    /// `open-alarm` and `open-tamper`, with the detector's name where the loop has
    /// several, and with the contact's number from the second on; `open-alarm-all`.
    ///
    /// So that each has a key of its own, a first contact is numbered too where its key
    /// would be another's: `open-alarm-all-1` for a detector called `all`, and
    /// `open-alarm-b-2-1` for one called `b-2` beside a `b` with two contacts.
    pub fn by_key(&self, site: &Site) -> Vec<(String, &ConditionFigures)> {
        let several = self.has_several(site);
        let key = |condition: &ConditionFigures| -> String {
            let (what, contact) = match condition.kind {
                ConditionKind::Normal => return "normal".into(),
                ConditionKind::AllAlarms => return "open-alarm-all".into(),
                ConditionKind::Short => return "short".into(),
                ConditionKind::Cut => return "cut".into(),
                ConditionKind::Alarm(contact) => ("open-alarm", contact),
                ConditionKind::Tamper(contact) => ("open-tamper", contact),
            };
            let mut key = what.to_string();
            if let Some(detector) = site.devices.get(contact.detector).filter(|_| several) {
                key += "-";
                key += &detector.name.value;
            }
            if contact.number > 1 {
                key += &format!("-{}", contact.number);
            }
            key
        };
        let mut keys: Vec<_> = self.conditions.iter().map(|of| (key(of), of)).collect();
        let (mut firsts, others): (Vec<_>, Vec<_>) = keys
            .iter_mut()
            .partition(|(_, condition)| is_of_first_contact(condition));
        let mut taken: FxHashSet<_> = others.into_iter().map(|(key, _)| key.clone()).collect();
        // A key is only ever in the way of a longer one.
        firsts.sort_by_key(|(key, _)| key.len());
        for (key, _) in firsts {
            if taken.contains(key) {
                *key += "-1";
            }
            taken.insert(key.clone());
        }
        keys
    }
}

fn is_of_first_contact(condition: &ConditionFigures) -> bool {
    match condition.kind {
        ConditionKind::Alarm(contact) | ConditionKind::Tamper(contact) => contact.number == 1,
        _ => false,
    }
}
