//! What a top-level statement declares by itself.

mod read;

pub(super) use read::{declared, owned, rule_set};

use std::cmp::Ordering;
use std::sync::Arc;

use bellwire_circuit::battery::Rate;
use bellwire_circuit::{Draw, Metal, Series, Size};

use super::read::At;
use crate::source::{Item, Span};
use crate::vocabulary::Kind;

/// The first and the last of a range of whole numbers.
pub type Counts = (u32, u32);

/// A version: its numbers, compared part by part, so 10.23 is newer than 10.3, and 5 is 5.0.
#[derive(Debug, Clone, Default)]
pub struct Version(Vec<u64>);

impl Version {
    /// Reads `4.2`; parts that are no numbers count as 0.
    pub fn parse(text: &str) -> Version {
        Version(
            text.split('.')
                .map(|part| part.parse().unwrap_or(0))
                .collect(),
        )
    }

    /// Its parts without the noughts at the end, which say nothing.
    fn parts(&self) -> &[u64] {
        let last = self.0.iter().rposition(|part| *part != 0);
        let count = last.map_or(0, |last| last + 1);
        self.0.get(..count).unwrap_or(&[])
    }
}

impl PartialEq for Version {
    fn eq(&self, other: &Version) -> bool {
        self.parts() == other.parts()
    }
}

impl Eq for Version {}

impl PartialOrd for Version {
    fn partial_cmp(&self, other: &Version) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Version {
    fn cmp(&self, other: &Version) -> Ordering {
        self.parts().cmp(other.parts())
    }
}

impl std::fmt::Display for Version {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let parts: Vec<_> = self.0.iter().map(u64::to_string).collect();
        f.write_str(&parts.join("."))
    }
}

/// A product.
#[derive(Debug)]
pub struct Model {
    /// What it is.
    pub kind: &'static Kind,
    /// What plans call it.
    pub name: At<String>,
    /// What people call it.
    pub label: Option<String>,
    /// What it can do.
    pub data: ModelData,
}

impl Model {
    /// The loops that its inputs can read.
    pub fn loops(&self) -> impl Iterator<Item = &LoopModel> {
        let loops = self.inputs().iter().flat_map(|inputs| &inputs.loops);
        loops.map(Arc::as_ref)
    }

    fn inputs(&self) -> &[InputsModel] {
        match &self.data {
            ModelData::Unit(model) => &model.inputs,
            ModelData::Device(model) => &model.inputs,
            _ => &[],
        }
    }

    /// Whether it says how loops are wired to its inputs, read or not.
    pub fn says_loops(&self) -> bool {
        self.inputs()
            .iter()
            .any(|inputs| inputs.loops_unread || !inputs.loops.is_empty())
    }

    /// Whether there is a loop that cannot be read: a name that no other has may be its.
    pub fn has_loops_unread(&self) -> bool {
        self.inputs().iter().any(|inputs| inputs.loops_unread)
    }

    /// Its values, if it is a series.
    pub fn series(&self) -> Option<&Series> {
        match &self.data {
            ModelData::Series(series) => series.as_ref(),
            _ => None,
        }
    }
}

/// What the models of each group know.
#[derive(Debug)]
pub enum ModelData {
    /// Panels and supplies.
    Unit(UnitModel),
    /// Devices.
    Device(DeviceModel),
    /// Cables.
    Cable(CableModel),
    /// Batteries.
    Battery(BatteryModel),
    /// Series of resistor values; `None` while no value of it can be read.
    Series(Option<Series>),
}

/// A panel or a supply.
#[derive(Debug)]
pub struct UnitModel {
    /// Its own draw in standby; `None` if it says so and that cannot be read.
    pub standby: Option<Draw>,
    /// Its own draw in alarm, likewise.
    pub alarm: Option<Draw>,
    /// It says what it draws, even if that cannot be read.
    pub draw_named: bool,
    /// Where both are written.
    pub draws_at: Option<DrawsAt>,
    /// Where it disconnects its battery, volts.
    pub cutoff: Option<At<f64>>,
    /// It says where, and that cannot be read.
    pub cutoff_unread: bool,
    /// What its charger gives, amperes.
    pub charger: Option<At<f64>>,
    /// It says what that gives, and it cannot be read.
    pub charger_unread: bool,
    /// What its mains side gives in all.
    pub mains: Option<At<Draw>>,
    /// The largest battery it may charge, ampere-hours.
    pub battery_max: Option<At<f64>>,
    /// How many partitions it can have.
    pub partitions: Option<At<u32>>,
    /// What all outputs together can carry, amperes.
    pub limit: Option<At<f64>>,
    /// Its outputs.
    pub outputs: Vec<OutputModel>,
    /// Its buses.
    pub buses: Vec<BusModel>,
    /// There is an output or a bus without a name: one that no other has may be its.
    pub terminals_unread: bool,
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
}

