//! Files of other languages, for measuring other servers on as many lines.

use std::fmt::Write;

/// A Python module of so many lines: functions of ten lines.
pub fn python(lines: usize) -> String {
    let mut text =
        String::from("\"\"\"Rooms and cables, written for a benchmark.\"\"\"\n\nimport math\n");
    for number in 0.. {
        if number * 11 + 14 > lines {
            break;
        }
        let _ = write!(
            text,
            "\n\ndef drop_{number}(metres: float, amperes: float) -> float:\n    \"\"\"The drop of cable {number}, in volts.\"\"\"\n    ohms = 0.053 * metres * 2\n    volts = ohms * amperes\n    if volts > 3:\n        raise ValueError(f\"cable {number} drops {{volts}}\")\n    for _ in range({number} % 7):\n        volts = math.fsum([volts, 0.01])\n    return round(volts, 3)\n",
        );
    }
    pad(text, lines)
}

/// A YAML document of so many lines: a list of rooms with six lines each.
pub fn yaml(lines: usize) -> String {
    let mut text = String::from("# Rooms and cables, written for a benchmark.\nrooms:\n");
    for number in 0..lines.saturating_sub(2) / 7 {
        let _ = write!(
            text,
            "  - name: room-{number}\n    label: \"Room {number}\"\n    cable:\n      metres: {}\n      cores: 4\n    devices: [keypad, detector]\n    note: second floor\n",
            number % 40 + 2,
        );
    }
    pad(text, lines)
}

fn pad(mut text: String, lines: usize) -> String {
    for _ in text.lines().count()..lines {
        text.push_str("# \n");
    }
    text
}
