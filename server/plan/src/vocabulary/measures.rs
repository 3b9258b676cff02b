//! The units that a plan is written in, where people differ in what they think in.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use super::digits::{self, told_apart};
use super::units::{self, written};
use super::{Dimension, Unit, unit};
use crate::decimal::round;
use crate::source::{Item, Span, Statement};

/// What lengths and temperatures are said in: metres and °C, or feet and °F, each by itself.
/// What is counted along a length goes with the lengths: ohm/km, or ohm/kft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Measures {
    feet: bool,
    fahrenheit: bool,
}

impl Item {
    /// What most of its lengths and its temperatures are written in. Where it writes only
    /// the one, the other is what goes with it; metres and °C where it writes neither.
    pub fn measures(&self) -> Measures {
        *self.derived.get_or_make(|| {
            let mut tally = Tally::default();
            tally.count(self, self.root());
            tally.measures()
        })
    }

    /// The same for a leg of it: the length in what it is itself written in.
    pub fn measures_of_leg(&self, leg: Span) -> Measures {
        let length = self.text(leg).trim_matches('-').trim_end();
        let name = length.trim_start_matches(|c: char| !c.is_alphabetic());
        let feet = unit(name).and_then(is_of_feet);
        let all = self.measures();
        Measures {
            feet: feet.unwrap_or(all.feet),
            ..all
        }
    }
}

impl Measures {
    /// Whether lengths are said in feet.
    pub fn in_feet(self) -> bool {
        self.feet
    }

    /// The unit that amounts of a dimension are said in unless their size asks for another.
    pub fn usual(self, dimension: Dimension) -> &'static Unit {
        self.instead_of(dimension.usual())
    }

    /// The unit that the plan has instead of one that is used in an example.
    pub fn instead_of(self, unit: &'static Unit) -> &'static Unit {
        self.other(unit.dimension).unwrap_or(unit)
    }

    /// The units of a dimension, the usual one first.
    pub fn units(self, dimension: Dimension) -> impl Iterator<Item = &'static Unit> {
        let usual = self.usual(dimension);
        let others = dimension.units().filter(move |unit| *unit != usual);
        std::iter::once(usual).chain(others)
    }

    /// A value in the usual unit.
    pub fn number(self, value: f64, dimension: Dimension) -> f64 {
        self.usual(dimension).from_own_unit(value)
    }

    /// The same as [`in_usual_unit`](super::in_usual_unit).
    pub fn in_usual_unit(self, value: f64, dimension: Dimension) -> String {
        match self.other(dimension) {
            Some(unit) => written(value, unit),
            None => units::in_usual_unit(value, dimension),
        }
    }

    /// The same as [`value_and_limit`](super::value_and_limit).
    pub fn value_and_limit(self, value: f64, limit: f64, dimension: Dimension) -> (String, String) {
        match self.other(dimension) {
            Some(unit) => told_apart(value, limit, unit),
            None => digits::value_and_limit(value, limit, dimension),
        }
    }

    /// A piece of a plan that shows how something is written, in the units of this plan and
    /// round numbers of them: `--12 m--`, or `--40 ft--`.
    pub fn example(self, text: &'static str) -> Cow<'static, str> {
        if self == Measures::default() {
            return text.into();
        }
        let (mut written, mut rest) = (String::new(), text);
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            let (before, number) = rest.split_at(start);
            let (number, behind) = split_where(number, |c| !c.is_ascii_digit() && c != '.');
            let (before, sign) = split_sign(before);
            let (name, behind_unit) = split_where(behind.trim_start_matches(' '), |c| {
                !c.is_alphabetic() && !['/', '°'].contains(&c)
            });
            let other = unit(name).and_then(|unit| {
                let number = format!("{sign}{number}").parse().ok()?;
                let other = self.other(unit.dimension)?;
                Some((other.from_own_unit(unit.to_own_unit(number)), other))
            });
            written += before;
            rest = match other {
                Some((number, other)) => {
                    written += &format!("{} {}", round(number), other.name());
                    behind_unit
                }
                None => {
                    written += sign;
                    written += number;
                    behind
                }
            };
        }
        written += rest;
        written.into()
    }

    /// The unit of a dimension that is used in place of the one that most use.
    fn other(self, dimension: Dimension) -> Option<&'static Unit> {
        unit(match dimension {
            Dimension::Length if self.feet => "ft",
            Dimension::ResistancePerLength if self.feet => "ohm/kft",
            Dimension::CapacitancePerLength if self.feet => "pF/ft",
            Dimension::Temperature if self.fahrenheit => "°F",
            _ => return None,
        })
    }
}

/// The two units, as [`Measures::from_str`] reads them.
impl fmt::Display for Measures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [length, temperature] = [Dimension::Length, Dimension::Temperature]
            .map(|dimension| self.usual(dimension).name());
        write!(f, "{length}/{temperature}")
    }
}

impl FromStr for Measures {
    type Err = ();

    fn from_str(text: &str) -> Result<Measures, ()> {
        let (length, temperature) = text.split_once('/').ok_or(())?;
        Ok(Measures {
            feet: length == "ft",
            fahrenheit: temperature == "°F",
        })
    }
}

