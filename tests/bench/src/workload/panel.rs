//! One panel with as many devices as asked for: keypads, expanders with contacts on their
//! inputs, and detectors on the bus, a dozen on each branch of its cable.

use std::fmt::Write;

use super::columns::Columns;
use bellwire_tests::random::Random;

/// Devices on one branch.
const BRANCH: usize = 12;

/// Writes a site of that many devices, without a mistake.
pub fn site(seed: u64, devices: usize) -> String {
    let mut random = Random::new(seed, devices as u64);
    let keypads = devices / 50;
    let expanders = devices / 20;
    let contacts = expanders * 8;
    let detectors = devices - keypads - expanders - contacts;
    let mut text = String::from(
        "site works \"Hopkiln Works, all halls\" {\n  rules   intruder-grade-2\n  ambient 5 °C .. 35 °C\n  report  harrow-hill, account 199999\n\n  panel main \"Gatehouse\" : QB4000, revision 5.1 {\n    battery : OL150, count 2, fitted 2026-03\n",
    );
    let mut partitions = Columns::default();
    for partition in 1..=16 {
        let label = format!("\"Hall {partition}\"");
        partitions.line(["partition", &partition.to_string(), &label]);
    }
    text.push_str(&partitions.text(4));
    text.push_str("\n    bus line {\n");
    let mut bus = Columns::default();
    let mut on_bus = Vec::new();
    let kinds = [
        ("keypad", "k", "QK2,", keypads, 1),
        ("expander", "x", "QX8,", expanders, 101),
        ("detector", "d", "DA9,", detectors, 401),
    ];
    for (kind, prefix, model, count, first) in kinds {
        for index in 0..count {
            let name = format!("{prefix}{}", index + 1);
            let partition = match kind {
                "expander" => String::new(),
                _ => format!("partition {}", 1 + index % 16),
            };
            let comma = if partition.is_empty() { "" } else { "," };
            let address = format!("address {}{comma}", first + index);
            let label = format!("\"Hall {}\"", 1 + index % 16);
            bus.line([kind, &name, &label, ":", model, &address, &partition]);
            on_bus.push(name);
        }
    }
    text.push_str(&bus.text(6));
    text.push_str("    }\n\n");
    let mut zones = Columns::default();
    let mut fitted = Columns::default();
    let mut runs = String::new();
    for contact in 1..=contacts {
        let input = format!("x{}.{}", 1 + (contact - 1) / 8, 1 + (contact - 1) % 8);
        let hall = format!("Hall {}", 1 + contact % 16);
        zones.line([
            "zone",
            &contact.to_string(),
            &format!("\"{hall}\","),
            &format!("input {input},"),
            &format!("from c{contact},"),
            &format!("partition {},", 1 + contact % 16),
            "loop single",
        ]);
        fitted.line([
            "detector",
            &format!("c{contact}"),
            &format!("\"{hall}\""),
            ":",
            "DR2",
        ]);
        let metres = random.between(3, 30);
        let _ = writeln!(
            runs,
            "  run z{contact} : copper-2x22AWG {{ {input} --{metres} m-- c{contact} }}"
        );
    }
    text.push_str(&zones.text(4));
    text.push_str("  }\n\n");
    text.push_str(&fitted.text(2));
    text.push_str("\n  run line : copper-4x18AWG {\n");
    for branch in on_bus.chunks(BRANCH) {
        text.push_str("    main.line");
        for name in branch {
            let _ = write!(text, " --{} m-- {name}", random.between(2, 6));
        }
        text.push('\n');
    }
    text.push_str("  }\n");
    text.push_str(&runs);
    text.push_str("}\n");
    text
}
