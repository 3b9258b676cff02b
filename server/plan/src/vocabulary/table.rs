//! The table itself.

use super::Context::*;
use super::Count::{Many, Once, Required as One};
use super::Dimension as D;
use super::What::*;
use super::{Context, Count, Names, Presence, Slot, What, Word};

const fn needs(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Required)
}

const fn may(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Optional)
}

const fn several(title: &'static str, what: What) -> Slot {
    slot(title, what, Presence::Several)
}

const fn slot(title: &'static str, what: What, presence: Presence) -> Slot {
    Slot {
        title,
        what,
        presence,
    }
}

const NAME: Slot = needs("name", NewName);
const LABEL: Slot = may("label", Label);
const DRAW: What = Amount(&[D::Current, D::Power, D::Resistance]);

const fn word(
    name: &'static str,
    within: &'static [Context],
    slots: &'static [Slot],
    count: Count,
    meaning: &'static str,
    example: &'static str,
) -> Word {
    Word {
        name,
        within,
        slots,
        list: false,
        model: None,
        needs_model: false,
        count,
        opens: None,
        meaning,
        example,
    }
}

impl Word {
    const fn opens(self, context: Context) -> Word {
        Word {
            opens: Some(context),
            ..self
        }
    }

    const fn list(self) -> Word {
        Word { list: true, ..self }
    }

    const fn of(self, names: Names) -> Word {
        Word {
            model: Some(names),
            needs_model: true,
            ..self
        }
    }

    const fn may_be_of(self, names: Names) -> Word {
        Word {
            model: Some(names),
            ..self
        }
    }
}

const fn device(name: &'static str, meaning: &'static str, example: &'static str) -> Word {
    word(name, &[Site, Bus], &[NAME, LABEL], Many, meaning, example)
        .of(Names::Model(""))
        .opens(Device)
}

const fn second_place(name: &'static str, meaning: &'static str, example: &'static str) -> Word {
    const SLOTS: &[Slot] = &[needs("address", Place)];
    word(name, &[Device], SLOTS, Once, meaning, example)
}

