//! The conditions of a zone's loop, and what each is called.

use rustc_hash::FxHashSet;

use super::ZoneFigures;
use crate::model::{DeviceId, LoopModel, Meaning, Site};

/// A loop in one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct ConditionFigures {
    /// What it is.
    pub kind: ConditionKind,
    /// The least that the input may see, ohms; infinite for an open loop.
    pub least: f64,
    /// The most, ohms.
    pub most: f64,
    /// What it reads as: the meaning of the one window that it falls in wholly.
    pub reads: Option<Meaning>,
}

/// What a condition of a loop is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConditionKind {
    /// All is quiet.
    Normal,
    /// One contact in alarm.
    Alarm(LoopContact),
    /// All contacts in alarm at once.
    AllAlarms,
    /// A housing is open.
    Tamper(LoopContact),
    /// The two cores touch.
    Short,
    /// A core is broken.
    Cut,
}

impl ConditionFigures {
    /// Whether it reads as what it is, on a loop of that model. One that has no windows yet, or
    /// none for quiet, says nothing of any.
    pub fn reads_right(&self, model: &LoopModel) -> bool {
        let wanted = self.kind.wanted(model);
        let unsaid = model.reads.is_empty() || model.never_quiet;
        unsaid || self.reads.is_some_and(|reads| wanted.contains(&reads))
    }
}

impl ConditionKind {
    /// What it should read as on a loop of that model: any of these.
    pub fn wanted(self, model: &LoopModel) -> &'static [Meaning] {
        use Meaning::{Alarm, Normal, Open, Short, Tamper};
        let knows = |meaning| model.reads.iter().any(|reads| reads.means == meaning);
        match self {
            ConditionKind::Normal => &[Normal],
            ConditionKind::Alarm(_) | ConditionKind::AllAlarms if knows(Alarm) => &[Alarm],
            // A normally-open contact shorts the loop, a closed one opens it.
            ConditionKind::Alarm(_) | ConditionKind::AllAlarms => &[Open, Short],
            ConditionKind::Tamper(_) if knows(Tamper) => &[Tamper],
            ConditionKind::Tamper(_) => &[Open, Short],
            ConditionKind::Short if knows(Short) => &[Short],
            // To a loop without resistors touching cores are closed contacts, and a broken core
            // is an open one.
            ConditionKind::Short | ConditionKind::Cut if is_bare(model) => {
                &[Normal, Alarm, Tamper, Open, Short]
            }
            ConditionKind::Short if knows(Tamper) => &[Tamper],
            ConditionKind::Cut if knows(Open) || knows(Tamper) => &[Open, Tamper],
            // Anything that is not quiet will do, but not nothing: the input reads something.
            ConditionKind::Short | ConditionKind::Cut => &[Alarm, Tamper, Open, Short],
        }
    }
}

/// Whether a loop has no resistors.
fn is_bare(model: &LoopModel) -> bool {
    model.end.is_none() && model.contact.is_none() && model.complete
}

/// A contact on a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoopContact {
    /// Its detector.
    pub detector: DeviceId,
    /// Which of the detector's alarm contacts, or of its tamper contacts, from 1.
    pub number: usize,
}

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