/// Where a model says what it draws in standby and in alarm.
#[derive(Debug, Clone, Copy)]
pub struct DrawsAt {
    /// In standby.
    pub standby: Span,
    /// In alarm.
    pub alarm: Span,
}

/// An output.
#[derive(Debug)]
pub struct OutputModel {
    /// Its name.
    pub name: At<String>,
    /// Its voltage on mains; `None` while that cannot be read.
    pub volts: Option<f64>,
    /// What it can carry, amperes.
    pub limit: Option<At<f64>>,
    /// Whether it is on in alarm only.
    pub in_alarm: bool,
}

/// A bus, as the model has it.
#[derive(Debug)]
pub struct BusModel {
    /// Its name.
    pub name: At<String>,
    /// The output that its power cores come from: an index into the outputs.
    pub power: Option<usize>,
    /// It says where its power comes from, and that cannot be read, or feeds nothing in standby.
    pub power_unread: bool,
    /// The name of the output, where that is on in alarm only.
    pub power_in_alarm: Option<At<String>>,
    /// Its addresses, first and last.
    pub addresses: Option<At<Counts>>,
    /// The number that stands where its addresses belong, which are unknown then.
    pub addresses_alone: Option<At<u32>>,
    /// The addresses for each kind. Empty: any; so too while one of them cannot be read.
    pub places: Vec<(At<&'static Kind>, At<Counts>)>,
    /// What is enabled from the factory, and from which revision on. Empty: everything; so too
    /// while a part of it cannot be read.
    pub enabled: Vec<(At<Counts>, Option<Version>)>,
    /// How many devices it carries.
    pub devices: Option<At<u32>>,
    /// How much cable it carries, metres.
    pub length: Option<At<f64>>,
    /// How far the farthest device may be, metres.
    pub longest: Option<At<f64>>,
    /// How much capacitance it drives, farads.
    pub capacitance: Option<At<f64>>,
    /// The shapes that its cable may have. Empty: any; so too while one of them
    /// cannot be read.
    pub layouts: Vec<At<Layout>>,
    /// How far a negative may be shifted, volts.
    pub shift: Option<At<f64>>,
    /// The resistor at both ends of its cable, ohms.
    pub terminated: Option<f64>,
    /// How many unit loads it drives.
    pub unit_loads: Option<At<f64>>,
    /// The number of the terminal for each core.
    pub terminals: Vec<(At<String>, At<u32>)>,
}

/// A block of inputs.
#[derive(Debug)]
pub struct InputsModel {
    /// First and last; `None` while that cannot be read.
    pub range: Option<At<Counts>>,
    /// The number that stands where they belong, which are unknown then: `inputs 8`.
    pub alone: Option<At<u32>>,
    /// The loops are the panel's.
    pub as_panel: bool,
    /// The loops.
    pub loops: Vec<Arc<LoopModel>>,
    /// There is a loop that cannot be read, and is none of them.
    pub loops_unread: bool,
}

impl InputsModel {
    /// Whether an input is one of the block. While the block's range cannot be
    /// read, any may be.
    pub fn has(&self, input: u32) -> bool {
        self.range
            .is_none_or(|range| (range.value.0..=range.value.1).contains(&input))
    }

    /// Its inputs, as far as they are known.
    pub fn numbers(&self) -> impl Iterator<Item = u32> + use<> {
        let range = self.range.map(|range| range.value);
        range.into_iter().flat_map(|(first, last)| first..=last)
    }
}

/// A way to wire a loop.
#[derive(Debug, Clone)]
pub struct LoopModel {
    /// Its name.
    pub name: At<String>,
    /// The resistor at the end, ohms.
    pub end: Option<At<f64>>,
    /// The resistor at each alarm contact, ohms.
    pub contact: Option<At<f64>>,
    /// The series that the resistors are taken from.
    pub resistors: Option<At<String>>,
    /// The same, where a scope was there to look it up in.
    pub series: Option<Arc<Item>>,
    /// How far the resistors may be off, a share, as far as the loop says so itself.
    pub own_tolerance: Option<f64>,
    /// What the input makes of each resistance.
    pub reads: Vec<Reads>,
    /// All that is written of it could be read, so that it can be judged.
    pub complete: bool,
    /// There are windows, all of which could be read, and none means that all is quiet.
    pub never_quiet: bool,
}

/// Resistors are taken to be within 1 % unless something else is said: the
/// closest of the common series of IEC 60063 (E96).
const TOLERANCE: f64 = 0.01;

impl LoopModel {
    /// The series that the resistors are taken from, if it is known.
    pub fn series(&self) -> Option<&Series> {
        self.series.as_ref()?.model()?.series()
    }

