//! Another input for a zone: that on whose cable its detectors lie, or the next that is free.

use rustc_hash::FxHashMap;

use crate::checks::inputs::Inputs;
use crate::figures::{Figures, PathFigures};
use crate::finding::Mend;
use crate::model::{At, Path, Site, Terminal, Zone, ZoneId};
use crate::sentence::list;

/// Finds other inputs for the zones of a site, so that all that it proposes can be followed.
pub(in crate::checks) struct InputMender<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// The first zone that has each input, or else that to which it is proposed.
    zones: FxHashMap<Terminal, ZoneId>,
}

impl<'a> InputMender<'a> {
    pub fn new(site: &'a Site, figures: &'a Figures) -> InputMender<'a> {
        let zones = site.zones.iter().enumerate().rev();
        let inputs = zones.filter_map(|(id, zone)| Some((zone.input?.value, id)));
        InputMender {
            site,
            figures,
            zones: inputs.collect(),
        }
    }

    /// The first zone that has an input, or else that to which it is proposed.
    pub fn zone_of(&self, input: Terminal) -> Option<ZoneId> {
        self.zones.get(&input).copied()
    }

    /// Whether a zone can have an input: no other has it, then or later.
    fn give(&mut self, input: Terminal, to: ZoneId) -> bool {
        *self.zones.entry(input).or_insert(to) == to
    }

    /// Another input for a zone, a sentence and the change: that on whose cable its detectors
    /// lie, or else the next that is free. None where they lie on that of several.
    pub fn other_input(&mut self, id: ZoneId, input: At<Terminal>) -> (String, Option<Mend>) {
        let zone = self.site.zones.get(id);
        let laid = zone.map_or(Vec::new(), |zone| self.inputs_along(zone));
        let mut free = laid.clone();
        free.retain(|laid| *laid != input.value && self.zone_of(*laid).is_none_or(|has| has == id));
        let names = |inputs: &[Terminal]| {
            let names = inputs.iter().map(|input| self.site.terminal_name(*input));
            list(&names.collect::<Vec<_>>())
        };
        match free.as_slice() {
            [only] => {
                let lies = names(&free);
                let mend = self.put_on(id, input, *only);
                let hint = match &mend {
                    Some(mend) => format!(" {}, where its cable lies.", mend.title),
                    None => format!(" Its cable lies on {lies}."),
                };
                (hint, mend)
            }
            [_, ..] => {
                let lies = names(&free);
                let hint = format!(" Its cable lies on {lies}: put it on one of them.");
                (hint, None)
            }
            [] if !laid.is_empty() && !laid.contains(&input.value) => {
                (format!(" Its cable lies on {}.", names(&laid)), None)
            }
            [] => {
                let mend = self.next_free(id, input);
                let hint = match &mend {
                    Some(mend) => format!(" {}.", mend.title),
                    None => " No input beside it is free: add an expander.".to_string(),
                };
                (hint, mend)
            }
        }
    }

    /// Puts a zone on an input that its panel has and no other zone.
    pub fn put_on(&mut self, id: ZoneId, input: At<Terminal>, other: Terminal) -> Option<Mend> {
        let zone = self.site.zones.get(id)?;
        let text = match other {
            Terminal::PanelInput(unit, number) if unit == zone.unit => number.to_string(),
            Terminal::DeviceInput(device, _) => {
                let bus = self.site.devices.get(device)?.bus?;
                (bus.unit == zone.unit).then(|| self.site.terminal_name(other))?
            }
            _ => return None,
        };
        let is_there = Inputs::of(self.site, other)?.has(other);
        (is_there && self.give(other, id)).then(|| put(zone, input, text))
    }

    /// The first input of the same panel or expander that is not taken.
    fn next_free(&mut self, id: ZoneId, input: At<Terminal>) -> Option<Mend> {
        let zone = self.site.zones.get(id)?;
        let inputs = Inputs::of(self.site, input.value)?;
        // Each zone has an input, and one more may be proposed for it.
        let mut numbers = inputs.numbers().take(2 * self.site.zones.len() + 1);
        let number = numbers.find(|number| self.give(numbered(input.value, *number), id))?;
        let written = self.site.item.text(input.span);
        let text = match written.rsplit_once('.') {
            Some((owner, _)) => format!("{owner}.{number}"),
            None => number.to_string(),
        };
        let mut mend = put(zone, input, text);
        if !inputs.has(input.value) {
            // The cable at the input that is not there is meant for this one.
            let called = self.site.terminal_name(numbered(input.value, number));
            let paths = self.site.runs.iter().flat_map(|run| &run.paths);
            let ends = paths.flat_map(Path::terminals);
            let ends = ends.filter(|at| at.value == input.value);
            mend.edits.extend(ends.map(|at| (at.span, called.clone())));
        }
        Some(mend)
    }

    /// The inputs on whose cable each of the detectors of a zone lies.
    pub fn inputs_along(&self, zone: &Zone) -> Vec<Terminal> {
        let mut detectors = zone.from.iter().map(|detector| {
            let names_it = |path: &&PathFigures| {
                let path = self.site.path(path.run, path.path);
                let mut all = path.into_iter().flat_map(Path::terminals);
                all.any(|at| at.value == Terminal::Device(detector.value))
            };
            let paths = self.figures.paths.iter().filter(names_it);
            let inputs = paths.flat_map(|path| path.carries.loops.iter().copied());
            let mut inputs: Vec<Terminal> = inputs.collect();
            inputs.sort_unstable();
            inputs.dedup();
            inputs
        });
        let mut all = detectors.next().unwrap_or_default();
        for own in detectors {
            all.retain(|input| own.contains(input));
        }
        all
    }
}

/// The change that puts a zone on an input, as the zone writes that.
fn put(zone: &Zone, input: At<Terminal>, text: String) -> Mend {
    Mend {
        title: format!("Put zone {} on input {text}", zone.number.value),
        edits: vec![(input.span, text)],
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
