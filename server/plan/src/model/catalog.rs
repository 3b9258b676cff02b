//! What a top-level statement declares by itself.

use std::sync::Arc;

use bellwire_circuit::{Draw, Metal, Size};

use super::read::{At, Words};
use super::{Declared, What};
use crate::source::{Item, Span};
use crate::vocabulary::{Dimension, Kind, kind};

/// A version: its numbers, compared part by part, so 10.23 is newer than 10.3.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Version(pub Vec<u64>);

impl Version {
    /// Reads `4.2`; parts that are no numbers count as 0.
    pub fn parse(text: &str) -> Version {
        Version(
            text.split('.')
                .map(|part| part.parse().unwrap_or(0))
                .collect(),
        )
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
}

/// A panel or a supply.
#[derive(Debug)]
pub struct UnitModel {
    /// Its own draw in standby.
    pub standby: Draw,
    /// Its own draw in alarm.
    pub alarm: Draw,
    /// Where it disconnects its battery, volts.
    pub cutoff: Option<At<f64>>,
    /// What its charger gives, amperes.
    pub charger: Option<At<f64>>,
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
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
}

/// An output.
#[derive(Debug)]
pub struct OutputModel {
    /// Its name.
    pub name: At<String>,
    /// Its voltage on mains.
    pub volts: f64,
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
    /// Its addresses, first and last.
    pub addresses: Option<At<(u32, u32)>>,
    /// The addresses for each kind.
    pub places: Vec<(At<&'static Kind>, At<(u32, u32)>)>,
    /// What is enabled from the factory, and from which revision on. Empty: everything.
    pub enabled: Vec<(At<(u32, u32)>, Option<Version>)>,
    /// How many devices it carries.
    pub devices: Option<At<u32>>,
    /// How much cable it carries, metres.
    pub length: Option<At<f64>>,
    /// How far the farthest device may be, metres.
    pub longest: Option<At<f64>>,
    /// How much capacitance it drives, farads.
    pub capacitance: Option<At<f64>>,
    /// The shapes that it may have: `chain`, `star`, `tree`, `ring`.
    pub layout: Vec<At<String>>,
    /// How far a negative may be shifted, volts.
    pub shift: Option<At<f64>>,
    /// The number of the terminal for each core.
    pub terminals: Vec<(String, u32)>,
}

/// A block of inputs.
#[derive(Debug)]
pub struct InputsModel {
    /// First and last.
    pub range: At<(u32, u32)>,
    /// The loops are the panel's.
    pub as_panel: bool,
    /// The loops.
    pub loops: Vec<LoopModel>,
}

/// A way to wire a loop.
#[derive(Debug, Clone)]
pub struct LoopModel {
    /// Its name.
    pub name: At<String>,
    /// The resistor at the end, ohms.
    pub end: Option<f64>,
    /// The resistor at each alarm contact, ohms.
    pub contact: Option<f64>,
    /// How far the resistors may be off, a share.
    pub tolerance: f64,
    /// What the input makes of each resistance.
    pub reads: Vec<Reads>,
}

/// A window of resistances.
#[derive(Debug, Clone)]
pub struct Reads {
    /// The condition that it means.
    pub condition: String,
    /// From, ohms.
    pub from: f64,
    /// To, ohms; infinite for an open end.
    pub to: f64,
    /// Where it is written.
    pub span: Span,
}

/// A device.
#[derive(Debug)]
pub struct DeviceModel {
    /// What it draws in standby; `None` if it is not fed at all.
    pub standby: Option<Draw>,
    /// What it draws in alarm; `None` if it is not fed at all.
    pub alarm: Option<Draw>,
    /// The voltages between which it works.
    pub works: Option<At<(f64, f64)>>,
    /// How it can be set to sound.
    pub sounds: Vec<At<String>>,
    /// What else it is.
    pub also: Vec<At<&'static Kind>>,
    /// Its inputs.
    pub inputs: Vec<InputsModel>,
    /// Its contacts.
    pub contacts: Vec<ContactModel>,
    /// How it is told its address.
    pub setting_address: Option<SettingAddress>,
}

impl DeviceModel {
    /// Whether it draws current at all, so that it must be wired to an output.
    pub fn is_fed(&self) -> bool {
        self.standby.is_some() || self.alarm.is_some()
    }
}

/// A contact of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ContactModel {
    /// Whether it tells of an opened housing, not of an alarm.
    pub tamper: bool,
    /// Whether it is closed while all is quiet.
    pub closed: bool,
}

/// How a device is told its address.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingAddress {
    /// `keys`, `switches` or `panel`.
    pub by: String,
    /// How long after power-up, seconds.
    pub within: Option<f64>,
    /// How many switches.
    pub bits: Option<u32>,
    /// Whether the first switch counts 1.
    pub low_first: bool,
}

