//! A site, with its names resolved.

mod device;
mod ids;
mod run;
mod unit;
mod zone;

pub use device::{AlsoPlace, Device, Place};
pub use ids::{BusBlock, BusId, DeviceId, JointId, OutputId, RunId, UnitId, ZoneId};
pub use run::{Joint, Path, Run, Terminal};
pub use unit::{BatteryFitted, Bus, Partition, Unit};
pub use zone::Zone;

use std::sync::Arc;

use super::at::At;
use super::catalog::{BusModel, OutputModel, RuleSet};
use crate::source::{Item, Span, Spot};
use crate::vocabulary::Measures;

/// A site.
#[derive(Debug, Clone)]
pub struct Site {
    /// The statement.
    pub item: Arc<Item>,
    /// Its name.
    pub name: Option<At<String>>,
    /// What people call it.
    pub label: Option<String>,
    /// What it must meet.
    pub rules: Rules,
    /// The coldest and the warmest, °C; `None` if it says so and that cannot be read.
    pub(super) ambient: Option<(f64, f64)>,
    /// Where that is written.
    pub ambient_at: Option<Span>,
    /// Whom it reports to.
    pub reports: Vec<Report>,
    /// Panels and supplies.
    pub units: Vec<Unit>,
    /// Devices, on buses or not.
    pub devices: Vec<Device>,
    /// Zones of all panels.
    pub zones: Vec<Zone>,
    /// There is a zone that cannot be read, or stands where none may, and is none of them.
    pub zones_unread: bool,
    /// A path names something that is not known, or is in a run without a name, so what is not
    /// wired cannot be told.
    pub paths_unread: bool,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Runs of cable.
    pub runs: Vec<Run>,
    /// Every name in it and what it stands for, declarations included.
    pub occurrences: Vec<Occurrence>,
}

impl Site {
    /// The coldest that it gets, °C, if that can be told.
    pub fn coldest(&self) -> Option<f64> {
        Some(self.ambient?.0)
    }

    /// The warmest that it gets, °C, likewise.
    pub fn warmest(&self) -> Option<f64> {
        Some(self.ambient?.1)
    }

    /// What its lengths and temperatures are said in.
    pub fn measures(&self) -> Measures {
        self.item.measures()
    }

    /// The same for a leg that is quoted: what it is itself written in.
    pub fn measures_of_leg(&self, run: RunId, path: usize, leg: usize) -> Measures {
        let path = self.path(run, path);
        let written = path.and_then(|path| path.legs.get(leg));
        written.map_or(self.measures(), |leg| self.item.measures_of_leg(leg.span))
    }

    /// A place in the site as one that stands by itself.
    pub fn spot(&self, span: Span) -> Spot {
        self.item.spot(span)
    }

    /// The site's name, or what to call it if it has none yet.
    pub fn called(&self) -> &str {
        self.name.as_ref().map_or("(no name)", |name| &name.value)
    }

    /// A path: its run, and an index into that run's paths.
    pub fn path(&self, run: RunId, path: usize) -> Option<&Path> {
        self.runs.get(run)?.paths.get(path)
    }

    /// An output's unit, and what the unit's model says of it.
    pub fn output(&self, output: OutputId) -> Option<(&Unit, &OutputModel)> {
        let unit = self.units.get(output.unit)?;
        Some((unit, unit.model()?.outputs.get(output.index)?))
    }

    /// The outputs of a unit, in the order of its model.
    pub fn outputs_of(&self, unit: UnitId) -> impl Iterator<Item = OutputId> + use<> {
        let model = self.units.get(unit).and_then(Unit::model);
        let count = model.map_or(0, |model| model.outputs.len());
        (0..count).map(move |index| OutputId { unit, index })
    }

    /// A bus's panel, and what the panel's model says of it.
    pub fn model_bus(&self, bus: BusId) -> Option<(&Unit, &BusModel)> {
        let unit = self.units.get(bus.unit)?;
        Some((unit, unit.model()?.buses.get(bus.index)?))
    }

    /// The bus of a panel's model that a block is of, if the model has it.
    pub fn bus_id(&self, block: BusBlock) -> Option<BusId> {
        let index = self.bus(block)?.model?;
        let unit = block.unit;
        Some(BusId { unit, index })
    }

