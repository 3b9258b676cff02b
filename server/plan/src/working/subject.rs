//! What a working can be asked of, and how people name it.

use crate::model::{BusBlock, DeviceId, JointId, OutputId, RunId, Site, Terminal, UnitId, ZoneId};

/// Something that has a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// What reaches a device.
    Device(DeviceId),
    /// What an output carries.
    Output(OutputId),
    /// The battery, the mains side and the charger of a panel or supply.
    Unit(UnitId),
    /// What an input sees.
    Zone(ZoneId),
    /// A bus of a panel.
    Bus(BusBlock),
    /// What a run carries and loses.
    Run(RunId),
    /// What meets in a joint.
    Joint(JointId),
}

impl Subject {
    /// Everything in a site that has a sum, in the order of a reader's interest.
    pub fn all(site: &Site) -> Vec<Subject> {
        let mut all: Vec<Subject> = (0..site.units.len()).map(Subject::Unit).collect();
        for (id, unit) in site.units.iter().enumerate() {
            all.extend(site.outputs_of(id).map(Subject::Output));
            let blocks = (0..unit.buses.len()).map(|index| BusBlock { unit: id, index });
            all.extend(blocks.map(Subject::Bus));
        }
        all.extend((0..site.devices.len()).map(Subject::Device));
        all.extend((0..site.zones.len()).map(Subject::Zone));
        all.extend((0..site.runs.len()).map(Subject::Run));
        all.extend((0..site.joints.len()).map(Subject::Joint));
        all
    }

    /// What it is called: `rear`, `main.aux`, `zone 2`.
    pub fn called(self, site: &Site) -> String {
        match self {
            Subject::Device(id) => site.terminal_name(Terminal::Device(id)),
            Subject::Output(id) => site.output_name(id),
            Subject::Run(id) => {
                let run = site.runs.get(id);
                run.map_or(String::new(), |run| run.name.value.clone())
            }
            Subject::Joint(id) => site.terminal_name(Terminal::Joint(id)),
            Subject::Unit(id) => {
                let unit = site.units.get(id);
                unit.map_or(String::new(), |unit| unit.name.value.clone())
            }
            Subject::Zone(id) => {
                let zone = site.zones.get(id);
                zone.map_or(String::new(), |zone| format!("zone {}", zone.number.value))
            }
            Subject::Bus(block) => site.block_name(block),
        }
    }
}

/// What a name stands for: a device, a panel or supply, a run, a joint, an
/// output or a bus as `main.aux`, a zone as `zone 2`, `2`, with its panel as the tables have it,
/// `main 2`, or by its input, `main.2`. A number may be that of several panels' zones.
pub fn subjects(site: &Site, name: &str) -> Vec<Subject> {
    let called = name.strip_prefix("zone").unwrap_or(name).trim();
    let is = |subject: &Subject| match *subject {
        Subject::Zone(id) => site.zones.get(id).is_some_and(|zone| {
            let number = zone.number.value.to_string();
            let of_panel = || {
                let unit = site.units.get(zone.unit)?;
                Some(format!("{} {number}", unit.name.value))
            };
            let input = || Some(site.terminal_name(zone.input?.value));
            number == called
                || of_panel().as_deref() == Some(called)
                || input().as_deref() == Some(name)
        }),
        other => other.called(site) == name,
    };
    Subject::all(site).into_iter().filter(is).collect()
}
