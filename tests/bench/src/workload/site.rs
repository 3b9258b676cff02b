//! One site: some 150 lines, 40 devices, and at most one mistake.

use std::fmt::Write;

use super::columns::Columns;
use super::fault::Fault;
use bellwire_tests::random::Random;

/// What a file of sites starts with.
pub const USES: &str = "\
use \"../catalog/quillback.bell\"
use \"../catalog/dunmarl.bell\"
use \"../catalog/ossel.bell\"
use \"../shared/monitoring.bell\"
";

const OWNERS: [&str; 8] = [
    "Larkmoor Bakery",
    "Osier Joinery",
    "Pennant Bindery",
    "Thistledown Nursery",
    "Cobble and Kiln",
    "Fenwillow Surgery",
    "Brackenhall Books",
    "Sallow Yard Cycles",
];
const STREETS: [&str; 6] = [
    "Pannier Row",
    "Weir Lane",
    "Chandler's Yard",
    "Hopkiln Road",
    "Tollgate Street",
    "Marl Pits",
];
const ROOMS: [&str; 16] = [
    "Front shop",
    "Back shop",
    "Stock room",
    "Office",
    "Corridor",
    "Cellar",
    "Loft",
    "Stairs",
    "Workshop",
    "Yard gate",
    "Loading bay",
    "Staff room",
    "Kitchen",
    "Archive",
    "Garage",
    "Plant room",
];