    /// What a panel's model says of the bus of a block.
    pub fn bus_model(&self, block: BusBlock) -> Option<&BusModel> {
        let (_, model) = self.model_bus(self.bus_id(block)?)?;
        Some(model)
    }

    /// Every bus of the plan, in its order.
    pub fn buses(&self) -> impl Iterator<Item = (BusBlock, &Bus)> {
        let units = self.units.iter().enumerate();
        units.flat_map(|(unit, has)| {
            let buses = has.buses.iter().enumerate();
            buses.map(move |(index, bus)| (BusBlock { unit, index }, bus))
        })
    }

    /// A bus of the plan.
    pub fn bus(&self, block: BusBlock) -> Option<&Bus> {
        self.units.get(block.unit)?.buses.get(block.index)
    }

    /// Where the plan has a bus of a panel's model; the first, if there are several.
    pub fn bus_block(&self, bus: BusId) -> Option<BusBlock> {
        let mut buses = self.units.get(bus.unit)?.buses.iter();
        let index = buses.position(|own| own.model == Some(bus.index))?;
        let unit = bus.unit;
        Some(BusBlock { unit, index })
    }

    /// What an output is called in the plan: `main.aux`.
    pub fn output_name(&self, output: OutputId) -> String {
        self.terminal_name(Terminal::Output(output))
    }

    /// What a bus is called in the plan: `main.keys`.
    pub fn bus_name(&self, bus: BusId) -> String {
        self.terminal_name(Terminal::Bus(bus))
    }

    /// What a bus of the plan is called, whether or not the panel's model has it.
    pub fn block_name(&self, block: BusBlock) -> String {
        let unit = self
            .units
            .get(block.unit)
            .map_or("", |unit| &unit.name.value);
        let bus = self.bus(block).map_or("", |bus| &bus.name.value);
        format!("{unit}.{bus}")
    }

    /// What a terminal is called in the plan: `main.aux`, `x1.3`, `front`.
    pub fn terminal_name(&self, terminal: Terminal) -> String {
        let unit_name = |unit: UnitId| self.units.get(unit).map_or("", |unit| &unit.name.value);
        let device_name = |device: DeviceId| {
            self.devices
                .get(device)
                .map_or("", |device| &device.name.value)
        };
        match terminal {
            Terminal::Device(device) => device_name(device).to_string(),
            Terminal::Joint(joint) => self
                .joints
                .get(joint)
                .map_or(String::new(), |joint| joint.name.value.clone()),
            Terminal::Output(output) => {
                let named = self.output(output);
                let named = named.map_or("", |(_, model)| &model.name.value);
                format!("{}.{named}", unit_name(output.unit))
            }
            Terminal::Bus(bus) => {
                let named = self.model_bus(bus);
                let named = named.map_or("", |(_, model)| &model.name.value);
                format!("{}.{named}", unit_name(bus.unit))
            }
            Terminal::PanelInput(unit, input) => format!("{}.{input}", unit_name(unit)),
            Terminal::DeviceInput(device, input) => format!("{}.{input}", device_name(device)),
            Terminal::Unknown => String::new(),
        }
    }
}

/// A name, and the declaration that it stands for. A declaration stands for itself.
#[derive(Debug, Clone)]
pub struct Occurrence {
    /// Where the name is written, in the site's item.
    pub span: Span,
    /// The name where it is declared.
    pub target: Spot,
}

/// The rule set that a site must meet.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    /// What it is called, where the site names it.
    pub name: Option<At<String>>,
    /// The site names some, even if they are not known.
    pub named: bool,
    /// Its values, bases included.
    pub set: RuleSet,
}

impl Rules {
    /// What it is called in a sentence.
    pub fn called(&self) -> &str {
        let name = self.name.as_ref();
        name.map_or("the rule set", |name| &name.value)
    }
}

/// Whom a site reports to.
#[derive(Debug, Clone)]
pub struct Report {
    /// The centre's name.
    pub centre: At<String>,
    /// The centre.
    pub monitoring: Option<Arc<Item>>,
    /// The account there.
    pub account: Option<At<u32>>,
}
