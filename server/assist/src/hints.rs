//! The figures beside what they are of: volts and amperes at a device, the
//! drop on a leg, the ohms of a zone.
//!
//! One figure stands for the four states: the one that decides, which is the
//! lowest voltage and the greatest drop. The others are in the tooltip.

use std::ops::Range;

use bellwire_plan::figures::{
    ByState, ConditionFigures, ConditionKind, DeviceState, Figures, Solved, State,
};
use bellwire_plan::model::Site;
use bellwire_plan::source::{Item, Span, Statement};
use bellwire_plan::vocabulary::{Dimension, in_usual_unit};
use bellwire_plan::workspace::{Entry, Evaluation};
use rustc_hash::FxHashMap;

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

/// What a hint is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HintKind {
    /// A device.
    Device,
    /// A leg.
    Leg,
    /// A zone.
    Zone,
}

/// Figures to be shown in a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// Behind this byte.
    pub offset: usize,
    /// `10.9 V, 125 mA`
    pub label: String,
    /// The same in every state, a line each.
    pub tooltip: String,
    /// What it is of.
    pub kind: HintKind,
}

/// The hints in `range`, in the order of the text.
pub fn hints(entry: &Entry, range: Range<usize>, settings: HintSettings) -> Vec<Hint> {
    let mut hints = Vec::new();
    for (start, evaluation) in evaluated(entry, range.clone()) {
        if let Some(site) = &evaluation.site {
            let reader = Reader {
                site,
                figures: &evaluation.figures,
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
                let shown = of_zone(&figures.conditions);
                found.extend(shown.map(|shown| (zone.span, shown)));
            }
        }
        self.statement(&evaluation.item, &evaluation.item.root, &mut found, hints);
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
        for segment in &self.figures.segments {
            let run = self.site.runs.get(segment.run);
            let path = run.and_then(|run| run.paths.get(segment.path));
            let leg = path.and_then(|path| path.legs.get(segment.leg));
            let Some(leg) = leg.filter(|leg| self.shows(leg.span)) else {
                continue;
            };
            let drop = |state: &Solved<_>| -> Option<f64> {
                let state: &bellwire_plan::figures::SegmentState = state.as_ref().ok()?;
                Some(state.drop.abs())
            };
            let states = segment.states.iter().filter_map(|(_, state)| drop(state));
            let most = states.fold(0.0, f64::max);
            if most == 0.0 {
                continue;
            }
            let tooltip = by_state(&segment.states, |state| {
                let (drop, amperes) = (state.drop.abs(), state.amperes.abs());
                format!("{} lost at {}", volts(drop), current(amperes))
            });
            let shown = Shown {
                label: volts(most),
                tooltip,
                kind: HintKind::Leg,
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
    kind: HintKind,
}

impl Shown {
    fn at(self, offset: usize) -> Hint {
        Hint {
            offset,
            label: self.label,
            tooltip: self.tooltip,
            kind: self.kind,
        }
    }
}

fn of_device(states: &ByState<Solved<DeviceState>>) -> Option<Shown> {
    let unsolved = states.iter().any(|(_, state)| state.is_err());
    let label = match lowest(states) {
        _ if unsolved => "no solution".to_string(),
        Some((_, state)) => format!("{}, {}", volts(state.volts), current(state.amperes)),
        None => return None,
    };
    let tooltip = by_state(states, |state| match state.volts > 0.0 {
        true => format!("{}, {}", volts(state.volts), current(state.amperes)),
        false => "switched off".to_string(),
    });
    Some(Shown {
        label,
        tooltip,
        kind: HintKind::Device,
    })
}

/// The state in which a device gets least, of those in which it is switched on.
pub(crate) fn lowest(states: &ByState<Solved<DeviceState>>) -> Option<(State, DeviceState)> {
    let solved = states.iter().filter_map(|(state, solved)| {
        let solved = solved.as_ref().ok().filter(|solved| solved.volts > 0.0);
        Some((state, *solved?))
    });
    solved.min_by(|(_, a), (_, b)| a.volts.total_cmp(&b.volts))
}

fn of_zone(conditions: &[ConditionFigures]) -> Option<Shown> {
    let normal = conditions
        .iter()
        .find(|condition| condition.kind == ConditionKind::Normal)?;
    let lines = conditions.iter().map(|condition| {
        let reads = match &condition.reads {
            Some(reads) => format!("reads {reads}"),
            None => "in no window".to_string(),
        };
        format!("{}: {}, {reads}", condition.condition, ohms(condition))
    });
    Some(Shown {
        label: ohms(normal),
        tooltip: lines.collect::<Vec<_>>().join("\n"),
        kind: HintKind::Zone,
    })
}

/// What a loop measures: `1.6 kohm .. 1.7 kohm`.
fn ohms(condition: &ConditionFigures) -> String {
    let text = |ohms: f64| match ohms.is_finite() {
        true => in_usual_unit(ohms, Dimension::Resistance),
        false => "open".to_string(),
    };
    let (least, most) = (text(condition.least), text(condition.most));
    match least == most {
        true => least,
        false => format!("{least} .. {most}"),
    }
}

fn by_state<T>(states: &ByState<Solved<T>>, show: impl Fn(&T) -> String) -> String {
    let lines = states.iter().map(|(state, solved)| match solved {
        Ok(solved) => format!("{} {}", show(solved), state.phrase()),
        Err(why) => format!("{why}, {}", state.phrase()),
    });
    lines.collect::<Vec<_>>().join("\n")
}

pub(crate) fn volts(value: f64) -> String {
    in_usual_unit(value, Dimension::Voltage)
}

pub(crate) fn current(value: f64) -> String {
    in_usual_unit(value, Dimension::Current)
}

/// Where a statement's first line ends, its comment left out.
fn line_end(item: &Item, statement: &Statement) -> u32 {
    let is_one_line = !item.text(statement.span).contains(['\n', '\r']);
    match statement.block {
        _ if is_one_line => statement.span.end,
        Some(block) => block.open.end,
        None => statement.head.end,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{fixture, harbour};
    use expect_test::expect;

    /// The lines that have hints, with the hints in them.
    fn show(entry: &Entry, hints: &[Hint]) -> String {
        let text = entry.file.text();
        let mut shown = String::new();
        for line in 0..text.lines() {
            let range = text.line(line);
            let mut line = text.slice(range.clone());
            let own = hints
                .iter()
                .filter(|hint| range.start <= hint.offset && hint.offset <= range.end);
            let own: Vec<_> = own.collect();
            for hint in own.iter().rev() {
                line.insert_str(hint.offset - range.start, &format!("‹{}›", hint.label));
            }
            if !own.is_empty() {
                shown += &format!("{}\n", line.trim());
            }
        }
        shown
    }

    fn all(entry: &Entry) -> Vec<Hint> {
        hints(entry, 0..usize::MAX, HintSettings::default())
    }

    #[test]
    fn figures_stand_beside_devices_legs_and_zones() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        expect![[r#"
            keypad   front "Shop door"     : K2,  address 1, partition 1‹10.1 V, 110 mA›
            keypad   rear  "Workshop door" : K2R, address 2, partition 2, sounds silent, receiver 13‹9.68 V, 125 mA›
            expander x1    "Loft"          : E8,  address 9‹10.1 V, 42 mA›
            zone 1 "Shop door",       input 1,    from rc1,  partition 1, entry 30 s, loop single‹2.18 kohm .. 2.22 kohm›
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double‹993 ohm .. 1.01 kohm›
            zone 9 "Workshop window", input x1.1, from rc2,  partition 2, loop single‹2.18 kohm .. 2.22 kohm›
            detector pir1 "Shop floor"      : P5‹10.5 V, 18 mA›
            sounder  s1   "Front elevation" : S15‹10.1 V, 350 mA›
            main.keys --12 m--‹0.38 V› front --31 m--‹0.443 V› rear
            front --8 m--‹0.0384 V› x1
            run z2 : copper-6x22AWG { main.aux + main.2 --22 m--‹0.0453 V› pir1 }
            run b1 : copper-4x22AWG, doubled { main.siren --18 m--‹0.36 V› s1 }
        "#]].assert_eq(&show(&entry, &all(&entry)));
    }

    #[test]
    fn the_tooltip_has_every_state() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        let tooltip = |kind| {
            let hints = all(&entry);
            let hint = hints.into_iter().find(|hint| hint.kind == kind);
            hint.map_or(String::new(), |hint| hint.tooltip + "\n\n")
        };
        let shown = tooltip(HintKind::Device) + &tooltip(HintKind::Leg) + &tooltip(HintKind::Zone);
        expect![[r#"
            13.6 V, 45 mA on mains in standby
            13.4 V, 110 mA on mains with the system in alarm
            10.3 V, 45 mA with the battery at its end in standby
            10.1 V, 110 mA with the battery at its end and the system in alarm

            0.185 V lost at 135 mA on mains in standby
            0.38 V lost at 277 mA on mains with the system in alarm
            0.185 V lost at 135 mA with the battery at its end in standby
            0.38 V lost at 277 mA with the battery at its end and the system in alarm

            normal: 2.18 kohm .. 2.22 kohm, reads normal
            open-alarm: open, reads open
            short: 0 ohm .. 1.6 ohm, reads short
            cut: open, reads open

        "#]]
        .assert_eq(&shown);
    }

    #[test]
    fn a_hint_stands_behind_the_first_line_of_a_block() {
        let (_, entry, _) = harbour(
            ": K2,  address 1, partition 1",
            ": K2 {  # here\n address 1\n partition 1\n}",
        );
        let shown = show(&entry, &all(&entry));
        assert!(shown.contains("K2 {‹"), "{shown}");
    }

    #[test]
    fn a_device_that_cannot_be_fed_has_no_solution() {
        let (_, entry, _) = harbour("--31 m--", "--90000 m--");
        let hints = all(&entry);
        let shown = show(&entry, &hints);
        assert!(shown.contains("‹no solution›"), "{shown}");
        let hint = hints.iter().find(|hint| hint.label == "no solution");
        let tooltip = hint.map_or("", |hint| &hint.tooltip);
        assert!(tooltip.contains("the cable cannot feed"), "{tooltip}");
    }

    #[test]
    fn each_sort_of_hint_can_be_turned_off() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        let of = |devices, legs, zones| {
            let settings = HintSettings {
                devices,
                legs,
                zones,
            };
            let hints = hints(&entry, 0..usize::MAX, settings);
            let mut kinds: Vec<HintKind> = hints.iter().map(|hint| hint.kind).collect();
            kinds.sort_by_key(|kind| *kind as u8);
            kinds.dedup();
            kinds
        };
        assert_eq!(of(true, false, false), [HintKind::Device]);
        assert_eq!(of(false, true, false), [HintKind::Leg]);
        assert_eq!(of(false, false, true), [HintKind::Zone]);
        assert_eq!(of(false, false, false), []);
    }

    #[test]
    fn a_range_gives_its_own_hints_alone() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        let all = all(&entry);
        let text = entry.file.text();
        for line in 0..text.lines() {
            let range = text.line(line);
            let own: Vec<Hint> = all
                .iter()
                .filter(|hint| range.start <= hint.offset && hint.offset <= range.end)
                .cloned()
                .collect();
            assert_eq!(hints(&entry, range, HintSettings::default()), own);
        }
    }
}
