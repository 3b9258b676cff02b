//! Units: what each measures, and what it is in the one unit that we reckon in: that of SI,
//! unless the trade never uses it.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::decimal::significant;

/// What a number measures, each with the unit that we reckon in: its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Metres.
    Length,
    /// Amperes.
    Current,
    /// Volts.
    Voltage,
    /// Watts.
    Power,
    /// Ohms.
    Resistance,
    /// Ampere-hours, not coulombs: nobody in the trade uses those.
    Charge,
    /// Seconds.
    Time,
    /// A share of one.
    Share,
    /// Degrees Celsius.
    Temperature,
    /// American wire gauge, as the number says.
    Gauge,
    /// Square millimetres.
    Area,
    /// Ohms per metre.
    ResistancePerLength,
    /// Farads.
    Capacitance,
    /// Farads per metre.
    CapacitancePerLength,
}

impl Dimension {
    /// What people call it: `a length`.
    pub fn name(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Current => "a current",
            Dimension::Voltage => "a voltage",
            Dimension::Power => "a power",
            Dimension::Resistance => "a resistance",
            Dimension::Charge => "a battery capacity",
            Dimension::Time => "a time",
            Dimension::Share => "a share",
            Dimension::Temperature => "a temperature",
            Dimension::Gauge => "a wire gauge",
            Dimension::Area => "a cross-section",
            Dimension::ResistancePerLength => "a resistance per length",
            Dimension::Capacitance => "a capacitance",
            Dimension::CapacitancePerLength => "a capacitance per length",
        }
    }

    /// Whether there is less of it than none.
    pub fn is_signed(self) -> bool {
        matches!(self, Dimension::Temperature | Dimension::Gauge)
    }

    /// The unit that people mostly use for it: the first one.
    pub fn usual(self) -> &'static Unit {
        static NONE: Unit = unit_of(&[], Dimension::Share, 1.0);
        self.units().next().unwrap_or(&NONE)
    }

    /// The units that measure it.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| unit.dimension == self)
    }
}

/// A unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// How it is written; the first is the usual way.
    pub names: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// What one of it is in the dimension's own unit.
    pub factor: f64,
    /// What is added after the factor: only temperatures have one.
    pub offset: f64,
}

impl Unit {
    /// A number of this unit in the dimension's own unit.
    pub fn to_own_unit(&self, number: f64) -> f64 {
        number * self.factor + self.offset
    }

    /// The same of a number in a plan; `None` if there is never so much, or so little.
    pub fn read(&self, number: f64) -> Option<f64> {
        Some(self.to_own_unit(number)).filter(|value| can_be(*value))
    }

    /// The inverse of [`Unit::to_own_unit`].
    pub fn from_own_unit(&self, value: f64) -> f64 {
        (value - self.offset) / self.factor
    }

    /// How it is written behind a number: `1 day`, `2 days`.
    pub fn name_behind(&self, number: &str) -> &'static str {
        let one = self.name().strip_suffix('s').filter(|_| number == "1");
        let mut names = self.names.iter().copied();
        names
            .find(|name| Some(*name) == one)
            .unwrap_or_else(|| self.name())
    }

    /// How it is usually written.
    pub fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or("")
    }
}

const fn unit_of(names: &'static [&'static str], dimension: Dimension, factor: f64) -> Unit {
    Unit {
        names,
        dimension,
        factor,
        offset: 0.0,
    }
}

/// Whether there is so much of anything: from far below a picofarad to ages in seconds. What is
/// computed of such numbers stays a number, where a slip of four hundred digits would not.
pub fn can_be(value: f64) -> bool {
    value == 0.0 || (1e-15..1e12).contains(&value.abs())
}

const FOOT: f64 = 0.3048;

