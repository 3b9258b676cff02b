//! Zones: an input of their own, a cable to it, and a loop that reads right.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::words::list;
use crate::figures::{ConditionFigures, ConditionKind, Figures, ZoneFigures};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, InputsModel, LoopModel, Site, Terminal, Zone, ZoneId};
use crate::source::{Item, Spot};
use crate::vocabulary::{Dimension, in_usual_unit};

/// Checks the zones of a site.
pub(super) fn check(site: &Site, figures: &Figures, findings: &mut Vec<Finding>) {
    inputs_taken(site, findings);
    for (id, zone) in site.zones.iter().enumerate() {
        let Some(input) = zone.input else { continue };
        let inputs = Inputs::of(site, input.value);
        let known = inputs
            .as_ref()
            .is_some_and(|inputs| inputs.has(input.value));
        if let Some(inputs) = inputs.as_ref().filter(|_| !known) {
            findings.push(no_such_input(site, zone, input, inputs));
            continue;
        }
        let Some(figures) = figures.zone(id) else {
            continue;
        };
        findings.extend(unreached(site, zone, input, figures));
        if let Some(model) = &zone.loop_model {
            let reading = Reading {
                site,
                zone,
                model,
                figures,
            };
            findings.extend(reading.check());
        }
    }
}

/// The blocks of inputs that an input belongs to, and the model that lists them.
struct Inputs<'a> {
    blocks: &'a [InputsModel],
    item: Option<&'a Arc<Item>>,
}

impl<'a> Inputs<'a> {
    /// `None` if the model is not known.
    fn of(site: &'a Site, input: Terminal) -> Option<Inputs<'a>> {
        match input {
            Terminal::PanelInput(unit, _) => {
                let unit = site.units.get(unit)?;
                Some(Inputs {
                    blocks: &unit.model()?.inputs,
                    item: unit.model_item.as_ref(),
                })
            }
            Terminal::DeviceInput(device, _) => {
                let device = site.devices.get(device)?;
                Some(Inputs {
                    blocks: &device.model()?.inputs,
                    item: device.model_item.as_ref(),
                })
            }
            _ => None,
        }
    }

    fn has(&self, input: Terminal) -> bool {
        let (Terminal::PanelInput(_, number) | Terminal::DeviceInput(_, number)) = input else {
            return false;
        };
        let mut blocks = self.blocks.iter();
        blocks.any(|block| (block.range.value.0..=block.range.value.1).contains(&number))
    }
}

/// The same terminals with another number.
fn numbered(input: Terminal, number: u32) -> Terminal {
    match input {
        Terminal::PanelInput(unit, _) => Terminal::PanelInput(unit, number),
        Terminal::DeviceInput(device, _) => Terminal::DeviceInput(device, number),
        other => other,
    }
}

fn no_such_input(site: &Site, zone: &Zone, input: At<Terminal>, inputs: &Inputs) -> Finding {
    let called = site.terminal_name(input.value);
    let owner = called.rsplit_once('.').map_or("", |(owner, _)| owner);
    let ranges: Vec<String> = inputs
        .blocks
        .iter()
        .map(|block| match block.range.value {
            (first, last) if first == last => format!("{first}"),
            (first, last) => format!("{first} to {last}"),
        })
        .collect();
    let has = match ranges.as_slice() {
        [] => "no inputs".to_string(),
        ranges => format!("inputs {}", list(ranges)),
    };
    let message = format!(
        "zone {} is read by {called}, and {owner} has {has}.",
        zone.number.value
    );
    let finding = Finding::new(Code::InputMissing, input.span, message)
        .mended_by(next_free(site, zone, input));
    match (inputs.blocks.first(), inputs.item) {
        (Some(block), Some(item)) => {
            let spot = Spot {
                item: item.clone(),
                span: block.range.span,
            };
            finding.with(spot, "the inputs that there are")
        }
        _ => finding,
    }
}

/// The first input of the same panel or expander that no zone has.
fn next_free(site: &Site, zone: &Zone, input: At<Terminal>) -> Option<Mend> {
    let inputs = Inputs::of(site, input.value)?;
    let taken = |terminal: Terminal| {
        site.zones
            .iter()
            .any(|zone| zone.input.is_some_and(|at| at.value == terminal))
    };
    let number = inputs
        .blocks
        .iter()
        .flat_map(|block| block.range.value.0..=block.range.value.1)
        .take(site.zones.len() + 1)
        .find(|number| !taken(numbered(input.value, *number)))?;
    let written = site.item.text(input.span);
    let text = match written.rsplit_once('.') {
        Some((owner, _)) => format!("{owner}.{number}"),
        None => number.to_string(),
    };
    Some(Mend {
        title: format!("Put zone {} on input {text}", zone.number.value),
        edits: vec![(input.span, text)],
    })
}

fn inputs_taken(site: &Site, findings: &mut Vec<Finding>) {
    let mut by_input: FxHashMap<Terminal, ZoneId> = FxHashMap::default();
    let mut shared: Vec<(ZoneId, ZoneId)> = Vec::new();
    for (id, zone) in site.zones.iter().enumerate() {
        if let Some(input) = zone.input {
            let first = *by_input.entry(input.value).or_insert(id);
            if first != id {
                shared.push((first, id));
            }
        }
    }
    for (first, second) in shared {
        for (own, other) in [(first, second), (second, first)] {
            findings.extend(taken(site, own, other));
        }
    }
}

fn taken(site: &Site, own: ZoneId, other: ZoneId) -> Option<Finding> {
    let (zone, other) = (site.zones.get(own)?, site.zones.get(other)?);
    let (input, elsewhere) = (zone.input?, other.input?);
    let mend = next_free(site, zone, input);
    let hint = match &mend {
        Some(mend) => format!(" {}.", mend.title),
        None => " No input beside it is free: add an expander.".to_string(),
    };
    let message = format!(
        "zones {} and {} are both read by {}.{hint}",
        zone.number.value,
        other.number.value,
        site.terminal_name(input.value),
    );
    let spot = site.spot(elsewhere.span);
    let related = format!("zone {} has it", other.number.value);
    let finding = Finding::new(Code::InputTaken, input.span, message);
    Some(finding.with(spot, related).mended_by(mend))
}

fn unreached(
    site: &Site,
    zone: &Zone,
    input: At<Terminal>,
    figures: &ZoneFigures,
) -> Option<Finding> {
    let names: Vec<&str> = figures
        .unreached
        .iter()
        .filter_map(|device| Some(site.devices.get(*device)?.name.value.as_str()))
        .collect();
    let first = names.first()?;
    let called = site.terminal_name(input.value);
    let message = format!(
        "no cable leads from {called} to {}, which zone {} reads: add a run, `{called} --10 m-- {first}` for one.",
        list(&names),
        zone.number.value
    );
    Some(Finding::new(Code::InputMissing, input.span, message))
}

/// A zone's loop and what its input makes of it.
struct Reading<'a> {
    site: &'a Site,
    zone: &'a Zone,
    model: &'a LoopModel,
    figures: &'a ZoneFigures,
}