/// A cable.
#[derive(Debug)]
pub struct CableModel {
    /// How many cores it has.
    pub cores: u32,
    /// The size of a conductor.
    pub conductor: Option<Size>,
    /// What it is made of.
    pub metal: Metal,
    /// How many wires a conductor has.
    pub strands: u32,
    /// One conductor's resistance at the site, ohms per metre, instead of all that.
    pub resistance: Option<f64>,
    /// Farads per metre.
    pub capacitance: Option<f64>,
    /// The colours of the cores.
    pub colours: Vec<String>,
}

/// A battery.
#[derive(Debug)]
pub struct BatteryModel {
    /// Nominal voltage.
    pub volts: f64,
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
}

impl BatteryModel {
    /// The capacity at the slowest rate that is given, ampere-hours: what the battery is called after.
    pub fn nominal(&self) -> Option<f64> {
        let slowest = self
            .capacities
            .iter()
            .max_by(|a, b| a.hours.total_cmp(&b.hours))?;
        Some(slowest.ampere_hours)
    }
}

/// A rule set, as far as it says things itself.
#[derive(Debug, Clone, Default)]
pub struct RuleSet {
    /// The one that it is built on.
    pub base: Option<At<String>>,
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
        RuleSet {
            base: self.base,
            standby: self.standby.or(base.standby),
            alarm: self.alarm.or(base.alarm),
            recharge: self.recharge.or(base.recharge),
            ageing: self.ageing.or(base.ageing),
            headroom: self.headroom.or(base.headroom),
            source: self.source.or_else(|| base.source.clone()),
        }
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
    pub accounts: Option<At<(u32, u32)>>,
}

/// Reads what an item declares.
pub(super) fn declared(item: &Arc<Item>) -> Declared {
    let words = Words::root(item);
    let mut name = words.name().map(|name| name.span);
    let what = match words.keyword() {
        "use" => {
            name = None;
            What::Use(words.label().map(|path| path.span))
        }
        "model" => {
            name = words.second_name().map(|name| name.span);
            model(words).map_or(What::Nothing, |model| What::Model(Box::new(model)))
        }
        "rules" => What::Rules(rule_set(words)),
        "monitoring" => What::Monitoring(Monitoring {
            accounts: words.get("accounts").and_then(|words| words.counts()),
        }),
        "site" => What::Site,
        _ => {
            name = None;
            What::Nothing
        }
    };
    Declared { name, what }
}

fn model(words: Words) -> Option<Model> {
    let kind = kind(words.name()?.value)?;
    let name = owned(words.second_name()?);
    let data = match kind.group {
        crate::vocabulary::Group::Unit => ModelData::Unit(unit_model(words)),
        crate::vocabulary::Group::Device => ModelData::Device(device_model(words)),
        crate::vocabulary::Group::Cable => ModelData::Cable(cable_model(words)),
        crate::vocabulary::Group::Battery => ModelData::Battery(battery_model(words)),
    };
    Some(Model {
        kind,
        name,
        label: words.label().map(|label| label.value.to_string()),
        data,
    })
}

fn unit_model(words: Words) -> UnitModel {
    let (standby, alarm) = draws(words);
    let outputs: Vec<_> = words.all("output").filter_map(output_model).collect();
    let buses = words
        .all("bus")
        .filter_map(|words| bus_model(words, &outputs))
        .collect();
    UnitModel {
        standby: standby.unwrap_or(Draw::Amperes(0.0)),
        alarm: alarm.unwrap_or(Draw::Amperes(0.0)),
        cutoff: amount(words, "cutoff", Dimension::Voltage),
        charger: amount(words, "charger", Dimension::Current),
        battery_max: amount(words, "battery-max", Dimension::Charge),
        partitions: words.get("partitions").and_then(|words| words.count()),
        limit: amount(words, "limit", Dimension::Current),
        buses,
        inputs: inputs(words),
        outputs,
    }
}

