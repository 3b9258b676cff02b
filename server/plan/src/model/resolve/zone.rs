//! Zones: their inputs, loops and detectors.

use std::sync::Arc;

use super::device::partitions_of;
use super::elsewhere::is_series;
use super::{Resolver, label};
use crate::finding::{Code, Finding, Lack, Mend};
use crate::model::at::At;
use crate::model::catalog::{LoopModel, Model, ModelData, owned};
use crate::model::site::*;
use crate::model::words::Words;
use crate::sentence::code_list;
use crate::source::{Item, Span};
use crate::vocabulary::{Context, Dimension, Space, word};

impl<'a> Resolver<'a> {
    /// Reads a zone. Gives its id, unless it has no number.
    pub(super) fn zone(&mut self, words: Words<'a>, unit: UnitId) -> Option<ZoneId> {
        let Some(number) = words.whole() else {
            self.site.zones_unread = true;
            return None;
        };
        self.declare(number.span);
        let first = *self
            .zones
            .entry((unit, number.value))
            .or_insert(number.span);
        if first != number.span {
            self.number_taken("zones", number, first);
        }
        let input = words.get("input").and_then(|words| self.input(words, unit));
        let mut from_unread = false;
        let from = self.detectors(words, &mut from_unread);
        let said = words.get("loop");
        let loop_name = said.and_then(|words| words.name());
        let loop_model = match (said, loop_name) {
            // What it says cannot be read, which is told.
            (Some(_), None) => None,
            _ => self.loop_of(words, input, loop_name),
        };
        let partitions = partitions_of(words);
        let seconds = |keyword| words.amount_of(keyword, Dimension::Time);
        let has_unread =
            (from.is_empty() || partitions.is_empty()) && words.has_unread(Context::Zone);
        // `from d1, d2`: what stands behind the comma may be in the zone too.
        let parted = |clause: Words| {
            let name = clause.keyword();
            self.names.contains_key(name) && word(name, Context::Zone).is_none()
        };
        from_unread |= words.body().any(parted);
        self.site.zones_unread |= from.is_empty() || from_unread;
        let id = self.site.zones.len();
        self.site.zones.push(Zone {
            number,
            label: label(words),
            unit,
            input,
            from,
            from_unread,
            partitions_unread: partitions.is_empty() && (words.has("partition") || has_unread),
            partitions,
            loop_name: loop_name.map(owned),
            loop_model,
            entry: seconds("entry"),
            exit: seconds("exit"),
            span: words.statement.span,
            head: words.statement.head,
        });
        Some(id)
    }

    /// An input: a number of the panel's own, or a reference.
    fn input(&mut self, words: Words<'a>, unit: UnitId) -> Option<At<Terminal>> {
        if let Some(number) = words.whole() {
            let input = number.map(|number| Terminal::PanelInput(unit, number));
            self.note_input(input.span, input.value);
            return Some(input);
        }
        // A name behind a number is part of something else: `input 2 from pir1`.
        let value = words.statement.arguments.first()?;
        if !value.is_name() {
            return None;
        }
        let terminal = self.terminal(value);
        match terminal {
            Terminal::PanelInput(..) | Terminal::DeviceInput(..) => Some(At {
                value: terminal,
                span: value.span,
            }),
            Terminal::Unknown => None,
            _ => {
                let text = words.text(value.span);
                self.report(
                    Code::WrongKind,
                    value.span,
                    format!("`{text}` is no input: write the number of one, or `{text}.1` for one of an expander"),
                );
                None
            }
        }
    }

    /// The detectors on a zone's loop, also of a second `from`, which is told. `unread` is set
    /// if it names what may be one, and that cannot be read.
    fn detectors(&mut self, zone: Words<'a>, unread: &mut bool) -> Vec<At<DeviceId>> {
        let mut detectors: Vec<At<DeviceId>> = Vec::new();
        for value in zone.all("from").flat_map(|words| words.names()) {
            let text = zone.text(value.span);
            if !self.names.contains_key(text) && word(text, Context::Zone).is_some() {
                let message = format!("a comma is missing before `{text}`");
                self.report(Code::Misplaced, value.span, message);
                break;
            }
            match self.terminal(value) {
                Terminal::Device(device) => {
                    let known = detectors.iter().find(|known| known.value == device);
                    match known.map(|known| known.span) {
                        Some(first) => self.again(first, value.span),
                        None => detectors.push(At {
                            value: device,
                            span: value.span,
                        }),
                    }
                }
                Terminal::Unknown => *unread = true,
                _ => {
                    self.report(
                        Code::WrongKind,
                        value.span,
                        format!("`{text}` is no device: name the detector on the loop"),
                    );
                }
            }
        }
        detectors
    }

