//! Power that arrives over two routes: a ring, or outputs that are joined.

use rustc_hash::FxHashMap;

use super::mend;
use super::mend::moves::Mover;
use super::numbers::volts;
use super::unequal::{differ, on_mains};
use crate::figures::{FaultKind, Figures, JoinFigures, PathFigures, Tap, is_in_alarm, is_trigger};
use crate::finding::{Code, Finding, Severity};
use crate::model::{At, Device, Layout, OutputId, Path, Run, Site, Terminal};
use crate::sentence::list_by;
use crate::source::Span;

/// Tells of the second ways for power to arrive.
pub(super) fn check(
    site: &Site,
    figures: &Figures,
    mover: &mut Mover,
    findings: &mut Vec<Finding>,
) {
    if figures.joins.is_empty() {
        return;
    }
    let mentions = Mentions::new(site, figures);
    for join in &figures.joins {
        findings.extend(wired_twice(site, figures, &mentions, mover, join));
    }
}

/// Where paths name a terminal.
struct Mentions<'a>(FxHashMap<Terminal, Vec<Mention<'a>>>);

struct Mention<'a> {
    span: Span,
    run: &'a Run,
    path: &'a PathFigures,
}

impl<'a> Mentions<'a> {
    fn new(site: &'a Site, figures: &'a Figures) -> Mentions<'a> {
        let mut mentions: FxHashMap<Terminal, Vec<Mention>> = FxHashMap::default();
        for path in &figures.paths {
            let Some(run) = site.runs.get(path.run) else {
                continue;
            };
            let written = run.paths.get(path.path);
            for at in written.into_iter().flat_map(Path::terminals) {
                let span = at.span;
                mentions
                    .entry(at.value)
                    .or_default()
                    .push(Mention { span, run, path });
            }
        }
        Mentions(mentions)
    }

    /// Those of a terminal, in the order of the plan.
    fn of(&self, terminal: Terminal) -> &[Mention<'a>] {
        self.0.get(&terminal).map_or(&[], Vec::as_slice)
    }
}

/// A second way for power to arrive. One path that comes back to its terminal
/// is a ring that is meant, and so is any on a bus that may be one; but no ring
/// has power from two outputs.
fn wired_twice(
    site: &Site,
    figures: &Figures,
    mentions: &Mentions,
    mover: &mut Mover,
    join: &JoinFigures,
) -> Option<Finding> {
    let run = site.runs.get(join.run)?;
    let path = run.paths.get(join.path)?;
    let carries = figures.paths_of(join.run).get(join.path)?;
    let meant = match join.outputs {
        Some(outputs) => is_fault(figures, outputs),
        None => may_be_ring(site, carries) || comes_back(path),
    };
    if meant {
        return None;
    }
    let ends = [join.leg + 1, join.leg];
    let mut terminals = ends
        .into_iter()
        .filter_map(|point| path.points.get(point))
        .flat_map(|point| &point.value);
    let is_device = |terminal: Terminal| matches!(terminal, Terminal::Device(_));
    let mut devices = terminals.clone().filter(|at| is_device(at.value));
    // One with a trigger keeps outputs apart; another beside it joins them.
    let at = devices
        .clone()
        .find(|at| join.outputs.is_none() || !has_trigger(site, at.value))
        .or_else(|| devices.next())
        .or_else(|| terminals.find(|at| at.value != Terminal::Unknown))?;
    let mend = mend::joins::mend(site, figures, join, mover);
    let hint = match &mend {
        Some(mend) => format!(" {}: what it feeds still works.", mend.title),
        None => String::new(),
    };
    let mentions = mentions.of(at.value);
    let other = other_way(site, mentions, at, carries);
    let told = Told {
        site,
        figures,
        run,
        outputs: join.outputs,
        at: at.value,
        mentions,
        other,
    };
    let message = told.message() + &hint;
    let finding = Finding::new(Code::WiredTwice, at.span, message).mended_by(mend);
    let finding = match join.outputs.is_some_and(|outputs| differ(site, outputs)) {
        true => finding.weighing(Severity::Error),
        false => finding,
    };
    Some(match other.filter(|_| is_device(at.value)) {
        Some(other) => finding.with(site.spot(other.span), "power arrives here too"),
        None => finding,
    })
}

/// A join that is told of, at a terminal at one of its ends.
struct Told<'a> {
    site: &'a Site,
    figures: &'a Figures,
    run: &'a Run,
    outputs: Option<[OutputId; 2]>,
    at: Terminal,
    /// Where paths name that terminal.
    mentions: &'a [Mention<'a>],
    /// That of these by which power arrives too.
    other: Option<&'a Mention<'a>>,
}