    /// How far the resistors may be off, a share.
    pub fn tolerance(&self) -> f64 {
        let of_series = || self.series().map(Series::tolerance);
        self.own_tolerance.or_else(of_series).unwrap_or(TOLERANCE)
    }
}

/// A window of resistances.
#[derive(Debug, Clone)]
pub struct Reads {
    /// What it means.
    pub means: Meaning,
    /// From, ohms.
    pub from: f64,
    /// To, ohms; infinite for an open end.
    pub to: f64,
    /// Where it is written.
    pub span: Span,
}

impl Reads {
    /// Whether some resistance would mean two things by two windows. They may meet: where
    /// one ends the other begins.
    pub fn contradicts(&self, other: &Reads) -> bool {
        self.means != other.means && self.from.max(other.from) < self.to.min(other.to)
    }
}

/// What an input takes a loop for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// All is quiet.
    Normal,
    /// A detector has seen something.
    Alarm,
    /// A housing was opened.
    Tamper,
    /// The loop is open.
    Open,
    /// The loop is shorted.
    Short,
}

impl Meaning {
    /// All of them.
    pub const ALL: [Meaning; 5] = [
        Meaning::Normal,
        Meaning::Alarm,
        Meaning::Tamper,
        Meaning::Open,
        Meaning::Short,
    ];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Meaning::Normal => "normal",
            Meaning::Alarm => "alarm",
            Meaning::Tamper => "tamper",
            Meaning::Open => "open",
            Meaning::Short => "short",
        }
    }
}

/// A device.
#[derive(Debug)]
pub struct DeviceModel {
    /// What it draws in standby; `None` if it says nothing of what it draws, or that cannot
    /// be read.
    pub standby: Option<Draw>,
    /// What it draws in alarm, likewise.
    pub alarm: Option<Draw>,
    /// It says what it draws, even if that cannot be read.
    pub draw_named: bool,
    /// Where both are written.
    pub draws_at: Option<DrawsAt>,
    /// It has a trigger, even if what that draws cannot be read.
    pub has_trigger: bool,
    /// What its trigger draws in alarm, from an output that is on in alarm only.
    pub trigger: Option<Draw>,
    /// The voltages between which it works.
    pub works: Option<At<(f64, f64)>>,
    /// It says between which it works, and that cannot be read.
    pub works_unread: bool,
    /// How it can be set to sound.
    pub sounds: Vec<At<String>>,
    /// What else it is.
    pub also: Vec<At<&'static Kind>>,
    /// What it says that it is besides, and it is already or no plan could give a place.
    pub never: Vec<At<&'static Kind>>,
    /// It is something else besides, which cannot be read.
    pub also_unread: bool,
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
    /// Its contacts.
    pub contacts: Vec<ContactModel>,
    /// There is a contact that cannot be read, and is none of them.
    pub contacts_unread: bool,
    /// How it is told its address.
    pub setting_address: Option<SettingAddress>,
    /// What it weighs on a bus, in unit loads; `None` if it says so and that cannot be read.
    pub unit_load: Option<f64>,
}

impl DeviceModel {
    /// Whether it draws current at all, so that it must be wired to an output.
    pub fn is_fed(&self) -> bool {
        self.draw_named || self.has_trigger
    }
}

/// A contact of a device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactModel {
    /// Whether it tells of an opened housing, not of an alarm.
    pub tamper: bool,
    /// Whether it is closed while all is quiet.
    pub closed: bool,
    /// What it resists while closed, ohms.
    pub ohms: f64,
}

/// A shape that a bus's cable may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// One device after the other.
    Chain,
    /// Every device on a cable of its own.
    Star,
    /// Branches anywhere, but no ring.
    Tree,
    /// Back to where it came from.
    Ring,
}

impl Layout {
    /// All of them.
    pub const ALL: [Layout; 4] = [Layout::Chain, Layout::Star, Layout::Tree, Layout::Ring];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Layout::Chain => "chain",
            Layout::Star => "star",
            Layout::Tree => "tree",
            Layout::Ring => "ring",
        }
    }
}

/// Where a device is told its address.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBy {
    /// At its own keys.
    Keys,
    /// On its switches.
    Switches,
    /// Nowhere: the panel gives it.
    Panel,
}

/// How a device is told its address.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingAddress {
    /// Where it is told.
    pub by: SetBy,
    /// How long after power-up, seconds.
    pub within: Option<f64>,
    /// How many switches.
    pub bits: Option<u32>,
    /// Whether the first switch counts 1.
    pub low_first: bool,
}

