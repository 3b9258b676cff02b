//! The conditions of a zone's loop, and what each should read as.

use crate::model::{DeviceId, LoopModel, Meaning};

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
