//! Loops: every condition reads as what it is, and no two alike that must differ.

use std::sync::Arc;

use super::numbers::{resistances, resistances_beyond};
use crate::figures::{
    ConditionFigures, ConditionKind, LoopContact, ZoneFigures, above, is_contradictory,
    loop_conditions,
};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, DeviceId, LoopModel, Meaning, Reads, Site, Zone};
use crate::source::{Item, Span};
use crate::vocabulary::{Dimension, in_usual_unit};

/// A zone's loop and what its input makes of it.
#[derive(Clone, Copy)]
pub(super) struct Reading<'a> {
    pub site: &'a Site,
    pub zone: &'a Zone,
    pub model: &'a LoopModel,
    pub figures: &'a ZoneFigures,
}

/// What is wrong with a loop.
enum Fault<'a> {
    /// A condition reads as what it is not.
    Misread(&'a ConditionFigures),
    /// Two that must differ read alike.
    Alike(&'a ConditionFigures, &'a ConditionFigures),
}

impl<'a> Reading<'a> {
    /// What is wrong with the loop, with what would mend it: `mend` is asked
    /// only if something is, for a sentence and a change.
    pub fn check(&self, mend: impl FnOnce() -> (String, Option<Mend>)) -> Option<Finding> {
        let fault = self.fault()?;
        if self.shares_a_detector() {
            // Which of its contacts is on which loop is not in the plan, which is told there.
            return None;
        }
        if let Fault::Misread(condition) = fault
            && is_contradictory(self.model, condition)
        {
            // That windows overlap is told in the model.
            return None;
        }
        let (hint, mend) = mend();
        let finding = match fault {
            Fault::Misread(condition) => self.misread(condition, &hint),
            Fault::Alike(one, other) => self.alike(one, other, &hint),
        };
        Some(finding.mended_by(mend))
    }

    /// Whether a detector of the zone is on the loop of another zone too.
    fn shares_a_detector(&self) -> bool {
        let own = |at: &At<DeviceId>| self.zone.from.iter().any(|own| own.value == at.value);
        let others = self.site.zones.iter();
        let mut others = others.filter(|other| !std::ptr::eq(*other, self.zone));
        others.any(|other| other.from.iter().any(own))
    }

    /// Whether nothing would be wrong with a loop of another model, or on
    /// another cable.
    pub fn would_be_right(&self, model: &LoopModel, cable_ohms: f64) -> bool {
        let Some(conditions) = loop_conditions(self.site, self.zone, model, cable_ohms) else {
            return false;
        };
        let figures = ZoneFigures {
            conditions,
            unreached: Vec::new(),
            ..*self.figures
        };
        let other = Reading {
            site: self.site,
            zone: self.zone,
            model,
            figures: &figures,
        };
        !model.reads.is_empty() && other.fault().is_none()
    }