/// The draws in standby and alarm: each defaults as the vocabulary says.
fn draws(words: Words) -> (Option<Draw>, Option<Draw>) {
    let draw = |keyword| {
        words
            .get(keyword)
            .and_then(|words| words.draw())
            .map(|draw| draw.value)
    };
    match (draw("standby"), draw("alarm")) {
        (Some(standby), None) => (Some(standby), Some(standby)),
        (None, Some(alarm)) => (Some(Draw::Amperes(0.0)), Some(alarm)),
        both => both,
    }
}

fn output_model(words: Words) -> Option<OutputModel> {
    Some(OutputModel {
        name: owned(words.name()?),
        volts: words.amount(Dimension::Voltage)?.value,
        limit: amount(words, "limit", Dimension::Current),
        in_alarm: words
            .get("in")
            .and_then(|words| words.name())
            .is_some_and(|state| state.value == "alarm"),
    })
}

fn bus_model(words: Words, outputs: &[OutputModel]) -> Option<BusModel> {
    let power = words.get("power").and_then(|words| words.name());
    Some(BusModel {
        name: owned(words.name()?),
        power: power.and_then(|power| {
            outputs
                .iter()
                .position(|output| output.name.value == power.value)
        }),
        addresses: words.get("addresses").and_then(|words| words.counts()),
        places: words
            .all("place")
            .filter_map(|words| Some((known_kind(words)?, words.counts()?)))
            .collect(),
        enabled: words
            .all("enabled")
            .filter_map(|words| {
                let revision = words
                    .get("from-revision")
                    .and_then(|words| words.number_text());
                Some((
                    words.counts()?,
                    revision.map(|text| Version::parse(text.value)),
                ))
            })
            .collect(),
        devices: words.get("devices").and_then(|words| words.count()),
        length: amount(words, "length", Dimension::Length),
        longest: amount(words, "longest", Dimension::Length),
        capacitance: amount(words, "capacitance", Dimension::Capacitance),
        layout: words
            .get("layout")
            .map(|words| {
                words
                    .names()
                    .map(|value| owned(words.at(value.span)))
                    .collect()
            })
            .unwrap_or_default(),
        shift: amount(words, "shift", Dimension::Voltage),
        terminals: words
            .all("terminal")
            .flat_map(|words| words.sets())
            .filter_map(|set| Some((set.set_name()?.value.to_string(), set.count()?.value)))
            .collect(),
    })
}

fn inputs(words: Words) -> Vec<InputsModel> {
    let read = |words: Words| {
        Some(InputsModel {
            range: words.counts()?,
            as_panel: words.has("as"),
            loops: words.all("loop").filter_map(loop_model).collect(),
        })
    };
    words.all("inputs").filter_map(read).collect()
}

/// Resistors are taken to be within 1 % unless the loop says otherwise: the
/// closest of the common series of IEC 60063 (E96).
const TOLERANCE: f64 = 0.01;

fn loop_model(words: Words) -> Option<LoopModel> {
    let ohms = |keyword| amount(words, keyword, Dimension::Resistance).map(|at| at.value);
    let reads = |words: Words| {
        let window = words.span(Dimension::Resistance)?;
        Some(Reads {
            condition: words.name()?.value.to_string(),
            from: window.value.0.max(0.0),
            to: window.value.1,
            span: window.span,
        })
    };
    Some(LoopModel {
        name: owned(words.name()?),
        end: ohms("end"),
        contact: ohms("contact"),
        tolerance: amount(words, "tolerance", Dimension::Share).map_or(TOLERANCE, |at| at.value),
        reads: words.all("reads").filter_map(reads).collect(),
    })
}