impl Told<'_> {
    /// Who feeds what together, or which runs make a ring, and what to do.
    fn message(&self) -> String {
        match (self.outputs, self.tap()) {
            (Some(outputs), Some(tap)) => self.two_feeds(outputs, tap),
            (Some(outputs), None) => self.joined(outputs),
            (None, _) => self.ring(),
        }
    }

    /// Where a device takes the power of both outputs.
    fn tap(&self) -> Option<Tap<'_>> {
        let (Terminal::Device(device), Some([output, _])) = (self.at, self.outputs) else {
            return None;
        };
        let mut taps = self.figures.device(device)?.taps();
        taps.find(|tap| tap.outputs.contains(&output))
    }

    fn two_feeds(&self, outputs: [OutputId; 2], tap: Tap) -> String {
        format!(
            "{} is {how} by {} together, which joins them: take the power out of one route{}, or {verb} it from one.{}",
            self.site.terminal_name(self.at),
            called(self.site, tap.outputs),
            match is_one_unit(outputs) && !brings_data(self.mentions) {
                true => "",
                false => " (`carries data`)",
            },
            trigger_hint(self.site, tap.outputs),
            how = tap.how(),
            verb = if tap.is_trigger { "trigger" } else { "feed" },
        )
    }

    fn joined(&self, outputs: [OutputId; 2]) -> String {
        format!(
            "{} joins the positives of {}: {}feed each device from one.",
            self.run.name.value,
            called(self.site, &outputs),
            match is_one_unit(outputs) {
                true => "",
                false => "write `carries data` if only the negative is meant, or ",
            },
        )
    }

    fn ring(&self) -> String {
        let name = self.site.terminal_name(self.at);
        let own = &self.run.name.value;
        let by = match self.other.map(|other| &other.run.name.value) {
            Some(other) if other != own => format!("{other} and {own} together make a ring"),
            _ => format!("{own} makes a ring"),
        };
        let joint = match self.at {
            Terminal::Joint(_) => format!(". If {name} is two joints, give each a name of its own"),
            _ => String::new(),
        };
        format!(
            "power reaches {name} over two routes, so {by}: take one out, or, if a ring is meant, write it as one path that comes back to its terminal{joint}."
        )
    }
}

/// Whether a terminal is a device with a trigger, which takes two outputs without joining them.
fn has_trigger(site: &Site, terminal: Terminal) -> bool {
    let Terminal::Device(device) = terminal else {
        return false;
    };
    let model = site.devices.get(device).and_then(Device::model);
    model.is_some_and(|model| model.has_trigger)
}

/// Whether outputs are of one unit: it has one negative, which no core needs to join.
fn is_one_unit([a, b]: [OutputId; 2]) -> bool {
    a.unit == b.unit
}

/// Whether a path brings a terminal data, so that it has more than power to carry.
fn brings_data(mentions: &[Mention]) -> bool {
    let mut mentions = mentions.iter();
    mentions.any(|mention| !mention.path.carries.data.is_empty())
}

/// How a plan says that one of two outputs only triggers what the other feeds.
fn trigger_hint(site: &Site, outputs: &[OutputId]) -> String {
    let in_alarm = |output: &&OutputId| is_in_alarm(site, **output);
    let (switched, steady): (Vec<_>, Vec<_>) = outputs.iter().partition(in_alarm);
    match (switched.as_slice(), steady.as_slice()) {
        (&[&output], &[_]) => format!(
            " If {} only triggers it, say in its model what the trigger draws, `trigger 5 mA` for one.",
            site.output_name(output)
        ),
        _ => String::new(),
    }
}

/// Whether the figures have no solution because of these outputs: that is
/// told where they are declared.
fn is_fault(figures: &Figures, outputs: [OutputId; 2]) -> bool {
    figures.faults.iter().any(|fault| match fault.kind {
        FaultKind::Conflict { first, second } => {
            outputs.contains(&first) && outputs.contains(&second)
        }
        FaultKind::TooMuch { .. } => false,
    })
}

fn may_be_ring(site: &Site, carries: &PathFigures) -> bool {
    carries.carries.data.iter().any(|bus| {
        site.model_bus(*bus).is_some_and(|(_, bus)| {
            bus.layouts
                .iter()
                .any(|layout| layout.value == Layout::Ring)
        })
    })
}

fn comes_back(path: &Path) -> bool {
    let (Some(first), Some(last)) = (path.points.first(), path.points.last()) else {
        return false;
    };
    path.points.len() > 2
        && first.value.iter().any(|at| {
            matches!(at.value, Terminal::Output(..) | Terminal::Bus(..))
                && last.value.iter().any(|other| other.value == at.value)
        })
}

/// A list of outputs by name; with their volts if these are not all alike.
fn called(site: &Site, outputs: &[OutputId]) -> String {
    let alike = outputs
        .iter()
        .zip(outputs.iter().skip(1))
        .all(|(a, b)| !differ(site, [*a, *b]));
    list_by(outputs, |&output| {
        let name = site.output_name(output);
        match on_mains(site, output) {
            Some(given) if !alike => format!("{name} ({})", volts(given)),
            _ => name,
        }
    })
}

/// Another place where a path with power names a terminal: of what triggers a device
/// if the one of `own` does, or of what feeds it.
fn other_way<'p, 'a>(
    site: &Site,
    mentions: &'p [Mention<'a>],
    at: &At<Terminal>,
    own: &PathFigures,
) -> Option<&'p Mention<'a>> {
    let comes_in = |output: &OutputId| match at.value {
        Terminal::Device(device) => is_trigger(site, device, *output),
        _ => false,
    };
    let beside = |output: &OutputId| {
        let mut own = own.carries.power.iter().map(comes_in);
        own.any(|own| own == comes_in(output))
    };
    mentions
        .iter()
        .filter(|mention| mention.span != at.span)
        .find(|mention| mention.path.carries.power.iter().any(beside))
}