    /// Quiet that reads wrong, or else something that reads as quiet, or else
    /// the first condition that reads wrong, or else an alarm that reads as a
    /// fault.
    fn fault(&self) -> Option<Fault<'a>> {
        if self.model.reads.is_empty() {
            return None;
        }
        let conditions = &self.figures.conditions;
        let is_quiet = |of: &&ConditionFigures| of.kind == ConditionKind::Normal;
        let quiet = conditions.iter().find(is_quiet)?;
        if !quiet.reads_right(self.model) {
            return Some(Fault::Misread(quiet));
        }
        let as_quiet = |of: &&ConditionFigures| {
            !is_quiet(of) && of.reads == quiet.reads && !of.reads_right(self.model)
        };
        if let Some(condition) = conditions.iter().find(as_quiet) {
            return Some(Fault::Alike(quiet, condition));
        }
        let misread = |of: &&ConditionFigures| !of.reads_right(self.model);
        match conditions.iter().find(misread) {
            Some(condition) => Some(Fault::Misread(condition)),
            None => self.ambiguous(),
        }
    }

    /// What would mend a loop that no resistor does: a window more, or a tamper contact
    /// less, which has no resistor.
    pub fn beyond_resistors(&self) -> Option<String> {
        use ConditionKind::{Alarm, AllAlarms, Cut, Short, Tamper};
        let condition = match self.fault()? {
            Fault::Misread(one) | Fault::Alike(_, one) => one,
        };
        let knows = |meaning| self.window(meaning).is_some();
        let opens = condition.least.is_infinite();
        let windows = || self.model.reads.iter();
        let lowest = windows().map(|window| window.from);
        let lowest = lowest.fold(f64::INFINITY, f64::min);
        let highest = windows().map(|window| window.to).fold(0.0, f64::max);
        let ohms = |value| in_usual_unit(value, Dimension::Resistance);
        let unsaid = match condition.kind {
            Tamper(_) if knows(Meaning::Tamper) => Some(Meaning::Tamper),
            Alarm(_) | AllAlarms if knows(Meaning::Alarm) => None,
            Tamper(_) | Cut | Alarm(_) | AllAlarms => Some(Meaning::Open),
            _ => None,
        };
        let say = |of: &str, window: String| {
            let name = &self.model.name.value;
            format!(
                " Say in loop `{name}` what its input makes of {of} loop, `reads {window}` for one."
            )
        };
        if let Some(means) = unsaid.filter(|_| opens && highest.is_finite()) {
            let window = format!("{} {} ..", means.name(), ohms(highest));
            return Some(say("an open", window));
        }
        if condition.kind == Short && !above(condition.most, lowest) {
            return Some(say("a shorted", format!("short 0 ohm .. {}", ohms(lowest))));
        }
        let Tamper(contact) = condition.kind else {
            return None;
        };
        let mut others = self.figures.clone();
        let is_tamper = |of: &ConditionFigures| matches!(of.kind, Tamper(_));
        others.conditions.retain(|of| !is_tamper(of));
        let others = Reading {
            figures: &others,
            ..*self
        };
        let why = match opens {
            true => "No resistor changes that",
            false if others.fault().is_none() => "All else reads right",
            false => return None,
        };
        let name = self.detector(contact);
        Some(format!(
            " {why}: lead the tamper contact of {name} to an input of its own, and give {name} a model without it.",
        ))
    }

    fn detector(&self, contact: LoopContact) -> &'a str {
        let detector = self.site.devices.get(contact.detector);
        detector.map_or("its detector", |detector| &detector.name.value)
    }

    /// The window for a meaning, if the loop has one.
    fn window(&self, meaning: Meaning) -> Option<&'a Reads> {
        self.model.reads.iter().find(|reads| reads.means == meaning)
    }

    /// A condition in words: `with pir1 in alarm`.
    fn phrase(&self, condition: &ConditionFigures) -> String {
        let name = |contact| self.detector(contact);
        // The first of a kind is nearly always the only one.
        let at = |kind: &str, contact: LoopContact| match contact.number {
            1 => String::new(),
            number => format!(" at {kind} contact {number}"),
        };
        match condition.kind {
            ConditionKind::Normal => "when all is quiet".to_string(),
            ConditionKind::AllAlarms => "with all its contacts in alarm".to_string(),
            ConditionKind::Alarm(contact) => {
                format!("with {} in alarm{}", name(contact), at("alarm", contact))
            }
            ConditionKind::Tamper(contact) => {
                let (name, at) = (name(contact), at("tamper", contact));
                format!("with the housing of {name} open{at}")
            }
            ConditionKind::Short => "with its cores touching".to_string(),
            ConditionKind::Cut => "with a core broken".to_string(),
        }
    }

    fn misread(&self, condition: &ConditionFigures, hint: &str) -> Finding {
        let reads = match condition.reads {
            Some(reads) => format!("which reads as `{}`", reads.name()),
            None => "which falls in no window wholly".to_string(),
        };
        let opens = condition.least.is_infinite();
        // Not a window that is nowhere near.
        let near = |means: &&Meaning| match (condition.kind, means) {
            (ConditionKind::Short, Meaning::Open | Meaning::Alarm) => false,
            (ConditionKind::Cut, Meaning::Alarm) => false,
            (_, Meaning::Short) => !opens,
            _ => true,
        };
        let mut wanted = condition.kind.wanted(self.model).iter().filter(near);
        let window = wanted.find_map(|wanted| self.window(*wanted));
        let is = (condition.least, condition.most);
        let should = match window {
            Some(window) => format!(
                "; `{}` is {}",
                window.means.name(),
                resistances(window.from, window.to)
            ),
            None => String::new(),
        };
        let cable = match self.figures.cable_ohms {
            Some(ohms) if condition.most.is_finite() => format!(
                " Of that {} are cable.",
                in_usual_unit(ohms, Dimension::Resistance)
            ),
            _ => String::new(),
        };
        let message = format!(
            "zone {} is {} {}, {reads}{should}.{cable}{hint}",
            self.zone.number.value,
            match window {
                Some(window) => resistances_beyond(is, (window.from, window.to)),
                None => resistances(is.0, is.1),
            },
            self.phrase(condition),
        );
        let finding = Finding::new(Code::LoopMisread, self.span(), message);
        match window {
            Some(window) => finding.in_model(
                self.item().as_ref(),
                window.span,
                format!("the window for `{}`", window.means.name()),
            ),
            None => finding,
        }
    }

    /// Where the loop is named, or the zone's input.
    fn span(&self) -> Span {
        let name = self.zone.loop_name.as_ref().map(|name| name.span);
        name.or(self.zone.input.map(|input| input.span))
            .unwrap_or(self.zone.number.span)
    }

    /// The model whose loop it is: the panel's for an expander that takes its loops.
    fn item(&self) -> Option<Arc<Item>> {
        let (item, _) = self.site.loops_of(self.zone.input?.value)?;
        Some(item)
    }

    /// Two conditions that the loop is to tell apart and that read alike. A
    /// loop without a contact resistor cannot tell an alarm from a fault of
    /// the cable and is not meant to.
    fn ambiguous(&self) -> Option<Fault<'a>> {
        use ConditionKind::{Alarm, AllAlarms, Cut, Short, Tamper};
        self.model.contact?;
        let conditions = &self.figures.conditions;
        let faults = || {
            conditions
                .iter()
                .filter(|condition| matches!(condition.kind, Short | Cut | Tamper(_)))
        };
        let alarms = conditions
            .iter()
            .filter(|condition| matches!(condition.kind, Alarm(_) | AllAlarms));
        let (alarm, fault) = alarms
            .flat_map(|alarm| faults().map(move |fault| (alarm, fault)))
            .find(|(alarm, fault)| alarm.reads == fault.reads)?;
        Some(Fault::Alike(alarm, fault))
    }

    fn alike(&self, one: &ConditionFigures, other: &ConditionFigures, hint: &str) -> Finding {
        let message = format!(
            "zone {} reads `{}` both {} ({}) and {} ({}): the input cannot tell them apart.{hint}",
            self.zone.number.value,
            one.reads.map_or("", Meaning::name),
            self.phrase(one),
            resistances(one.least, one.most),
            self.phrase(other),
            resistances(other.least, other.most),
        );
        Finding::new(Code::LoopAmbiguous, self.span(), message)
    }
}
