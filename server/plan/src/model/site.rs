//! A site, with its names resolved.

use std::sync::Arc;

use super::catalog::{
    BatteryModel, BusModel, CableModel, DeviceModel, LoopModel, Model, ModelData, OutputModel,
    RuleSet, SettingAddress, UnitModel, Version,
};
use super::read::At;
use crate::day::Date;
use crate::source::{Block, Form, Item, Span, Spot};
use crate::vocabulary::{Kind, Measures};

/// Index into [`Site::units`].
pub type UnitId = usize;
/// Index into [`Site::devices`].
pub type DeviceId = usize;
/// Index into [`Site::joints`].
pub type JointId = usize;
/// Index into [`Site::runs`].
pub type RunId = usize;
/// Index into [`Site::zones`].
pub type ZoneId = usize;

/// An output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OutputId {
    /// Its unit.
    pub unit: UnitId,
    /// Index into the outputs of the unit's model.
    pub index: usize,
}

/// A bus of a panel's model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BusId {
    /// The panel.
    pub unit: UnitId,
    /// Index into the buses of the panel's model.
    pub index: usize,
}

/// A bus as a panel of the plan has it: its block, which may stand elsewhere than the
/// panel's model has the bus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct BusBlock {
    /// The panel.
    pub unit: UnitId,
    /// Index into [`Unit::buses`].
    pub index: usize,
}

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

/// A panel or a supply.
#[derive(Debug, Clone)]
pub struct Unit {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// `panel` or `supply`.
    pub kind: &'static Kind,
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// Its revision.
    pub revision: Option<At<Version>>,
    /// It says a revision, and that cannot be read.
    pub revision_unread: bool,
    /// Its battery.
    pub battery: Option<BatteryFitted>,
    /// Its partitions.
    pub partitions: Vec<Partition>,
    /// There is a partition that cannot be read, and is none of them.
    pub partitions_unread: bool,
    /// Its buses, as far as the plan names them.
    pub buses: Vec<Bus>,
    /// Its block stands on a line below, and so none of it can be read.
    pub block_unread: bool,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
    /// The braces of its block.
    pub block: Option<Block>,
}

impl Unit {
    /// Whether it is a panel: it has partitions, and reads zones.
    pub fn is_panel(&self) -> bool {
        self.kind.name == "panel"
    }

    /// Its model's data.
    pub fn model(&self) -> Option<&UnitModel> {
        match &self.model_item.as_ref()?.model()?.data {
            ModelData::Unit(model) => Some(model),
            _ => None,
        }
    }
}

/// A battery that is fitted.
#[derive(Debug, Clone)]
pub struct BatteryFitted {
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// When it was fitted.
    pub fitted: Option<At<Date>>,
    /// How many of them, in parallel; `None` if it says so and that cannot be read.
    pub count: Option<u32>,
    /// Where that is written.
    pub count_at: Option<Span>,
    /// How many blocks in series, likewise.
    pub in_series: Option<u32>,
    /// The whole statement.
    pub span: Span,
}

impl BatteryFitted {
    /// Its model's data.
    pub fn model(&self) -> Option<&BatteryModel> {
        match &self.model_item.as_ref()?.model()?.data {
            ModelData::Battery(model) => Some(model),
            _ => None,
        }
    }
}

/// A partition.
#[derive(Debug, Clone)]
pub struct Partition {
    /// Its number.
    pub number: At<u32>,
    /// What people call it.
    pub label: Option<String>,
    /// The whole statement.
    pub span: Span,
    /// How that is written: on a line of its own, or as a clause.
    pub form: Form,
}

/// A bus of a panel, as the plan has it.
#[derive(Debug, Clone)]
pub struct Bus {
    /// Its name.
    pub name: At<String>,
    /// Index into the model's buses, if the model has one of that name.
    pub model: Option<usize>,
    /// The devices on it, in the order of the plan.
    pub devices: Vec<DeviceId>,
    /// The whole statement.
    pub span: Span,
}

/// A device.
#[derive(Debug, Clone)]
pub struct Device {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// What it is.
    pub kind: &'static Kind,
    /// Where its model is named.
    pub model_name: Option<At<String>>,
    /// Its model.
    pub model_item: Option<Arc<Item>>,
    /// The bus that it is on.
    pub bus: Option<BusBlock>,
    /// Its address on the bus.
    pub address: Option<At<u32>>,
    /// It has one, and that cannot be read.
    pub address_unread: bool,
    /// A block stands below it that belongs to no statement: it may have more.
    pub block_unread: bool,
    /// The partitions that it belongs to.
    pub partitions: Vec<At<u32>>,
    /// It says which, and none of them can be read.
    pub partitions_unread: bool,
    /// The places of what else it is.
    pub also: Vec<AlsoPlace>,
    /// How it sounds.
    pub sounds: Option<At<String>>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}

impl Device {
    /// Whether users set and unset at it.
    pub fn is_keypad(&self) -> bool {
        self.kind.is_keypad()
    }