/// What stands before a number, and the number's minus: a hyphen with a space in front.
fn split_sign(before: &str) -> (&str, &str) {
    match before.strip_suffix('-') {
        Some(rest) if rest.is_empty() || rest.ends_with(' ') => before.split_at(rest.len()),
        _ => (before, ""),
    }
}

fn split_where(text: &str, ends: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(ends).unwrap_or(text.len()))
}

/// Whether a unit of length, or of what is counted along one, is of those with feet.
fn is_of_feet(unit: &Unit) -> Option<bool> {
    let is_along = matches!(
        unit.dimension,
        Dimension::Length | Dimension::ResistancePerLength | Dimension::CapacitancePerLength
    );
    is_along.then(|| unit.name() == "yd" || unit.name().ends_with("ft"))
}

/// How many more are written in feet than in metres, and in °F than in °C.
#[derive(Default)]
struct Tally {
    feet: i64,
    fahrenheit: i64,
}

impl Tally {
    fn count(&mut self, item: &Item, statement: &Statement) {
        let units = statement.quantities().filter_map(|quantity| quantity.unit);
        for unit in units.filter_map(|span| unit(item.text(span))) {
            let more = |is_one: bool| if is_one { 1 } else { -1 };
            if let Some(feet) = is_of_feet(unit) {
                self.feet += more(feet);
            } else if unit.dimension == Dimension::Temperature {
                self.fahrenheit += more(unit.name() == "°F");
            }
        }
        for inner in &statement.body {
            self.count(item, inner);
        }
    }

    fn measures(&self) -> Measures {
        let either = |own: i64, other: i64| own > 0 || own == 0 && other > 0;
        Measures {
            feet: either(self.feet, self.fahrenheit),
            fahrenheit: either(self.fahrenheit, self.feet),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{File, FilePath};

    fn measures(text: &str) -> Measures {
        let file = File::new(FilePath::new("a.bell"), text);
        let (_, item) = file.items().next().expect("an item");
        item.measures()
    }

    const FEET: Measures = Measures {
        feet: true,
        fahrenheit: true,
    };

    #[test]
    fn a_site_is_measured_in_what_most_of_it_is_written_in() {
        let site = |lines: &str| measures(&format!("site a {{\n{lines}\n}}\n"));
        let metres = Measures::default();
        assert_eq!(site(""), metres);
        assert_eq!(site("run r : c { a --12 m-- b --40 ft-- c }"), metres);
        assert_eq!(
            site("run r : c { a --9 yd-- b --40 ft-- c --3 m-- d }"),
            FEET
        );
        assert_eq!(site("ambient 40 .. 95 degF"), FEET);
        let canadian = site("ambient 5 °C .. 35 °C\nrun r : c { a --40 ft-- b }");
        assert_eq!((canadian.feet, canadian.fahrenheit), (true, false));
        assert_eq!(
            measures("model cable c { resistance 16.5 ohm/kft }\n"),
            FEET
        );
    }

    #[test]
    fn amounts_are_said_in_the_units_of_the_plan() {
        let said = |value, dimension| FEET.in_usual_unit(value, dimension);
        assert_eq!(said(120.0 * 0.3048, Dimension::Length), "120 ft");
        assert_eq!(said(35.0, Dimension::Temperature), "95 °F");
        assert_eq!(said(0.0541, Dimension::ResistancePerLength), "16.5 ohm/kft");
        assert_eq!(said(1e-10, Dimension::CapacitancePerLength), "30.5 pF/ft");
        assert_eq!(said(0.045, Dimension::Current), "45 mA");
        // Of a limit in metres the digits show that it is missed.
        let (has, may) = FEET.value_and_limit(350.02, 350.0, Dimension::Length);
        assert_eq!((has.as_str(), may.as_str()), ("1148.4 ft", "1148.3 ft"));
    }

    #[test]
    fn examples_are_in_round_numbers() {
        let plan = "run a-4 : copper-4x22AWG { main.2 --12 m-- b --31 m-- c }";
        assert_eq!(Measures::default().example(plan), plan);
        assert_eq!(
            FEET.example(plan),
            "run a-4 : copper-4x22AWG { main.2 --40 ft-- b --100 ft-- c }"
        );
        assert_eq!(
            FEET.example("ambient 5 °C .. 35 °C"),
            "ambient 40 °F .. 100 °F"
        );
        assert_eq!(
            FEET.example("ambient -20 °C .. -10 °C"),
            "ambient -4 °F .. 10 °F"
        );
        assert_eq!(FEET.example("-3 m a-3 m"), "-10 ft a-10 ft");
        assert_eq!(FEET.example("--0.09 m--"), "--0.3 ft--");
        assert_eq!(FEET.example("capacitance 100 pF/m"), "capacitance 30 pF/ft");
        assert_eq!(
            FEET.example("output aux 13.8 V, limit 1"),
            "output aux 13.8 V, limit 1"
        );
    }

    #[test]
    fn nothing_has_no_sign() {
        for nothing in ["0 °F", "0 °C"] {
            let (_, name) = nothing.split_once(' ').expect("a unit");
            let unit = unit(name).expect("a unit");
            assert_eq!(written(unit.to_own_unit(0.0), unit), nothing);
        }
    }
}