    /// A detector that the loop has passed already.
    fn again(&mut self, first: Span, again: Span) {
        let name = self.item.text(again);
        let blanks = self.item.source().get(..again.start as usize);
        let before = blanks.map_or(again.start as usize, |text| text.trim_end().len());
        let mend = Mend {
            title: format!("Take the second {name} out"),
            edits: vec![(Span::new(before, again.end as usize), String::new())],
        };
        let message = format!("the loop runs through {name} twice: take one out");
        let finding = Finding::new(Code::Repeated, again, message);
        let spot = self.site.spot(first);
        let finding = finding.with(spot, "the first one").mended_by(Some(mend));
        self.findings.push(finding);
    }

    /// The loop that a zone names, or the only one that its input can read.
    fn loop_of(
        &mut self,
        zone: Words,
        input: Option<At<Terminal>>,
        name: Option<At<&str>>,
    ) -> Option<Arc<LoopModel>> {
        let (item, block) = self.site.loops_of(input?.value)?;
        let model = match name {
            Some(name) => block.iter().find(|model| model.name.value == name.value),
            None if block.len() == 1 => block.first(),
            None => None,
        };
        let mut model = model.cloned();
        if let Some(model) = &mut model {
            self.take_series(model, name.map_or(input?.span, |name| name.span));
        }
        match (name, &model) {
            (Some(name), Some(model)) => self.note(name.span, item.spot(model.name.span)),
            (Some(name), None) => self.unknown_loop(name, &item, &block),
            (None, None) if !zone.has_unread(Context::Zone) => self.which_loop(input?, &block),
            (None, _) => {}
        }
        model
    }

    /// Of several loops that an input can read the zone says none.
    fn which_loop(&mut self, input: At<Terminal>, loops: &[Arc<LoopModel>]) {
        let [first, _, ..] = loops else { return };
        let message = format!(
            "{} can read {}: say how this zone is wired, `loop {}` for one.",
            self.site.terminal_name(input.value),
            code_list(&names(loops)),
            first.name.value
        );
        self.report(Code::Missing, input.span, message);
    }

    /// A loop that the model of an input does not list.
    fn unknown_loop(&mut self, name: At<&str>, item: &Arc<Item>, loops: &[Arc<LoopModel>]) {
        let model = item.model();
        // What the model says of loops and cannot be read is told there.
        if loops.is_empty() && model.is_some_and(Model::says_loops)
            || model.is_some_and(Model::has_loops_unread)
        {
            return;
        }
        let is_device = model.is_some_and(|model| matches!(model.data, ModelData::Device(_)));
        let hint = match names(loops).as_slice() {
            [] if is_device => "its model says none, nor `as panel`".to_string(),
            [] => "its model says none".to_string(),
            names => format!("it knows {}", code_list(names)),
        };
        let message = format!("the input cannot read a loop `{}`: {hint}.", name.value);
        self.report(Code::UnknownName, name.span, message);
    }

    /// Looks up the series of a loop's resistors. The loop's model names it, and
    /// may know what the site's file does not.
    fn take_series(&mut self, model: &mut Arc<LoopModel>, at: Span) {
        let Some(name) = model.resistors.clone() else {
            return;
        };
        let model = Arc::make_mut(model);
        let found = self.scope.find(Space::Model, &name.value);
        model.series = found.filter(is_series);
        model.complete &= model.series().is_some() || model.own_tolerance.is_some();
        if model.series.is_none() {
            let message = format!(
                "loop `{}` takes its resistors from `{}`, which this file does not know: `use` the file that declares it.",
                model.name.value, name.value
            );
            let lack = Lack {
                space: Space::Model,
                kind: Some("series"),
                name: name.value,
            };
            let finding = Finding::new(Code::UnknownName, at, message);
            self.findings.push(finding.lacking(lack));
        }
    }
}

fn names(loops: &[Arc<LoopModel>]) -> Vec<&str> {
    let loops = loops.iter();
    loops.map(|model| model.name.value.as_str()).collect()
}