/// Every word of the notation.
pub const WORDS: &[Word] = &[
    // ---- The file.
    word(
        "use",
        &[File],
        &[needs("path", PathText)],
        Many,
        "Brings the names that another file declares into this one. The path is seen from this file's folder and stays inside the workspace. Names that the other file itself only uses do not come along.",
        "use \"../catalog/merrow.bell\"",
    ),
    word(
        "model",
        &[File],
        &[needs("kind", Kind), NAME, LABEL],
        Many,
        "Describes a product, once for all plans that fit it.",
        "model detector RC \"Recessed contact\" { contact alarm, closed }",
    ),
    word(
        "rules",
        &[File],
        &[NAME, LABEL],
        Many,
        "A rule set: what a system must hold out, and what is kept in hand. Built on another, it takes over what it does not say itself.",
        "rules house : intruder-grade-2 { standby 24 h }",
    )
    .may_be_of(Names::Rules)
    .opens(Rules),
    word(
        "monitoring",
        &[File],
        &[NAME, LABEL],
        Many,
        "A centre that sites report to. Each account there serves one site.",
        "monitoring northgate \"Northgate monitoring\"",
    )
    .opens(Monitoring),
    word(
        "site",
        &[File],
        &[NAME, LABEL],
        Many,
        "One customer's premises: panels, supplies, devices, and the cables between them.",
        "site harbour \"Harbour Street\" { … }",
    )
    .opens(Site),
    // ---- Models of panels and supplies.
    word(
        "standby",
        &[UnitModel, DeviceModel],
        &[needs("draw", DRAW)],
        Once,
        "What it draws while nothing happens. If only one of `standby` and `alarm` is given: `standby` holds for both, and with `alarm` alone it draws nothing in standby.",
        "standby 45 mA",
    ),
    word(
        "alarm",
        &[UnitModel, DeviceModel],
        &[needs("draw", DRAW)],
        Once,
        "What it draws in alarm.",
        "alarm 110 mA",
    ),
    word(
        "cutoff",
        &[UnitModel],
        &[needs("voltage", Amount(&[D::Voltage]))],
        Once,
        "The battery voltage at which the unit disconnects its battery. The battery states are worked out at this voltage, the lowest that the outputs ever give. 10.5 V unless said, 1.75 V a cell.",
        "cutoff 10.5 V",
    ),
    word(
        "charger",
        &[UnitModel],
        &[needs("current", Amount(&[D::Current]))],
        Once,
        "What the charger can give to battery and outputs together beyond the unit's own draw.",
        "charger 700 mA",
    ),
    word(
        "mains",
        &[UnitModel],
        &[needs("rating", Amount(&[D::Power, D::Current]))],
        Once,
        "What the mains side, a transformer or a power unit, can give in all on the direct-current side: the unit's own draw, its outputs, and the charging of its battery come out of it. Amperes count at the highest output voltage. A transformer's plate often gives VA of alternating current, of which less can be drawn after the rectifier: about 0.6 W for each (common practice; the maker's own figure rules).",
        "mains 24 W",
    ),
    word(
        "battery-max",
        &[UnitModel],
        &[needs("capacity", Amount(&[D::Charge]))],
        Once,
        "The largest battery that the unit may charge.",
        "battery-max 18 Ah",
    ),
    word(
        "partitions",
        &[UnitModel],
        &[needs("number", What::Count)],
        Once,
        "How many partitions the panel can be divided into.",
        "partitions 2",
    ),
    word(
        "limit",
        &[UnitModel],
        &[needs("current", Amount(&[D::Current]))],
        Once,
        "What all outputs of the unit together can carry, where they share one supply.",
        "limit 1.5 A",
    ),
    word(
        "output",
        &[UnitModel],
        &[NAME, needs("voltage", Amount(&[D::Voltage]))],
        Many,
        "A pair of terminals that feeds devices, and its voltage on mains.",
        "output aux 13.8 V, limit 600 mA",
    )
    .opens(OutputModel),
    word(
        "limit",
        &[OutputModel],
        &[needs("current", Amount(&[D::Current]))],
        Once,
        "What the output can carry.",
        "limit 600 mA",
    ),
    word(
        "in",
        &[OutputModel],
        &[needs("state", Choice(&[("alarm", "The output gives nothing in standby.")]))],
        Once,
        "The output is switched on in alarm only.",
        "output siren 13.8 V, limit 1.2 A, in alarm",
    ),
    word(
        "bus",
        &[UnitModel],
        &[NAME],
        Many,
        "A data bus on which devices have addresses.",
        "bus keys { addresses 1 .. 15 }",
    )
    .opens(BusModel),
    word(
        "power",
        &[BusModel],
        &[needs("output", Named(Names::Output))],
        Once,
        "The output that the bus's power cores come from.",
        "power aux",
    ),
    word(
        "addresses",
        &[BusModel],
        &[needs("range", Counts)],
        One,
        "The addresses that there are on the bus.",
        "addresses 1 .. 15",
    ),
    word(
        "place",
        &[BusModel],
        &[needs("kind", Kind), needs("range", Counts)],
        Many,
        "The addresses that a kind of device may have.",
        "place keypad 1 .. 8",
    ),
    word(
        "enabled",
        &[BusModel],
        &[needs("range", Counts)],
        Many,
        "The addresses that the panel has switched on from the factory. Any other must be enabled in the panel's programming before a device answers there. Where a bus says nothing about it, all are.",
        "enabled 1 .. 8, from-revision 5.0",
    )
    .opens(Enabled),
    word(
        "from-revision",
        &[Enabled],
        &[needs("revision", Version)],
        Once,
        "From this revision of the panel on.",
        "from-revision 5.0",
    ),
    word(
        "devices",
        &[BusModel],
        &[needs("number", What::Count)],
        Once,
        "How many devices the bus carries at most.",
        "devices 12",
    ),
    word(
        "length",
        &[BusModel],
        &[needs("length", Amount(&[D::Length]))],
        Once,
        "How much cable may be on the bus in all.",
        "length 350 m",
    ),
    word(
        "longest",
        &[BusModel],
        &[needs("length", Amount(&[D::Length]))],
        Once,
        "How far the farthest device may be from the panel, along the cable.",
        "longest 200 m",
    ),
    word(
        "capacitance",
        &[BusModel],
        &[needs("capacitance", Amount(&[D::Capacitance]))],
        Once,
        "How much capacitance of cable the bus can drive.",
        "capacitance 60 nF",
    ),
    word(
        "layout",
        &[BusModel],
        &[several(
            "shape",
            Choice(&[
                ("chain", "One device after the other."),
                ("star", "Every device on a cable of its own."),
                ("tree", "Branches anywhere, but no ring."),
                ("ring", "Back to where it came from."),
            ]),
        )],
        Once,
        "The shapes that the bus's cable may have; any, if it is not said.",
        "layout chain star",
    ),
    word(
        "shift",
        &[BusModel],
        &[needs("voltage", Amount(&[D::Voltage]))],
        Once,
        "How far a device's negative may lie above the panel's before the data is misread.",
        "shift 1 V",
    ),
    word(
        "terminated",
        &[BusModel],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor that stands across the data pair at both ends of the bus's cable, and nowhere else: 120 ohm on a bus of TIA-485-A.",
        "terminated 120 ohm",
    ),
    word(
        "unit-loads",
        &[BusModel],
        &[needs("number", Factor)],
        Once,
        "How many unit loads the bus can drive, the panel's own not counted. TIA-485-A has 32 in all, so 31 beside a panel that is one.",
        "unit-loads 31",
    ),
    word(
        "terminal",
        &[BusModel],
        &[
            needs(
                "core",
                Choice(&[
                    ("negative", "The negative of the power pair."),
                    ("positive", "The positive of the power pair."),
                    ("data-out", "Data from the panel."),
                    ("data-in", "Data to the panel."),
                ]),
            ),
            needs("number", What::Count),
        ],
        Many,
        "The number printed at the terminal for each core.",
        "terminal negative 6, positive 7, data-out 8, data-in 9",
    )
    .list(),
    word(
        "inputs",
        &[UnitModel, DeviceModel],
        &[needs("range", Counts)],
        Many,
        "Inputs for detection loops, and the loops that they can read.",
        "inputs 1 .. 8 { loop single { end 2.2 kohm } }",
    )
    .opens(Inputs),
    word(
        "as",
        &[Inputs],
        &[needs("whose", Choice(&[("panel", "The panel's own inputs.")]))],
        Once,
        "The loops are those of the panel that the expander is on.",
        "inputs 1 .. 8, as panel",
    ),
    word(
        "loop",
        &[Inputs],
        &[NAME],
        Many,
        "A way to wire a loop that the inputs can read: its resistors, and what each resistance means.",
        "loop single { end 2.2 kohm }",
    )
    .opens(Loop),
    word(
        "end",
        &[Loop],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor at the far end of the loop.",
        "end 2.2 kohm",
    ),
    word(
        "contact",
        &[Loop],
        &[needs("resistor", Amount(&[D::Resistance]))],
        Once,
        "The resistor across each alarm contact.",
        "contact 1 kohm",
    ),
    word(
        "tolerance",
        &[Loop],
        &[needs("share", Amount(&[D::Share]))],
        Once,
        "How far the resistors may be off. 1 % unless said.",
        "tolerance 5 %",
    ),
    word(
        "reads",
        &[Loop],
        &[
            needs(
                "condition",
                Choice(&[
                    ("normal", "All is quiet."),
                    ("alarm", "A detector has seen something."),
                    ("tamper", "A housing was opened."),
                    ("open", "The loop is open: a contact, or a cut cable."),
                    ("short", "The two cores touch."),
                ]),
            ),
            needs("range", Span(D::Resistance)),
        ],
        Many,
        "The resistances that the input takes for this condition.",
        "reads normal 1.6 kohm .. 2.9 kohm",
    ),
    // ---- Models of devices.
    word(
        "unit-load",
        &[DeviceModel],
        &[needs("share", Factor)],
        Once,
        "What it weighs on a bus that counts unit loads (TIA-485-A): 1 unless said, 0.125 for a receiver of an eighth.",
        "unit-load 0.125",
    ),
    word(
        "works",
        &[DeviceModel],
        &[needs("range", Span(D::Voltage))],
        Once,
        "The voltages, at its own terminals, between which it works.",
        "works 10.2 V .. 14.5 V",
    ),
    word(
        "sounds",
        &[DeviceModel],
        &[needs("sound", Word)],
        Once,
        "The ways in which it can be set to sound; the first is the factory's.",
        "sounds all, chime-off, silent",
    )
    .list(),
    word(
        "also",
        &[DeviceModel],
        &[needs("kind", Kind)],
        Many,
        "It is a second thing too, which takes a place of its own on the bus.",
        "also receiver",
    ),
    word(
        "contact",
        &[DeviceModel],
        &[needs(
            "role",
            Choice(&[
                ("alarm", "Tells that the detector has seen something."),
                ("tamper", "Tells that the housing was opened."),
            ]),
        )],
        Many,
        "A contact that a loop can run through.",
        "contact alarm, closed",
    )
    .opens(Contact),
    word(
        "closed",
        &[Contact],
        &[],
        Once,
        "Closed while all is quiet. This is so unless `open` is said.",
        "contact alarm, closed",
    ),
    word(
        "open",
        &[Contact],
        &[],
        Once,
        "Open while all is quiet.",
        "contact alarm, open",
    ),
    word(
        "resistance",
        &[Contact],
        &[needs("resistance", Amount(&[D::Resistance]))],
        Once,
        "What the contact itself resists while it is closed; it counts in the loop. Nothing unless said.",
        "contact alarm, closed, resistance 100 mohm",
    ),
    word(
        "setting-address",
        &[DeviceModel],
        &[
            needs("by", Choice(&[("by", "")])),
            needs(
                "means",
                Choice(&[
                    ("keys", "Entered at its own keys."),
                    ("switches", "Set on a block of switches."),
                    ("panel", "Given by the panel."),
                ]),
            ),
        ],
        Once,
        "How the device is told its address.",
        "setting-address by keys, within 60 s",
    )
    .opens(SettingAddress),
    word(
        "within",
        &[SettingAddress],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long after power-up it can be told.",
        "within 60 s",
    ),
    word(
        "bits",
        &[SettingAddress],
        &[needs("number", What::Count)],
        Once,
        "How many switches there are.",
        "bits 4",
    ),
    word(
        "low-first",
        &[SettingAddress],
        &[],
        Once,
        "Switch 1 counts 1, switch 2 counts 2, switch 3 counts 4. This is so unless `high-first` is said.",
        "setting-address by switches, bits 4, low-first",
    ),
    word(
        "high-first",
        &[SettingAddress],
        &[],
        Once,
        "The last switch counts 1.",
        "setting-address by switches, bits 4, high-first",
    ),
    // ---- Models of cables and batteries.
    word(
        "cores",
        &[CableModel],
        &[needs("number", What::Count)],
        Once,
        "How many cores it has. 2 unless said.",
        "cores 4",
    ),
    word(
        "conductor",
        &[CableModel],
        &[needs("size", Amount(&[D::Gauge, D::Area]))],
        Once,
        "The size of one conductor.",
        "conductor 22 AWG",
    ),
    word(
        "metal",
        &[CableModel],
        &[needs(
            "metal",
            Choice(&[
                ("copper", "Plain copper."),
                ("cca", "Copper-clad aluminium: about 1.6 times the resistance of copper."),
            ]),
        )],
        Once,
        "What the conductor is made of. Copper unless said.",
        "metal cca",
    ),
    word(
        "strands",
        &[CableModel],
        &[needs("number", What::Count)],
        Once,
        "How many wires a conductor has; 1 is solid. Stranded wires lie about 2 % longer than the cable.",
        "strands 7",
    ),
    word(
        "resistance",
        &[CableModel],
        &[needs("resistance", Amount(&[D::ResistancePerLength]))],
        Once,
        "One conductor's resistance, as it is at the site. It replaces what the conductor would give.",
        "resistance 53 ohm/km",
    ),
    word(
        "capacitance",
        &[CableModel],
        &[needs("capacitance", Amount(&[D::CapacitancePerLength]))],
        Once,
        "The capacitance between two cores.",
        "capacitance 100 pF/m",
    ),
    word(
        "colours",
        &[CableModel],
        &[several("colour", Word)],
        Once,
        "The colours of the cores, in order.",
        "colours black red green yellow",
    ),
    word(
        "voltage",
        &[BatteryModel],
        &[needs("voltage", Amount(&[D::Voltage]))],
        Once,
        "The nominal voltage. 12 V unless said.",
        "voltage 12 V",
    ),
    word(
        "capacity",
        &[BatteryModel],
        &[needs("capacity", Amount(&[D::Charge]))],
        Many,
        "What the battery gives when it is emptied over that time. Over 20 h unless said.",
        "capacity 7 Ah, over 20 h",
    )
    .opens(Capacity),
    word(
        "over",
        &[Capacity],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "The time over which it is emptied.",
        "over 20 h",
    ),
    word(
        "life",
        &[BatteryModel],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long after it was fitted the battery is replaced.",
        "life 4 years",
    ),
    // ---- Rule sets and monitoring.
    word(
        "standby",
        &[Rules],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long the battery must carry the system without mains.",
        "standby 12 h",
    ),
    word(
        "alarm",
        &[Rules],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long the battery must then carry it in alarm.",
        "alarm 15 min",
    ),
    word(
        "recharge",
        &[Rules],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "The time in which an empty battery must be charged again.",
        "recharge 72 h, to 80 %",
    )
    .opens(Recharge),
    word(
        "to",
        &[Recharge],
        &[needs("share", Amount(&[D::Share]))],
        Once,
        "How full it must then be. 80 % unless said.",
        "to 80 %",
    ),
    word(
        "ageing",
        &[Rules],
        &[needs("factor", Factor)],
        Once,
        "Capacity kept in hand for the battery's last year. 1.25 unless said.",
        "ageing 1.25",
    ),
    word(
        "headroom",
        &[Rules],
        &[needs("share", Amount(&[D::Share]))],
        Once,
        "The share of every output's limit that is kept free. None unless said.",
        "headroom 20 %",
    ),
    word(
        "source",
        &[Rules],
        &[needs("source", Label)],
        Once,
        "Where the values come from: the standard and its clause, `from memory`, or `house rule`.",
        "source \"house rule\"",
    ),
    word(
        "accounts",
        &[Monitoring],
        &[needs("range", Counts)],
        Once,
        "The account numbers that the centre has given out to us.",
        "accounts 4000 .. 4999",
    ),
    // ---- Sites.
    word(
        "rules",
        &[Site],
        &[needs("rules", Named(Names::Rules))],
        Once,
        "The rule set that the site must meet; or one of its own, built on another.",
        "rules intruder-grade-2",
    )
    .may_be_of(Names::Rules)
    .opens(Rules),
    word(
        "ambient",
        &[Site],
        &[needs("range", Span(D::Temperature))],
        Once,
        "The coldest and the warmest that it gets. Cables are worked out at the warmest, batteries at the coldest. 20 °C unless said.",
        "ambient 5 °C .. 35 °C",
    ),
    word(
        "report",
        &[Site],
        &[needs("centre", Named(Names::Monitoring))],
        Many,
        "The centre that the site reports to.",
        "report northgate, account 4411",
    )
    .opens(Report),
    word(
        "account",
        &[Report],
        &[needs("number", What::Count)],
        One,
        "The site's account there. It serves no other site.",
        "account 4411",
    ),
    word(
        "panel",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A control panel, with its battery, partitions, buses and zones.",
        "panel main \"Stock room\" : M8, revision 4.2 { … }",
    )
    .of(Names::Model("panel"))
    .opens(Panel),
    word(
        "supply",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A power supply of its own.",
        "supply psu1 \"Roof void\" : PS2 { battery : sealed-12V-7Ah }",
    )
    .of(Names::Model("supply"))
    .opens(Supply),
    device(
        "keypad",
        "A keypad.",
        "keypad front \"Shop door\" : K2, address 1, partition 1",
    ),
    device(
        "expander",
        "An expander: more inputs, over the bus.",
        "expander x1 \"Loft\" : E8, address 9",
    ),
    device(
        "receiver",
        "A receiver for wireless detectors.",
        "receiver r1 \"Landing\" : R1, address 13",
    ),
    device(
        "reader",
        "A reader for cards or tags.",
        "reader door \"Staff door\" : T1, address 3",
    ),
    device(
        "communicator",
        "A communicator to a monitoring centre.",
        "communicator com \"In the panel\" : C1",
    ),
    device(
        "relay",
        "A relay for other equipment.",
        "relay lights \"Stairs\" : RL1",
    ),
    device(
        "detector",
        "A detector.",
        "detector pir1 \"Shop floor\" : P5",
    ),
    device(
        "sounder",
        "A sounder.",
        "sounder s1 \"Front elevation\" : S15",
    ),
    device(
        "beacon",
        "A beacon.",
        "beacon b1 \"Over the door\" : B1",
    ),
    word(
        "joint",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A point where cables meet.",
        "joint j1 \"Ceiling void\"",
    )
    .opens(Joint),
    word(
        "resistance",
        &[Joint],
        &[needs("resistance", Amount(&[D::Resistance]))],
        Once,
        "What the joint adds to each core that goes through it. Nothing unless said.",
        "resistance 50 mohm",
    ),
    word(
        "run",
        &[Site],
        &[NAME, LABEL],
        Many,
        "A length of cable and its way. Each line of its block is a path: it reads as the cable lies.",
        "run keys-a : copper-4x22AWG { main.keys --12 m-- front --31 m-- rear }",
    )
    .of(Names::Model("cable"))
    .opens(Run),
    word(
        "doubled",
        &[Run],
        &[],
        Once,
        "Spare cores lie in parallel: the same way, half the resistance.",
        "run b1 : copper-4x22AWG, doubled { main.siren --18 m-- s1 }",
    ),
    word(
        "carries",
        &[Run],
        &[needs("what", Choice(&[("data", "Data only.")]))],
        Once,
        "The run carries no power: the device has a supply of its own. The negatives must then be common.",
        "run d1 : copper-4x22AWG, carries data { main.keys --60 m-- rear }",
    ),
    // ---- In a panel or supply.
    word(
        "revision",
        &[Panel],
        &[needs("revision", Version)],
        Once,
        "The revision of the panel. 10.23 is newer than 10.3.",
        "revision 4.2",
    ),
    word(
        "battery",
        &[Panel, Supply],
        &[],
        Once,
        "The standby battery that is fitted.",
        "battery : sealed-12V-7Ah, fitted 2025-03",
    )
    .of(Names::Model("battery"))
    .opens(Battery),
    word(
        "fitted",
        &[Battery],
        &[needs("date", Date)],
        Once,
        "When it was fitted.",
        "fitted 2025-03",
    ),
    word(
        "count",
        &[Battery],
        &[needs("number", What::Count)],
        Once,
        "How many of them, in parallel. 1 unless said.",
        "count 2",
    ),
    word(
        "partition",
        &[Panel],
        &[needs("number", NewNumber), LABEL],
        Many,
        "A part of the system that is set and unset by itself.",
        "partition 1 \"Shop\"",
    ),
    word(
        "bus",
        &[Panel],
        &[needs("bus", Named(Names::Bus))],
        Many,
        "The devices on a bus of the panel.",
        "bus keys { … }",
    )
    .opens(Bus),
    word(
        "zone",
        &[Panel],
        &[needs("number", NewNumber), LABEL],
        Many,
        "What the panel reports as one: an input, its loop, and the detectors on it.",
        "zone 1 \"Shop door\", input 1, from rc1, partition 1, entry 30 s, loop single",
    )
    .opens(Zone),
    // ---- In a device.
    word(
        "address",
        &[Device],
        &[needs("address", Address)],
        Once,
        "Its place on the bus.",
        "address 2",
    ),
    word(
        "partition",
        &[Device, Zone],
        &[several("number", Named(Names::Partition))],
        Once,
        "The partition that it belongs to.",
        "partition 2",
    ),
    word(
        "sounds",
        &[Device],
        &[needs("sound", Named(Names::Sound))],
        Once,
        "How it sounds: one of those that its model lists.",
        "sounds silent",
    ),
    second_place(
        "receiver",
        "The place of the receiver that is part of it, or `off`.",
        "receiver 13",
    ),
    second_place(
        "reader",
        "The place of the reader that is part of it, or `off`.",
        "reader 5",
    ),
    second_place(
        "expander",
        "The place of the expander that is part of it, or `off`.",
        "expander 9",
    ),
    second_place(
        "relay",
        "The place of the relay that is part of it, or `off`.",
        "relay off",
    ),
    // ---- In a zone.
    word(
        "input",
        &[Zone],
        &[needs("input", Named(Names::Input))],
        One,
        "The input that reads the loop: the panel's own, or one of an expander.",
        "input x1.2",
    ),
    word(
        "from",
        &[Zone],
        &[several("detector", Named(Names::Detector))],
        One,
        "The detectors on the loop, in order.",
        "from rc1 rc2",
    ),
    word(
        "loop",
        &[Zone],
        &[needs("loop", Named(Names::Loop))],
        Once,
        "How the loop is wired: one of the loops that the input can read. May be left out where there is only one.",
        "loop single",
    ),
    word(
        "entry",
        &[Zone],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long one may take from here to the keypad before it is an alarm.",
        "entry 30 s",
    ),
    word(
        "exit",
        &[Zone],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long one may take from the keypad to here after setting.",
        "exit 45 s",
    ),
    // ---- Anywhere.
    word(
        "note",
        &[
            UnitModel, DeviceModel, CableModel, BatteryModel, Rules, Monitoring, Site, Panel, Supply,
            Battery, Bus, Device, Zone, Joint, Run,
        ],
        &[needs("text", Label)],
        Many,
        "A remark that goes into the papers.",
        "note \"Key at the front desk\"",
    ),
    word(
        "accept",
        &[
            UnitModel, DeviceModel, CableModel, BatteryModel, Rules, Site, Panel, Supply, Battery, Bus,
            Device, Zone, Joint, Run,
        ],
        &[needs("code", Named(Names::Code)), needs("reason", Label)],
        Many,
        "Marks one kind of finding here as seen and accepted, with the reason. It is still listed, as accepted.",
        "accept battery-old \"Replaced at the next visit\"",
    ),
];