/// Every unit, those of a dimension together. Factors are exact by definition (SI; international foot and inch).
pub const UNITS: &[Unit] = &[
    unit_of(&["m"], Dimension::Length, 1.0),
    unit_of(&["mm"], Dimension::Length, 1e-3),
    unit_of(&["cm"], Dimension::Length, 1e-2),
    unit_of(&["km"], Dimension::Length, 1e3),
    unit_of(&["ft"], Dimension::Length, FOOT),
    unit_of(&["yd"], Dimension::Length, 3.0 * FOOT),
    unit_of(&["mA"], Dimension::Current, 1e-3),
    unit_of(&["A"], Dimension::Current, 1.0),
    unit_of(&["µA", "μA", "uA"], Dimension::Current, 1e-6),
    unit_of(&["V"], Dimension::Voltage, 1.0),
    unit_of(&["mV"], Dimension::Voltage, 1e-3),
    unit_of(&["W"], Dimension::Power, 1.0),
    unit_of(&["mW"], Dimension::Power, 1e-3),
    unit_of(&["VA"], Dimension::Power, 1.0),
    unit_of(&["ohm", "Ω", "\u{2126}"], Dimension::Resistance, 1.0),
    unit_of(&["kohm", "kΩ", "k\u{2126}"], Dimension::Resistance, 1e3),
    unit_of(&["mohm", "mΩ", "m\u{2126}"], Dimension::Resistance, 1e-3),
    unit_of(&["Mohm", "MΩ", "M\u{2126}"], Dimension::Resistance, 1e6),
    unit_of(&["Ah"], Dimension::Charge, 1.0),
    unit_of(&["mAh"], Dimension::Charge, 1e-3),
    unit_of(&["s"], Dimension::Time, 1.0),
    unit_of(&["min"], Dimension::Time, 60.0),
    unit_of(&["h"], Dimension::Time, 3600.0),
    unit_of(&["days", "day"], Dimension::Time, 86_400.0),
    unit_of(&["years", "year"], Dimension::Time, 365.25 * 86_400.0),
    unit_of(&["%"], Dimension::Share, 1e-2),
    unit_of(&["°C", "degC"], Dimension::Temperature, 1.0),
    Unit {
        names: &["°F", "degF"],
        dimension: Dimension::Temperature,
        factor: 5.0 / 9.0,
        offset: -160.0 / 9.0,
    },
    unit_of(&["AWG"], Dimension::Gauge, 1.0),
    unit_of(&["mm²", "mm2"], Dimension::Area, 1.0),
    unit_of(
        &["ohm/km", "Ω/km", "\u{2126}/km"],
        Dimension::ResistancePerLength,
        1e-3,
    ),
    unit_of(
        &["ohm/m", "Ω/m", "\u{2126}/m"],
        Dimension::ResistancePerLength,
        1.0,
    ),
    unit_of(
        &["mohm/m", "mΩ/m", "m\u{2126}/m"],
        Dimension::ResistancePerLength,
        1e-3,
    ),
    unit_of(
        &["ohm/kft", "Ω/kft", "\u{2126}/kft"],
        Dimension::ResistancePerLength,
        1e-3 / FOOT,
    ),
    unit_of(
        &["ohm/ft", "Ω/ft", "\u{2126}/ft"],
        Dimension::ResistancePerLength,
        1.0 / FOOT,
    ),
    unit_of(
        &["mohm/ft", "mΩ/ft", "m\u{2126}/ft"],
        Dimension::ResistancePerLength,
        1e-3 / FOOT,
    ),
    unit_of(&["nF"], Dimension::Capacitance, 1e-9),
    unit_of(&["pF"], Dimension::Capacitance, 1e-12),
    unit_of(&["µF", "μF", "uF"], Dimension::Capacitance, 1e-6),
    unit_of(&["pF/m"], Dimension::CapacitancePerLength, 1e-12),
    unit_of(&["nF/km"], Dimension::CapacitancePerLength, 1e-12),
    unit_of(&["pF/ft"], Dimension::CapacitancePerLength, 1e-12 / FOOT),
];

/// The unit of that name.
pub fn unit(name: &str) -> Option<&'static Unit> {
    // It is asked for every amount, over and over.
    static NAMED: LazyLock<FxHashMap<&str, &Unit>> = LazyLock::new(|| {
        let names = UNITS
            .iter()
            .flat_map(|unit| unit.names.iter().map(move |name| (*name, unit)));
        names.collect()
    });
    NAMED.get(name).copied()
}

/// A value in the unit that people would use for its size, with at most three
/// significant digits: `0.0451` A is `45.1 mA`.
pub fn in_usual_unit(value: f64, dimension: Dimension) -> String {
    let small = value.abs();
    let name = match dimension {
        Dimension::Current if small < 1.0 => "mA",
        Dimension::Current => "A",
        Dimension::Resistance if small >= 1000.0 => "kohm",
        Dimension::Resistance => "ohm",
        Dimension::Time if small >= 3600.0 => "h",
        Dimension::Time if small >= 60.0 => "min",
        Dimension::Capacitance => "nF",
        _ => "",
    };
    written(value, unit(name).unwrap_or(dimension.usual()))
}

/// A value in a unit, with at most three significant digits.
pub(super) fn written(value: f64, unit: &Unit) -> String {
    let number = significant(unit.from_own_unit(value), 3);
    format!("{number} {}", unit.name())
}

/// Hours, which batteries are reckoned in, as people would write them; what draws nothing never
/// empties one.
pub fn hours(value: f64) -> String {
    match value.is_finite() {
        true => in_usual_unit(value * 3600.0, Dimension::Time),
        false => "for ever".to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_without_an_end_are_no_number() {
        assert_eq!(hours(12.0), "12 h");
        assert_eq!(hours(f64::INFINITY), "for ever");
    }

    #[test]
    fn no_name_stands_for_two_units() {
        let mut names: Vec<_> = UNITS.iter().flat_map(|unit| unit.names).collect();
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    #[test]
    fn units_of_a_dimension_stand_together() {
        let groups = UNITS.chunk_by(|a, b| a.dimension == b.dimension);
        let mut seen = rustc_hash::FxHashSet::default();
        for unit in groups.filter_map(<[Unit]>::first) {
            assert!(seen.insert(unit.dimension), "{}", unit.dimension.name());
        }
    }

    #[test]
    fn temperatures_have_an_offset() {
        let fahrenheit = unit("degF").unwrap();
        assert!((fahrenheit.to_own_unit(77.0) - 25.0).abs() < 1e-12);
        assert!((fahrenheit.from_own_unit(25.0) - 77.0).abs() < 1e-12);
    }

    #[test]
    fn values_are_shown_in_the_usual_unit() {
        assert_eq!(in_usual_unit(0.0451, Dimension::Current), "45.1 mA");
        assert_eq!(in_usual_unit(1.25, Dimension::Current), "1.25 A");
        assert_eq!(in_usual_unit(2200.0, Dimension::Resistance), "2.2 kohm");
        assert_eq!(in_usual_unit(43_200.0, Dimension::Time), "12 h");
        assert_eq!(in_usual_unit(13.8, Dimension::Voltage), "13.8 V");
        assert_eq!(in_usual_unit(350.0, Dimension::Length), "350 m");
    }
}
