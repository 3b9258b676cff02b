//! Figures beside the things that have them: volts and amperes at a device, the
//! drop on a leg, the ohms of a zone.
//!
//! One figure stands for the four states: the one that decides, which is the
//! lowest voltage and the greatest drop. The others are in the tooltip.

#[cfg(test)]
mod tests;

use std::ops::Range;

use bellwire_plan::figures::{
    ByState, ConditionFigures, ConditionKind, DeviceState, Figures, Solved, Why, ZoneFigures,
};
use bellwire_plan::model::Site;
use bellwire_plan::source::{BREAKS, Item, Span, Statement};
use bellwire_plan::workspace::{Entry, Evaluation};
use rustc_hash::FxHashMap;

use crate::amounts::{amperes, between, measured, ohms};
use crate::walk::{evaluated, in_file};

/// Which figures are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HintSettings {
    /// Volts and amperes at each device.
    pub devices: bool,
    /// The drop on each leg.
    pub legs: bool,
    /// The resistance of each zone's loop.
    pub zones: bool,
}

impl Default for HintSettings {
    fn default() -> HintSettings {
        HintSettings {
            devices: true,
            legs: true,
            zones: true,
        }
    }
}

/// Figures to be shown in a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// Behind this byte.
    pub offset: usize,
    /// `10.92 V, 125 mA`
    pub label: String,
    /// The same in every state, a line each.
    pub tooltip: String,
}

/// The hints in `range`, in the order of the text.
pub fn hints(entry: &Entry, range: Range<usize>, settings: HintSettings) -> Vec<Hint> {
    let mut hints = Vec::new();
    for (start, evaluation) in evaluated(entry, range.clone()) {
        if let Some(site) = evaluation.site() {
            let reader = Reader {
                site,
                figures: evaluation.figures(),
                start,
                range: range.clone(),
            };
            reader.lines(evaluation, settings, &mut hints);
            if settings.legs {
                reader.legs(&mut hints);
            }
        }
    }
    hints.retain(|hint| range.start <= hint.offset && hint.offset <= range.end);
    hints.sort_by_key(|hint| hint.offset);
    hints
}

struct Reader<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// Where the site starts in the file.
    start: usize,
    range: Range<usize>,
}

impl Reader<'_> {
    /// Devices and zones: their hints stand at the ends of their lines.
    fn lines(&self, evaluation: &Evaluation, settings: HintSettings, hints: &mut Vec<Hint>) {
        let mut found: FxHashMap<Span, Shown> = FxHashMap::default();
        for figures in self.figures.devices.iter().filter(|_| settings.devices) {
            let device = self.site.devices.get(figures.device);
            let device = device.filter(|device| self.shows(device.span));
            if let Some(device) = device.filter(|_| !figures.fed_by.is_empty()) {
                let shown = of_device(&figures.states);
                found.extend(shown.map(|shown| (device.span, shown)));
            }
        }
        for figures in self.figures.zones.iter().filter(|_| settings.zones) {
            let zone = self.site.zones.get(figures.zone);
            if let Some(zone) = zone.filter(|zone| self.shows(zone.span)) {
                let shown = of_zone(self.site, figures);
                found.extend(shown.map(|shown| (zone.span, shown)));
            }
        }
        self.statement(&evaluation.item, evaluation.item.root(), &mut found, hints);
    }

    fn statement(
        &self,
        item: &Item,
        statement: &Statement,
        found: &mut FxHashMap<Span, Shown>,
        hints: &mut Vec<Hint>,
    ) {
        if found.is_empty() || !self.shows(statement.span) {
            return;
        }
        if let Some(shown) = found.remove(&statement.span) {
            hints.push(shown.at(self.start + line_end(item, statement) as usize));
        }
        for inner in &statement.body {
            self.statement(item, inner, found, hints);
        }
    }

    fn legs(&self, hints: &mut Vec<Hint>) {
        for figures in &self.figures.legs {
            let path = self.site.path(figures.run, figures.path);
            let leg = path.and_then(|path| path.legs.get(figures.leg));
            let Some(leg) = leg.filter(|leg| self.shows(leg.span)) else {
                continue;
            };
            let drops = figures.states.solved().map(|(_, state)| state.drop.abs());
            let most = drops.fold(0.0, f64::max);
            if most == 0.0 {
                continue;
            }
            let tooltip = by_state(&figures.states, |state| {
                let (drop, carried) = (state.drop.abs(), state.amperes.abs());
                format!("{} lost at {}", measured(drop), amperes(carried))
            });
            let shown = Shown {
                label: measured(most),
                tooltip,
            };
            hints.push(shown.at(in_file(self.start, leg.span).end));
        }
    }

    fn shows(&self, span: Span) -> bool {
        let span = in_file(self.start, span);
        span.start <= self.range.end && self.range.start <= span.end
    }
}

struct Shown {
    label: String,
    tooltip: String,
}

impl Shown {
    fn at(self, offset: usize) -> Hint {
        Hint {
            offset,
            label: self.label,
            tooltip: self.tooltip,
        }
    }
}

fn of_device(states: &ByState<Solved<DeviceState>>) -> Option<Shown> {
    let unsolved = states.iter().find_map(|(_, state)| state.as_ref().err());
    let label = match (unsolved, states.lowest()) {
        (Some(Why::Fault(_)), _) => "no solution".to_string(),
        (Some(Why::Unknown(why)), _) => why.to_string(),
        (None, Some((_, state))) => {
            format!("{}, {}", measured(state.volts), amperes(state.amperes))
        }
        (None, None) => return None,
    };
    let tooltip = by_state(states, |state| match state.volts > 0.0 {
        true => format!("{}, {}", measured(state.volts), amperes(state.amperes)),
        false => "switched off".to_string(),
    });
    Some(Shown { label, tooltip })
}

fn of_zone(site: &Site, figures: &ZoneFigures) -> Option<Shown> {
    let normal = figures
        .conditions
        .iter()
        .find(|condition| condition.kind == ConditionKind::Normal)?;
    let conditions = figures.in_words(site).into_iter();
    let lines = conditions.map(|(called, condition)| {
        let reads = match condition.reads {
            Some(reads) => format!("reads {}", reads.name()),
            None => "in no window".to_string(),
        };
        format!("{called}: {}, {reads}", measures(condition))
    });
    Some(Shown {
        label: measures(normal),
        tooltip: lines.collect::<Vec<_>>().join("\n"),
    })
}

/// What a loop measures: `1.6 kohm .. 1.7 kohm`.
fn measures(condition: &ConditionFigures) -> String {
    let [least, most] = [condition.least, condition.most].map(|value| ohms(value, "open"));
    between(least, most)
}

fn by_state<T>(states: &ByState<Solved<T>>, show: impl Fn(&T) -> String) -> String {
    let lines = states.iter().map(|(state, solved)| match solved {
        Ok(solved) => format!("{} {}", show(solved), state.phrase()),
        Err(why) => format!("{why}, {}", state.phrase()),
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// Where a statement's first line ends, its comment left out.
fn line_end(item: &Item, statement: &Statement) -> u32 {
    let is_one_line = !item.text(statement.span).contains(BREAKS);
    match statement.block {
        _ if is_one_line => statement.span.end,
        Some(block) => block.open.end,
        None => statement.head.end,
    }
}