impl SettingAddress {
    /// How many switches say the whole address, if switches do.
    pub fn switches(&self) -> Option<u32> {
        let bits = self.bits.filter(|bits| (1..=31).contains(bits));
        bits.filter(|_| self.by == SetBy::Switches)
    }
}

/// A cable.
#[derive(Debug)]
pub struct CableModel {
    /// How many cores it has; `None` while that cannot be read.
    pub cores: Option<u32>,
    /// It does not say how many.
    pub cores_unsaid: bool,
    /// The size of a conductor.
    pub conductor: Option<Size>,
    /// What it is made of.
    pub metal: Metal,
    /// How many wires a conductor has.
    pub strands: u32,
    /// One conductor's resistance at the site, ohms per metre, instead of all that.
    pub resistance: Option<f64>,
    /// Where that is written.
    pub resistance_at: Option<Span>,
    /// It says its conductor's size or resistance, and that cannot be read.
    pub ohms_unread: bool,
    /// It says its metal or how many wires a conductor has, and that cannot be read.
    pub make_unread: bool,
    /// Farads per metre.
    pub capacitance: Option<f64>,
    /// It says how many, and that cannot be read.
    pub capacitance_unread: bool,
    /// The colours of the cores.
    pub colours: Vec<String>,
    /// Where they are written.
    pub colours_at: Option<Span>,
}

/// The nominal voltage of a block of six cells: what a battery has unless its
/// model says otherwise.
pub(crate) const BLOCK_VOLTS: f64 = 12.0;

/// A battery.
#[derive(Debug)]
pub struct BatteryModel {
    /// Nominal voltage; `None` if it says so and that cannot be read.
    pub volts: Option<f64>,
    /// What it gives, at each rate.
    pub capacities: Vec<Capacity>,
    /// How long it lasts, years.
    pub life: Option<f64>,
}

/// A line of a battery's data.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacity {
    /// Ampere-hours.
    pub ampere_hours: f64,
    /// Emptied over so many hours.
    pub hours: f64,
    /// Where it is written.
    pub span: Span,
}

impl Capacity {
    /// The line as numbers.
    pub fn rate(&self) -> Rate {
        Rate {
            hours: self.hours,
            ampere_hours: self.ampere_hours,
        }
    }
}

/// The words for what a rule set asks for.
pub(super) const ASKED: [&str; 5] = ["standby", "alarm", "recharge", "ageing", "headroom"];

/// A rule set, as far as it says things itself.
#[derive(Debug, Clone, Default)]
pub struct RuleSet {
    /// The one that it is built on.
    pub base: Option<At<String>>,
    /// The words for what it, or what it is built on, says that it asks for, even if that
    /// cannot be read.
    pub(super) said: Vec<&'static str>,
    /// Hours without mains.
    pub standby: Option<f64>,
    /// Hours of alarm after that.
    pub alarm: Option<f64>,
    /// How soon the battery must be full again.
    pub recharge: Option<Recharge>,
    /// Capacity kept in hand, a factor.
    pub ageing: Option<f64>,
    /// Share of each limit that is kept free.
    pub headroom: Option<f64>,
    /// Where the values come from.
    pub source: Option<String>,
}

impl RuleSet {
    /// What this rule set does not say, taken from `base`.
    pub fn over(self, base: &RuleSet) -> RuleSet {
        let own = |word| self.said.contains(&word);
        RuleSet {
            standby: base.standby.filter(|_| !own("standby")).or(self.standby),
            alarm: base.alarm.filter(|_| !own("alarm")).or(self.alarm),
            recharge: base.recharge.filter(|_| !own("recharge")).or(self.recharge),
            ageing: base.ageing.filter(|_| !own("ageing")).or(self.ageing),
            headroom: base.headroom.filter(|_| !own("headroom")).or(self.headroom),
            source: self.source.or_else(|| base.source.clone()),
            said: [self.said, base.said.clone()].concat(),
            base: self.base,
        }
    }

    /// Whether it says how long the alarm lasts, and that cannot be read.
    pub fn alarm_unread(&self) -> bool {
        self.alarm.is_none() && self.said.contains(&"alarm")
    }

    /// One of which nothing can be read, whatever it asks for.
    pub fn unread() -> RuleSet {
        RuleSet {
            said: ASKED.to_vec(),
            ..RuleSet::default()
        }
    }

    /// Whether it gives an ageing factor, and that cannot be read.
    pub fn ageing_unread(&self) -> bool {
        self.ageing.is_none() && self.said.contains(&"ageing")
    }
}

/// How soon the battery must be full again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recharge {
    /// Hours.
    pub hours: f64,
    /// How full, a share.
    pub share: f64,
}

/// A monitoring centre.
#[derive(Debug, Clone, Default)]
pub struct Monitoring {
    /// The account numbers that were given out.
    pub accounts: Option<At<Counts>>,
}
