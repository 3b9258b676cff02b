//! Loops: every condition reads as what it is, and no two alike that must differ.

use std::sync::Arc;

use super::numbers::{resistances, resistances_beyond};
use crate::figures::{ConditionFigures, ConditionKind, ZoneFigures, loop_conditions};
use crate::finding::{Code, Finding, Mend};
use crate::model::{LoopModel, Site, Zone};
use crate::source::{Item, Span};
use crate::vocabulary::{Dimension, in_usual_unit};

/// A zone's loop and what its input makes of it.
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
        let (hint, mend) = mend();
        let finding = match fault {
            Fault::Misread(condition) => self.misread(condition, &hint),
            Fault::Alike(one, other) => self.alike(one, other, &hint),
        };
        Some(finding.mended_by(mend))
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
        if !self.reads_right(quiet) {
            return Some(Fault::Misread(quiet));
        }
        let as_quiet = |of: &&ConditionFigures| !is_quiet(of) && of.reads == quiet.reads;
        if let Some(condition) = conditions.iter().find(as_quiet) {
            return Some(Fault::Alike(quiet, condition));
        }
        let misread = |of: &&ConditionFigures| !self.reads_right(of);
        match conditions.iter().find(misread) {
            Some(condition) => Some(Fault::Misread(condition)),
            None => self.ambiguous(),
        }
    }

    fn knows(&self, window: &str) -> bool {
        let mut reads = self.model.reads.iter();
        reads.any(|reads| reads.condition == window)
    }

    /// What a condition should read as: any of these, or `None` if anything
    /// but normal will do.
    fn wanted(&self, kind: ConditionKind) -> Option<&'static [&'static str]> {
        let first_known = |windows: &'static [&'static str]| {
            let known = windows.iter().find(|window| self.knows(window))?;
            Some(std::slice::from_ref(known))
        };
        match kind {
            ConditionKind::Normal => Some(&["normal"]),
            ConditionKind::Alarm | ConditionKind::AllAlarms if self.knows("alarm") => {
                Some(&["alarm"])
            }
            // A normally-open contact shorts the loop, a closed one opens it.
            ConditionKind::Alarm | ConditionKind::AllAlarms => Some(&["open", "short"]),
            ConditionKind::Tamper if self.knows("tamper") => Some(&["tamper"]),
            ConditionKind::Tamper => Some(&["open", "short"]),
            ConditionKind::Short => first_known(&["short", "tamper"]),
            ConditionKind::Cut => match first_known(&["open", "tamper"]) {
                Some(_) => Some(&["open", "tamper"]),
                None => None,
            },
        }
    }

    fn reads_right(&self, condition: &ConditionFigures) -> bool {
        match self.wanted(condition.kind) {
            Some(wanted) => condition.reads.is_some_and(|reads| wanted.contains(&reads)),
            None => condition.reads != Some("normal"),
        }
    }

    /// A condition in words: `with pir1 in alarm`.
    fn phrase(&self, condition: &ConditionFigures) -> String {
        let name = |key: &str| {
            let name = condition.condition.strip_prefix(key).unwrap_or("");
            let own = self.zone.from.first().map(|detector| detector.value);
            let own = own.and_then(|device| self.site.devices.get(device));
            let own = own.map_or("its detector", |device| device.name.value.as_str());
            match name.strip_prefix('-') {
                Some(name) if self.zone.from.len() > 1 => name.to_string(),
                _ => own.to_string(),
            }
        };
        match condition.kind {
            ConditionKind::Normal => "when all is quiet".to_string(),
            ConditionKind::AllAlarms => "with all its contacts in alarm".to_string(),
            ConditionKind::Alarm => format!("with {} in alarm", name("open-alarm")),
            ConditionKind::Tamper => format!("with the housing of {} open", name("open-tamper")),
            ConditionKind::Short => "with its cores touching".to_string(),
            ConditionKind::Cut => "with a core broken".to_string(),
        }
    }

    fn misread(&self, condition: &ConditionFigures, hint: &str) -> Finding {
        let reads = match &condition.reads {
            Some(reads) => format!("which reads as `{reads}`"),
            None => "which falls in no window wholly".to_string(),
        };
        let wanted = match self.wanted(condition.kind) {
            Some(wanted) => wanted.iter().find(|wanted| self.knows(wanted)),
            None => None,
        };
        let window = wanted.and_then(|wanted| {
            let mut reads = self.model.reads.iter();
            reads.find(|reads| reads.condition == *wanted)
        });
        let is = (condition.least, condition.most);
        let should = match window {
            Some(window) => format!(
                "; `{}` is {}",
                window.condition,
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
                format!("the window for `{}`", window.condition),
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
                .filter(|condition| matches!(condition.kind, Short | Cut | Tamper))
        };
        let alarms = conditions
            .iter()
            .filter(|condition| matches!(condition.kind, Alarm | AllAlarms));
        let (alarm, fault) = alarms
            .flat_map(|alarm| faults().map(move |fault| (alarm, fault)))
            .find(|(alarm, fault)| alarm.reads == fault.reads)?;
        Some(Fault::Alike(alarm, fault))
    }

    fn alike(&self, one: &ConditionFigures, other: &ConditionFigures, hint: &str) -> Finding {
        let message = format!(
            "zone {} reads `{}` both {} ({}) and {} ({}): the input cannot tell them apart.{hint}",
            self.zone.number.value,
            one.reads.unwrap_or(""),
            self.phrase(one),
            resistances(one.least, one.most),
            self.phrase(other),
            resistances(other.least, other.most),
        );
        Finding::new(Code::LoopAmbiguous, self.span(), message)
    }
}
