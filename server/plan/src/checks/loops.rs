//! Loops: every condition reads as what it is, and no two alike that must differ.

use std::sync::Arc;

use super::numbers::{resistances, resistances_beyond};
use crate::figures::{ConditionFigures, ConditionKind, LoopContact, ZoneFigures, loop_conditions};
use crate::finding::{Code, Finding, Mend};
use crate::model::{LoopModel, Meaning, Reads, Site, Zone};
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

    /// What would mend a loop on which nothing is wrong but what an opened housing
    /// makes of it: tamper contacts have no resistors.
    pub fn housing(&self) -> Option<String> {
        let (condition, contact) = match self.fault()? {
            Fault::Misread(one) | Fault::Alike(_, one) => match one.kind {
                ConditionKind::Tamper(contact) => (one, contact),
                _ => return None,
            },
        };
        let opens = condition.least.is_infinite();
        // No window says what an open loop is, so a broken core reads as nothing too.
        let unsaid = opens && condition.reads.is_none();
        let mut others = self.figures.clone();
        others.conditions.retain(|of| match of.kind {
            ConditionKind::Tamper(_) => false,
            ConditionKind::Cut => !unsaid,
            _ => true,
        });
        let others = Reading {
            figures: &others,
            ..*self
        };
        if others.fault().is_some() {
            return None;
        }
        let does = match opens {
            true => "opens the loop, whatever they are",
            false => "leads past them",
        };
        let fine = format!(" The resistors are fine: an open housing {does}.");
        if unsaid {
            let means = match self.window(Meaning::Tamper) {
                Some(_) => Meaning::Tamper,
                None => Meaning::Open,
            };
            let windows = self.model.reads.iter();
            let highest = windows.map(|window| window.to).fold(0.0, f64::max);
            return Some(format!(
                "{fine} Say in loop `{}` what its input makes of that, `reads {} {} ..` for one.",
                self.model.name.value,
                means.name(),
                in_usual_unit(highest, Dimension::Resistance),
            ));
        }
        let name = self.detector(contact);
        Some(format!(
            "{fine} Lead the tamper contact of {name} to an input of its own, and give {name} a model without it.",
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

    /// What a condition should read as: any of these, or `None` if anything
    /// but normal will do.
    fn wanted(&self, kind: ConditionKind) -> Option<&'static [Meaning]> {
        use Meaning::{Alarm, Normal, Open, Short, Tamper};
        let knows = |meaning| self.window(meaning).is_some();
        match kind {
            ConditionKind::Normal => Some(&[Normal]),
            ConditionKind::Alarm(_) | ConditionKind::AllAlarms if knows(Alarm) => Some(&[Alarm]),
            // A normally-open contact shorts the loop, a closed one opens it.
            ConditionKind::Alarm(_) | ConditionKind::AllAlarms => Some(&[Open, Short]),
            ConditionKind::Tamper(_) if knows(Tamper) => Some(&[Tamper]),
            ConditionKind::Tamper(_) => Some(&[Open, Short]),
            ConditionKind::Short if knows(Short) => Some(&[Short]),
            ConditionKind::Short if knows(Tamper) => Some(&[Tamper]),
            ConditionKind::Cut if knows(Open) || knows(Tamper) => Some(&[Open, Tamper]),
            ConditionKind::Short | ConditionKind::Cut => None,
        }
    }

    fn reads_right(&self, condition: &ConditionFigures) -> bool {
        match self.wanted(condition.kind) {
            Some(wanted) => condition.reads.is_some_and(|reads| wanted.contains(&reads)),
            None => condition.reads != Some(Meaning::Normal),
        }
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
        let wanted = self.wanted(condition.kind).into_iter().flatten();
        // An open loop is nowhere near a short one.
        let opens = condition.least.is_infinite();
        let mut wanted = wanted.filter(|wanted| !opens || **wanted != Meaning::Short);
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
