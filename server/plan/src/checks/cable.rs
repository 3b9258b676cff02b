//! Whether cables have the cores, and buses the cable that they can drive, in a shape that they
//! may have.

use super::Given;
use super::mend::cable::more_cores;
use super::topology::Topology;
use crate::figures::{BusFigures, Figures, PathFigures, above};
use crate::finding::{Code, Finding, Severity};
use crate::model::{BusId, BusModel, Layout, Run, Site, Unit};
use crate::sentence::{count, either, list};
use crate::source::Span;
use crate::vocabulary::{Dimension, in_usual_unit, value_and_limit};

/// Checks the cables of a site.
pub(super) fn check(site: &Site, figures: &Figures, given: &Given, findings: &mut Vec<Finding>) {
    for path in &figures.paths {
        findings.extend(cores(site, figures, given, path));
    }
    for bus in &figures.buses {
        let unit = site.units.get(bus.block.unit);
        let model = site.bus_model(bus.block);
        if let (Some(unit), Some(model)) = (unit, model) {
            let bus = Cabling {
                site,
                unit,
                model,
                figures: bus,
            };
            bus.check(figures, findings);
        }
    }
}

/// More cores than the cable has, told once for each run, at the path that takes most.
fn cores(site: &Site, figures: &Figures, given: &Given, path: &PathFigures) -> Option<Finding> {
    let run = site.runs.get(path.run)?;
    let cable = run.cable()?;
    let has = cable.cores?;
    if path.cores <= has || !is_widest(figures, path) {
        return None;
    }
    let name = run.cable_name.as_ref()?;
    let mend = more_cores(run, path.cores, site.warmest(), given);
    let hint = match &mend {
        Some(mend) => format!(" {}.", mend.title),
        None => " Lay a second run, or a cable with more cores.".to_string(),
    };
    let message = format!(
        "{} carries {}: {} cores, and {} has {has}.{hint}",
        run.name.value,
        list(&carried(site, run, path)),
        path.cores,
        name.value,
    );
    let finding = Finding::new(Code::CoresShort, name.span, message).mended_by(mend);
    let written = run.paths.get(path.path)?;
    Some(finding.with(site.spot(written.span), "on this path"))
}

/// Whether no path of the run takes more cores, and no earlier one as many.
fn is_widest(figures: &Figures, path: &PathFigures) -> bool {
    let widest = figures
        .paths_of(path.run)
        .iter()
        .max_by_key(|other| (other.cores, std::cmp::Reverse(other.path)));
    widest.is_some_and(|widest| widest.path == path.path)
}

/// What a path carries, each with its cores.
fn carried(site: &Site, run: &Run, path: &PathFigures) -> Vec<String> {
    let carries = &path.carries;
    let doubled = run.doubled.is_some();
    let power = carries.power.iter().map(|output| {
        let output = site.output_name(*output);
        let doubled = if doubled { "doubled " } else { "" };
        format!("the {doubled}power of {output}")
    });
    let data = carries
        .data
        .iter()
        .map(|bus| format!("the data of {}", site.bus_name(*bus)));
    let loops = carries
        .loops
        .iter()
        .map(|input| format!("the loop of {}", site.terminal_name(*input)));
    let negative = path
        .with_negative
        .then(|| "the negative between units".to_string());
    power.chain(data).chain(loops).chain(negative).collect()
}

/// A bus's cable, with what it may be.
struct Cabling<'a> {
    site: &'a Site,
    unit: &'a Unit,
    model: &'a BusModel,
    figures: &'a BusFigures,
}