impl Reading<'_> {
    /// What is wrong with the loop: quiet that reads wrong, or else something
    /// that reads as quiet, or else the first condition that reads wrong, or
    /// else an alarm that reads as a fault.
    fn check(&self) -> Option<Finding> {
        if self.model.reads.is_empty() {
            return None;
        }
        let conditions = &self.figures.conditions;
        let is_quiet = |of: &&ConditionFigures| of.kind == ConditionKind::Normal;
        let quiet = conditions.iter().find(is_quiet)?;
        if !self.reads_right(quiet) {
            return Some(self.misread(quiet));
        }
        let as_quiet = |of: &&ConditionFigures| !is_quiet(of) && of.reads == quiet.reads;
        if let Some(condition) = conditions.iter().find(as_quiet) {
            return Some(self.alike(quiet, condition));
        }
        let misread = |of: &&ConditionFigures| !self.reads_right(of);
        match conditions.iter().find(misread) {
            Some(condition) => Some(self.misread(condition)),
            None => self.ambiguous(),
        }
    }

    fn knows(&self, window: &str) -> bool {
        let mut reads = self.model.reads.iter();
        reads.any(|reads| reads.condition == window)
    }

    /// What a condition should read as: any of these, or `None` if anything
    /// but normal will do.
    fn wanted(&self, kind: ConditionKind) -> Option<Vec<&'static str>> {
        let first_known = |windows: &[&'static str]| {
            let known = windows.iter().find(|window| self.knows(window))?;
            Some(vec![*known])
        };
        match kind {
            ConditionKind::Normal => Some(vec!["normal"]),
            ConditionKind::Alarm if self.knows("alarm") => Some(vec!["alarm"]),
            // A normally-open contact shorts the loop, a closed one opens it.
            ConditionKind::Alarm => Some(vec!["open", "short"]),
            ConditionKind::Tamper if self.knows("tamper") => Some(vec!["tamper"]),
            ConditionKind::Tamper => Some(vec!["open", "short"]),
            ConditionKind::Short => first_known(&["short", "tamper"]),
            ConditionKind::Cut => match first_known(&["open", "tamper"]) {
                Some(_) => Some(vec!["open", "tamper"]),
                None => None,
            },
        }
    }

    fn reads_right(&self, condition: &ConditionFigures) -> bool {
        let reads = condition.reads.as_deref();
        match self.wanted(condition.kind) {
            Some(wanted) => reads.is_some_and(|reads| wanted.contains(&reads)),
            None => reads != Some("normal"),
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
            ConditionKind::Alarm if condition.condition == "open-alarm-all" => {
                "with all its contacts in alarm".to_string()
            }
            ConditionKind::Alarm => format!("with {} in alarm", name("open-alarm")),
            ConditionKind::Tamper => format!("with the housing of {} open", name("open-tamper")),
            ConditionKind::Short => "with its cores touching".to_string(),
            ConditionKind::Cut => "with a core broken".to_string(),
        }
    }

    fn misread(&self, condition: &ConditionFigures) -> Finding {
        let reads = match &condition.reads {
            Some(reads) => format!("which reads as `{reads}`"),
            None => "which falls in no window wholly".to_string(),
        };
        let wanted = match self.wanted(condition.kind) {
            Some(wanted) => wanted.into_iter().find(|wanted| self.knows(wanted)),
            None => None,
        };
        let window = wanted.and_then(|wanted| {
            let mut reads = self.model.reads.iter();
            reads.find(|reads| reads.condition == wanted)
        });
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
            "zone {} is {} {}, {reads}{should}.{cable} Check the resistors of loop `{}` and how many detectors it has.",
            self.zone.number.value,
            resistances(condition.least, condition.most),
            self.phrase(condition),
            self.model.name.value,
        );
        let finding = Finding::new(Code::LoopMisread, self.span(), message);
        match (window, self.item()) {
            (Some(window), Some(item)) => {
                let spot = Spot {
                    item: item.clone(),
                    span: window.span,
                };
                finding.with(spot, format!("the window for `{}`", window.condition))
            }
            _ => finding,
        }
    }

    /// Where the loop is named, or the zone's input.
    fn span(&self) -> crate::source::Span {
        let name = self.zone.loop_name.as_ref().map(|name| name.span);
        name.or(self.zone.input.map(|input| input.span))
            .unwrap_or(self.zone.number.span)
    }

    /// The model whose loop it is: the panel's for an expander that takes its loops.
    fn item(&self) -> Option<&Arc<Item>> {
        match self.zone.input?.value {
            Terminal::DeviceInput(device, number) => {
                let device = self.site.devices.get(device)?;
                let block =
                    device.model()?.inputs.iter().find(|block| {
                        (block.range.value.0..=block.range.value.1).contains(&number)
                    })?;
                match device.bus {
                    Some((unit, _)) if block.as_panel => {
                        self.site.units.get(unit)?.model_item.as_ref()
                    }
                    _ => device.model_item.as_ref(),
                }
            }
            Terminal::PanelInput(unit, _) => self.site.units.get(unit)?.model_item.as_ref(),
            _ => None,
        }
    }

    /// Two conditions that the loop is to tell apart and that read alike. A
    /// loop without a contact resistor cannot tell an alarm from a fault of
    /// the cable and is not meant to.
    fn ambiguous(&self) -> Option<Finding> {
        use ConditionKind::{Alarm, Cut, Short, Tamper};
        self.model.contact?;
        let conditions = &self.figures.conditions;
        let faults = || {
            conditions
                .iter()
                .filter(|condition| matches!(condition.kind, Short | Cut | Tamper))
        };
        let alarms = conditions
            .iter()
            .filter(|condition| condition.kind == Alarm);
        let (alarm, fault) = alarms
            .flat_map(|alarm| faults().map(move |fault| (alarm, fault)))
            .find(|(alarm, fault)| alarm.reads == fault.reads)?;
        Some(self.alike(alarm, fault))
    }

    fn alike(&self, one: &ConditionFigures, other: &ConditionFigures) -> Finding {
        let message = format!(
            "zone {} reads `{}` both {} ({}) and {} ({}): the input cannot tell them apart. Use a loop whose windows do, or other resistors.",
            self.zone.number.value,
            one.reads.as_deref().unwrap_or(""),
            self.phrase(one),
            resistances(one.least, one.most),
            self.phrase(other),
            resistances(other.least, other.most),
        );
        Finding::new(Code::LoopAmbiguous, self.span(), message)
    }
}

/// A range of resistances: `2.18 kohm to 2.22 kohm`, `open`.
fn resistances(least: f64, most: f64) -> String {
    let [from, to] = [least, most].map(|ohms| in_usual_unit(ohms, Dimension::Resistance));
    match (least.is_finite(), most.is_finite()) {
        (true, true) if from == to => from,
        (true, true) => format!("{from} to {to}"),
        (true, false) => format!("{from} and more"),
        _ => "open".to_string(),
    }
}