/// A zone with its loop and its detectors, each a name and a model.
struct Zone {
    room: &'static str,
    /// `main.3` or `x1.5`.
    input: String,
    detectors: Vec<(String, &'static str)>,
    is_powered: bool,
    metres: usize,
}

/// Writes the site of a number: the number decides its name and account, the seed all else.
pub fn site(seed: u64, number: usize, fault: Option<Fault>) -> String {
    let mut random = Random::new(seed, number as u64);
    let random = &mut random;
    let zones = zones(random);
    let mut text = String::new();
    let owner = *random.of(&OWNERS);
    let street = *random.of(&STREETS);
    let house = random.between(1, 120);
    let _ = writeln!(text, "site s{number:05} \"{owner}, {house} {street}\" {{");
    text.push_str("  rules   intruder-grade-2\n");
    let (cold, warm) = (random.between(2, 8), random.between(28, 36));
    let _ = writeln!(text, "  ambient {cold} °C .. {warm} °C");
    let _ = writeln!(
        text,
        "  report  harrow-hill, account {}\n",
        100_000 + number
    );
    panel(&mut text, random, &zones, fault);
    text.push_str("  # Feeds the detectors at the far end.\n");
    text.push_str(
        "  supply psu1 \"Roof void\" : OP2 {\n    battery : OL7, fitted 2026-03\n  }\n\n",
    );
    devices(&mut text, &zones, fault);
    runs(&mut text, random, &zones, fault);
    text.push_str("}\n");
    text
}

fn zones(random: &mut Random) -> Vec<Zone> {
    let inputs = (1..=8).map(|input| format!("main.{input}"));
    let more = (1..=14).map(|input| format!("x{}.{}", 1 + (input - 1) / 8, 1 + (input - 1) % 8));
    let mut count = 0;
    let mut zones = Vec::new();
    for (index, input) in inputs.chain(more).enumerate() {
        let is_powered = index % 5 != 0 && index % 5 != 3;
        let model = match is_powered {
            true => *random.of(&["DP5", "DP5", "DD6", "DG1"]),
            false => *random.of(&["DR2", "DR2", "DS3"]),
        };
        // Every third powered loop has two detectors.
        let detectors = if is_powered && index % 3 == 1 { 2 } else { 1 };
        let mut name = || {
            count += 1;
            format!("d{count}")
        };
        zones.push(Zone {
            room: random.of::<&str>(&ROOMS),
            input,
            detectors: (0..detectors).map(|_| (name(), model)).collect(),
            is_powered,
            metres: random.between(4, 38),
        });
    }
    zones
}

fn panel(text: &mut String, random: &mut Random, zones: &[Zone], fault: Option<Fault>) {
    let revision = *random.of(&["4.2", "5.0", "5.1", "5.10"]);
    let battery = match fault {
        Some(Fault::BatteryShort) => "OL2",
        _ => "OL18",
    };
    let _ = writeln!(
        text,
        "  panel main \"Meter cupboard\" : QB8, revision {revision} {{"
    );
    let _ = writeln!(text, "    battery : {battery}, fitted 2026-03");
    text.push_str(
        "    partition 1 \"Shop\"\n    partition 2 \"Stock\"\n    partition 3 \"Flat\"\n\n",
    );
    bus(text, random, fault);
    read_zones(text, zones, fault);
    text.push_str("  }\n\n");
}

/// The devices on the panel's bus.
fn bus(text: &mut String, random: &mut Random, fault: Option<Fault>) {
    let mut bus = Columns::default();
    for keypad in 1..=4 {
        let model = *random.of(&["QK2", "QK2", "QK7"]);
        let address = match (fault, keypad) {
            (Some(Fault::AddressTaken), 2) => 1,
            _ => keypad,
        };
        bus.line([
            "keypad",
            &format!("k{keypad}"),
            &format!("\"{}\"", *random.of(&ROOMS)),
            ":",
            &format!("{model},"),
            &format!("address {address},"),
            &format!("partition {}", 1 + keypad % 3),
        ]);
    }
    for expander in 1..=2 {
        let label = format!("\"{}\"", *random.of(&ROOMS));
        let address = format!("address {}", 16 + expander);
        bus.line([
            "expander",
            &format!("x{expander}"),
            &label,
            ":",
            "QX8,",
            &address,
        ]);
    }
    bus.line([
        "communicator",
        "radio",
        "\"In the panel\"",
        ":",
        "QC4,",
        "address 31",
    ]);
    text.push_str("    bus keys {\n");
    text.push_str(&bus.text(6));
    text.push_str("    }\n\n");
}

/// The zones that the panel reads.
fn read_zones(text: &mut String, zones: &[Zone], fault: Option<Fault>) {
    let mut lines = Columns::default();
    for (index, zone) in zones.iter().enumerate() {
        let names: Vec<&str> = zone
            .detectors
            .iter()
            .map(|(name, _)| name.as_str())
            .collect();
        let input = zone.input.strip_prefix("main.").unwrap_or(&zone.input);
        let partition = match (fault, index) {
            (Some(Fault::PartitionUnknown), 5) => 4,
            _ => 1 + index % 3,
        };
        let entry = match (fault, index) {
            (Some(Fault::WrongUnit), 0) => "entry 30 m, ",
            (Some(Fault::UnknownWord), 0) => "entri 30 s, ",
            (_, 0 | 8 | 15) => "entry 30 s, ",
            _ => "",
        };
        let kind = if zone.is_powered { "double" } else { "single" };
        lines.line([
            "zone",
            &format!("{}", index + 1),
            &format!("\"{}\",", zone.room),
            &format!("input {input},"),
            &format!("from {},", names.join(" ")),
            &format!("partition {partition},"),
            &format!("{entry}loop {kind}"),
        ]);
    }
    text.push_str(&lines.text(4));
}

fn devices(text: &mut String, zones: &[Zone], fault: Option<Fault>) {
    let mut lines = Columns::default();
    for (index, zone) in zones.iter().enumerate() {
        for (name, model) in &zone.detectors {
            let model = match (fault, index) {
                (Some(Fault::UnknownModel), 2) => "DP55",
                _ => model,
            };
            lines.line(["detector", name, &format!("\"{}\"", zone.room), ":", model]);
        }
    }
    lines.line(["sounder", "front", "\"Front elevation\"", ":", "OS20"]);
    lines.line(["sounder", "rear", "\"Rear elevation\"", ":", "OS20"]);
    lines.line(["sounder", "inside", "\"Stairs\"", ":", "OS5"]);
    lines.line(["beacon", "flash", "\"Over the door\"", ":", "OB1"]);
    text.push_str(&lines.text(2));
    text.push_str("\n  joint j1 \"Ceiling void\"\n\n");
}

fn runs(text: &mut String, random: &mut Random, zones: &[Zone], fault: Option<Fault>) {
    let mut metres = |most: usize| random.between(3, most);
    text.push_str(
        "  # The bus goes up through the ceiling void.\n  run keys-a : copper-4x18AWG {\n",
    );
    let (a, b, c) = (metres(12), metres(18), metres(14));
    let _ = writeln!(text, "    main.keys --{a} m-- j1 --{b} m-- k1 --{c} m-- k2");
    let (a, b) = (metres(20), metres(14));
    let _ = writeln!(text, "    j1 --{a} m-- k3 --{b} m-- k4");
    let (a, b) = (metres(15), metres(15));
    let _ = writeln!(text, "    j1 --{a} m-- x1 --{b} m-- x2");
    text.push_str("  }\n");
    text.push_str("  run radio : copper-4x22AWG { main.keys --1 m-- radio }\n\n");
    for (index, zone) in zones.iter().enumerate() {
        let cable = match (zone.is_powered, fault, index) {
            (true, Some(Fault::CoresShort), 1) => "copper-2x22AWG",
            (true, ..) => "copper-6x22AWG",
            (false, ..) => "copper-2x22AWG",
        };
        let number = index + 1;
        let circuits = match (zone.is_powered, index < 12) {
            (false, _) => zone.input.clone(),
            (true, true) => format!("main.aux + {}", zone.input),
            (true, false) => format!("psu1.out + {}", zone.input),
        };
        let mut way = format!("{circuits} --{} m-- ", zone.metres);
        for (position, (name, _)) in zone.detectors.iter().enumerate() {
            if position > 0 {
                let _ = write!(way, " --{} m-- ", metres(9));
            }
            way.push_str(name);
        }
        match zone.is_powered {
            true => {
                let _ = writeln!(text, "  run z{number} : {cable} {{\n    {way}\n  }}");
            }
            false => {
                let _ = writeln!(text, "  run z{number} : {cable} {{ {way} }}");
            }
        }
    }
    let far = match fault {
        Some(Fault::VoltageLow) => 150,
        _ => metres(20),
    };
    let (near, between) = (metres(20), metres(12));
    let _ = writeln!(
        text,
        "\n  run sounders : copper-4x22AWG, doubled {{\n    main.siren --{far} m-- front --2 m-- flash\n  }}"
    );
    let _ = writeln!(
        text,
        "  run rear : copper-4x22AWG, doubled {{\n    main.siren --{near} m-- rear\n    rear --{between} m-- inside\n  }}"
    );
}
