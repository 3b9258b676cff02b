//! What a site is made of: by places in its text, and as cables see it.

use std::sync::Arc;

use bellwire_plan::model::{
    At, DeviceId, InputsModel, JointId, LoopModel, Path, RunId, Site, Terminal, UnitId, ZoneId,
};
use bellwire_plan::source::Span;

/// A part of a site that has a name or a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// The site itself.
    Site,
    /// A panel or a supply.
    Unit(UnitId),
    /// A device.
    Device(DeviceId),
    /// A run of cable.
    Run(RunId),
    /// A joint.
    Joint(JointId),
    /// A zone.
    Zone(ZoneId),
    /// A partition: its panel, and an index into its partitions.
    Partition(UnitId, usize),
}

/// The part whose name or number is declared at `name`.
pub(crate) fn declared_at(site: &Site, name: Span) -> Option<Part> {
    fn find(mut spans: impl Iterator<Item = Span>, name: Span) -> Option<usize> {
        spans.position(|span| span == name)
    }
    if site.name.as_ref().is_some_and(|own| own.span == name) {
        return Some(Part::Site);
    }
    let units = || site.units.iter();
    let unit = find(units().map(|unit| unit.name.span), name).map(Part::Unit);
    let device = || find(site.devices.iter().map(|device| device.name.span), name);
    let run = || find(site.runs.iter().map(|run| run.name.span), name);
    let joint = || find(site.joints.iter().map(|joint| joint.name.span), name);
    let zone = || find(site.zones.iter().map(|zone| zone.number.span), name);
    let partition = || {
        units().enumerate().find_map(|(id, unit)| {
            let numbers = unit.partitions.iter().map(|own| own.number.span);
            Some(Part::Partition(id, find(numbers, name)?))
        })
    };
    unit.or_else(|| device().map(Part::Device))
        .or_else(|| run().map(Part::Run))
        .or_else(|| joint().map(Part::Joint))
        .or_else(|| zone().map(Part::Zone))
        .or_else(partition)
}

/// Every end of a cable as the plan writes it, in the order of the runs.
pub(crate) fn ends(site: &Site) -> impl Iterator<Item = At<Terminal>> {
    let paths = site.runs.iter().flat_map(|run| &run.paths);
    paths.flat_map(Path::terminals).copied()
}

/// The terminal whose last part is at `offset`: before the point of
/// `main.keys` stands the panel, behind it the terminal.
pub(crate) fn terminal_at(site: &Site, offset: u32) -> Option<At<Terminal>> {
    let inputs = site.zones.iter().filter_map(|zone| zone.input);
    let mut written = ends(site).chain(inputs);
    let found = written
        .find(|end| end.span.touches(offset) && last_part(site, end.span).touches(offset))?;
    (found.value != Terminal::Unknown).then_some(found)
}

/// The part of a reference behind its point; all of one without a point.
pub(crate) fn last_part(site: &Site, reference: Span) -> Span {
    let point = site.item.text(reference).rfind('.');
    let behind = point.map_or(0, |at| at as u32 + 1);
    Span {
        start: reference.start + behind,
        end: reference.end,
    }
}

/// The loops that an input can read; for an input that the model lacks, all of the model's.
pub(crate) fn loops_of(site: &Site, input: Terminal) -> Option<Vec<&LoopModel>> {
    fn of(blocks: &[InputsModel], number: u32) -> Vec<&LoopModel> {
        let own = blocks.iter().find(|block| block.has(number));
        match own {
            Some(block) => block.loops.iter().map(Arc::as_ref).collect(),
            None => {
                let loops = blocks.iter().flat_map(|block| &block.loops);
                loops.map(Arc::as_ref).collect()
            }
        }
    }
    match input {
        Terminal::PanelInput(unit, number) => {
            Some(of(&site.units.get(unit)?.model()?.inputs, number))
        }
        Terminal::DeviceInput(device, number) => {
            let device = site.devices.get(device)?;
            let inputs = &device.model()?.inputs;
            match device.bus {
                Some(bus) if inputs.iter().any(|block| block.as_panel) => {
                    Some(of(&site.units.get(bus.unit)?.model()?.inputs, 0))
                }
                _ => Some(of(inputs, number)),
            }
        }
        _ => None,
    }
}