impl Cabling<'_> {
    fn check(&self, figures: &Figures, findings: &mut Vec<Finding>) {
        let own = self.figures;
        let lengths = |metres, most| {
            let measures = self.site.measures();
            measures.value_and_limit(metres, most, Dimension::Length)
        };
        if let Some(most) = self
            .model
            .length
            .filter(|most| above(own.metres, most.value))
        {
            let (has, most_shown) = lengths(own.metres, most.value);
            let message = format!(
                "{} has {has} of cable on it; it drives {most_shown}. Shorten the cable, or move a branch to another bus.",
                self.name()
            );
            findings.extend(self.finding(Code::BusTooLong, most.span, message));
        }
        if let Some(most) = self
            .model
            .longest
            .filter(|most| above(own.longest, most.value))
        {
            let (has, most_shown) = lengths(own.longest, most.value);
            let message = format!(
                "the farthest device on {} is {has} away along the cable; it may be {most_shown}. Lead the cable there by a shorter way, or move the panel.",
                self.name()
            );
            findings.extend(self.finding(Code::BusTooLong, most.span, message));
        }
        if let Some(most) = self
            .model
            .capacitance
            .filter(|most| above(own.farads, most.value))
        {
            let (has, most_shown) = value_and_limit(own.farads, most.value, Dimension::Capacitance);
            let message = format!(
                "the cable on {} has {has} between its cores; the bus drives {most_shown}. Shorten it, or use cable of less capacitance.",
                self.name()
            );
            findings.extend(self.finding(Code::BusCapacitance, most.span, message));
        }
        let told = findings.len();
        if !self.model.layouts.is_empty() {
            self.layout(figures, findings);
        }
        if findings.len() == told {
            findings.extend(self.ends(figures));
        }
    }

    fn id(&self) -> Option<BusId> {
        self.site.bus_id(self.figures.block)
    }

    fn name(&self) -> String {
        let id = self.id();
        id.map_or(String::new(), |bus| self.site.bus_name(bus))
    }

    /// A finding at the bus, with the line of the model that it breaks.
    fn finding(&self, code: Code, limit: Span, message: String) -> Option<Finding> {
        let bus = self.site.bus(self.figures.block)?;
        let finding = Finding::new(code, bus.name.span, message);
        Some(finding.in_model(self.unit.model_item.as_ref(), limit, "what the bus allows"))
    }

    /// Resistors stand at both ends of one line: cable with more ends, or with
    /// none, has no place for them. Told once all of it is laid.
    fn ends(&self, figures: &Figures) -> Option<Finding> {
        let ohms = self.model.terminated?;
        let topology = Topology::of(self.site, figures, self.id()?);
        let ends = &self.figures.ends;
        if ends.len() == 2 || topology.edges == 0 || self.site.paths_unread {
            return None;
        }
        let names: Vec<String> = ends
            .iter()
            .map(|end| self.site.terminal_name(*end))
            .collect();
        let has = match names.as_slice() {
            [] => "comes back to where it was and has none".to_string(),
            [only] => format!("has one at {only}"),
            several => format!("has {}, at {}", several.len(), list(several)),
        };
        let message = format!(
            "{} wants {} at both ends of its cable, which {has}: lead it from one device to the next, in one line.",
            self.name(),
            in_usual_unit(ohms, Dimension::Resistance),
        );
        let bus = self.site.bus(self.figures.block)?;
        let place = topology.branch.map_or(bus.name.span, |at| at.span);
        Some(Finding::new(Code::Layout, place, message).weighing(Severity::Warning))
    }

    fn layout(&self, figures: &Figures, findings: &mut Vec<Finding>) {
        let Some(id) = self.id() else { return };
        let topology = Topology::of(self.site, figures, id);
        let layouts = &self.model.layouts;
        if topology.edges == 0 || layouts.iter().any(|layout| topology.is(layout.value)) {
            return;
        }
        let Some(limit) = layouts.first() else {
            return;
        };
        let may_be = |layout| layouts.iter().any(|allowed| allowed.value == layout);
        // A ring by itself would do.
        let more = topology.rings() && may_be(Layout::Ring);
        let branches = topology
            .branch
            .map(|at| format!("branches at {}", self.site.terminal_name(at.value)));
        let what = match branches {
            Some(branches) if more => format!("comes back to where it was and {branches}"),
            None if more => "comes back to where it was more than once".to_string(),
            _ if topology.rings() => "comes back to where it was".to_string(),
            Some(branches) => branches,
            None if topology.through_device => "goes on behind a device".to_string(),
            None => format!("leaves the panel on {}", count(topology.at_panel, "way")),
        };
        let mend = if may_be(Layout::Chain) && !more {
            "lead it from one device to the next, in one line"
        } else if may_be(Layout::Ring) {
            "lead it on from the last device back to the panel, in one path"
        } else if may_be(Layout::Star) {
            "give each device a cable of its own"
        } else {
            "take out one leg of the ring"
        };
        let names: Vec<&str> = layouts.iter().map(|layout| layout.value.name()).collect();
        let message = format!(
            "the cable of {} {what}; its layout may be {}: {mend}.",
            self.name(),
            either(&names)
        );
        let finding = self.finding(Code::Layout, limit.span, message);
        // Where the cable is wrong, which is for the run to mend.
        findings.extend(finding.map(|mut finding| {
            if let Some(at) = topology.branch.or(topology.anywhere) {
                let bus = finding.span;
                finding.span = at.span;
                finding = finding.with(self.site.spot(bus), "the bus");
            }
            finding
        }));
    }
}