fn device_model(words: Words) -> DeviceModel {
    let (standby, alarm) = draws(words);
    DeviceModel {
        standby,
        alarm,
        works: words
            .get("works")
            .and_then(|words| words.span(Dimension::Voltage)),
        sounds: words
            .get("sounds")
            .map(|words| {
                words
                    .sets()
                    .filter_map(|set| set.set_name())
                    .map(owned)
                    .collect()
            })
            .unwrap_or_default(),
        also: words.all("also").filter_map(known_kind).collect(),
        inputs: inputs(words),
        contacts: words
            .all("contact")
            .filter_map(|words| {
                Some(ContactModel {
                    tamper: words.name()?.value == "tamper",
                    closed: !words.has("open"),
                })
            })
            .collect(),
        setting_address: words.get("setting-address").and_then(setting_address),
    }
}

fn setting_address(words: Words) -> Option<SettingAddress> {
    Some(SettingAddress {
        by: words.second_name()?.value.to_string(),
        within: amount(words, "within", Dimension::Time).map(|at| at.value),
        bits: words
            .get("bits")
            .and_then(|words| words.count())
            .map(|at| at.value),
        low_first: !words.has("high-first"),
    })
}

fn cable_model(words: Words) -> CableModel {
    let conductor = words.get("conductor").and_then(|words| words.any_amount());
    let count = |keyword| {
        words
            .get(keyword)
            .and_then(|words| words.count())
            .map(|at| at.value)
    };
    CableModel {
        cores: count("cores").unwrap_or(2),
        conductor: conductor.and_then(|At { value, .. }| match value.dimension {
            Dimension::Gauge => Some(Size::Awg(value.value)),
            Dimension::Area if value.value > 0.0 => Some(Size::SquareMillimetres(value.value)),
            _ => None,
        }),
        metal: match words.get("metal").and_then(|words| words.name()) {
            Some(At { value: "cca", .. }) => Metal::CopperCladAluminium,
            _ => Metal::Copper,
        },
        strands: count("strands").unwrap_or(1).max(1),
        resistance: amount(words, "resistance", Dimension::ResistancePerLength).map(|at| at.value),
        capacitance: amount(words, "capacitance", Dimension::CapacitancePerLength)
            .map(|at| at.value),
        colours: words
            .get("colours")
            .map(|words| {
                words
                    .names()
                    .map(|value| words.text(value.span).to_string())
                    .collect()
            })
            .unwrap_or_default(),
    }
}

/// The rate that a capacity is meant at unless it says so: the 20-hour rate,
/// after which sealed batteries are named (common practice).
const USUAL_RATE: f64 = 20.0;

fn battery_model(words: Words) -> BatteryModel {
    BatteryModel {
        volts: amount(words, "voltage", Dimension::Voltage).map_or(12.0, |at| at.value),
        capacities: words
            .all("capacity")
            .filter_map(|words| {
                Some(Capacity {
                    ampere_hours: words.amount(Dimension::Charge)?.value,
                    hours: amount(words, "over", Dimension::Time)
                        .map_or(USUAL_RATE, |at| at.value / 3600.0),
                })
            })
            .collect(),
        life: amount(words, "life", Dimension::Time).map(|at| at.value / (365.25 * 86_400.0)),
    }
}

/// Reads a rule set, at the top level or inside a site.
pub(super) fn rule_set(words: Words) -> RuleSet {
    let hours = |keyword| amount(words, keyword, Dimension::Time).map(|at| at.value / 3600.0);
    RuleSet {
        base: words.model().map(owned),
        standby: hours("standby"),
        alarm: hours("alarm"),
        recharge: words.get("recharge").and_then(|words| {
            Some(Recharge {
                hours: words.amount(Dimension::Time)?.value / 3600.0,
                share: amount(words, "to", Dimension::Share).map_or(0.8, |at| at.value),
            })
        }),
        ageing: words
            .get("ageing")
            .and_then(|words| words.number())
            .map(|at| at.value),
        headroom: amount(words, "headroom", Dimension::Share).map(|at| at.value),
        source: words
            .get("source")
            .and_then(|words| words.label())
            .map(|at| at.value.to_string()),
    }
}

fn amount(words: Words, keyword: &'static str, dimension: Dimension) -> Option<At<f64>> {
    words.get(keyword)?.amount(dimension)
}

fn known_kind(words: Words) -> Option<At<&'static Kind>> {
    let name = words.name()?;
    Some(At {
        value: kind(name.value)?,
        span: name.span,
    })
}

pub(super) fn owned(at: At<&str>) -> At<String> {
    At {
        value: at.value.to_string(),
        span: at.span,
    }
}