    /// Whether it senses.
    pub fn is_detector(&self) -> bool {
        self.kind.name == "detector"
    }

    /// Whether it is heard or seen in alarm.
    pub fn is_warning(&self) -> bool {
        matches!(self.kind.name, "sounder" | "beacon")
    }

    /// Whether it switches other equipment.
    pub fn is_relay(&self) -> bool {
        self.kind.name == "relay"
    }

    /// Its model.
    pub fn product(&self) -> Option<&Model> {
        self.model_item.as_ref()?.model()
    }

    /// Its model's data.
    pub fn model(&self) -> Option<&DeviceModel> {
        match &self.product()?.data {
            ModelData::Device(model) => Some(model),
            _ => None,
        }
    }

    /// Whether it has a contact; `None` if its model, or a contact of it, is not known.
    pub fn has_contact(&self) -> Option<bool> {
        let model = self.model().filter(|model| !model.contacts_unread)?;
        Some(!model.contacts.is_empty())
    }

    /// The greatest address that it can be set to: with switches, what they count to.
    pub fn most_settable(&self) -> u64 {
        let setting = self
            .model()
            .and_then(|model| model.setting_address.as_ref());
        let switches = setting.and_then(SettingAddress::switches);
        switches.map_or(u64::MAX, |switches| (1 << switches) - 1)
    }
}

/// The place of a second thing that a device is.
#[derive(Debug, Clone, Copy)]
pub struct AlsoPlace {
    /// What it is.
    pub kind: &'static Kind,
    /// Where it is on the bus.
    pub place: Place,
    /// The clause.
    pub span: Span,
}

/// An address, or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At an address.
    Address(At<u32>),
    /// Switched off.
    Off,
    /// Cannot be read.
    Unread,
}

/// A zone.
#[derive(Debug, Clone)]
pub struct Zone {
    /// Its number.
    pub number: At<u32>,
    /// What people call it.
    pub label: Option<String>,
    /// Its panel.
    pub unit: UnitId,
    /// The input that reads it: [`Terminal::PanelInput`] or [`Terminal::DeviceInput`].
    pub input: Option<At<Terminal>>,
    /// The detectors on it.
    pub from: Vec<At<DeviceId>>,
    /// It names what may be one, and that cannot be read.
    pub from_unread: bool,
    /// The partitions that it belongs to.
    pub partitions: Vec<At<u32>>,
    /// It says which, and none of them can be read.
    pub partitions_unread: bool,
    /// Where its loop is named.
    pub loop_name: Option<At<String>>,
    /// The loop, as the input's model has it.
    pub loop_model: Option<Arc<LoopModel>>,
    /// Entry time, seconds.
    pub entry: Option<At<f64>>,
    /// Exit time, seconds.
    pub exit: Option<At<f64>>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}

/// A point where cables meet.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// Added to each core, ohms; `None` if it says so and that cannot be read.
    pub ohms: Option<f64>,
    /// The whole statement.
    pub span: Span,
}

/// A run of cable.
#[derive(Debug, Clone)]
pub struct Run {
    /// Its name.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// Where its cable is named.
    pub cable_name: Option<At<String>>,
    /// Its cable.
    pub cable_item: Option<Arc<Item>>,
    /// Spare cores lie in parallel.
    pub doubled: Option<Span>,
    /// It carries no power.
    pub data_only: bool,
    /// Its paths.
    pub paths: Vec<Path>,
    /// The whole statement.
    pub span: Span,
    /// Its first line, without clauses and block.
    pub head: Span,
}

impl Run {
    /// Its cable's data.
    pub fn cable(&self) -> Option<&CableModel> {
        match &self.cable_item.as_ref()?.model()?.data {
            ModelData::Cable(model) => Some(model),
            _ => None,
        }
    }
}

/// A path of a cable. `legs[i]` lies between `points[i]` and `points[i + 1]`.
#[derive(Debug, Clone)]
pub struct Path {
    /// Where it ends or is cut into; each point may be several terminals.
    pub points: Vec<At<Vec<At<Terminal>>>>,
    /// Metres between two points; `None` while that is not written.
    pub legs: Vec<At<Option<f64>>>,
    /// The whole line.
    pub span: Span,
}

impl Path {
    /// Everything that it names, in the order of the text.
    pub fn terminals(&self) -> impl Iterator<Item = &At<Terminal>> + Clone {
        self.points.iter().flat_map(|point| &point.value)
    }
}

/// What a name in a path stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Terminal {
    /// A device, all its terminals.
    Device(DeviceId),
    /// A joint.
    Joint(JointId),
    /// An output.
    Output(OutputId),
    /// A bus.
    Bus(BusId),
    /// An input of a panel.
    PanelInput(UnitId, u32),
    /// An input of an expander.
    DeviceInput(DeviceId, u32),
    /// Nothing that the plan knows; reported where it was resolved.
    Unknown,
}
