//! Lengths, what cable resists along them, and temperatures, in the units of the site.

use super::{fixed, short};
use crate::decimal;
use crate::model::Site;
use crate::vocabulary::{Dimension, Measures};

/// How the sums of a site write them.
#[derive(Clone, Copy)]
pub(super) struct Along(Measures);

impl Along {
    pub fn of(site: &Site) -> Along {
        Along(site.measures())
    }

    /// The titles of two columns: a length, and ohms along it.
    pub fn titles(self) -> [String; 2] {
        [Dimension::Length, Dimension::ResistancePerLength]
            .map(|dimension| format!(" {}", self.0.usual(dimension).name()))
    }

    /// A length under its title.
    pub fn length(self, metres: f64) -> String {
        short(self.0.number(metres, Dimension::Length))
    }

    /// A length by itself.
    pub fn full_length(self, metres: f64) -> String {
        self.full(metres, Dimension::Length, short)
    }

    /// What one core resists, under its title. A thousand feet resist less than a kilometre,
    /// which takes one decimal more.
    pub fn ohms(self, ohms_per_metre: f64, decimals: usize) -> String {
        let ohms = self
            .0
            .number(ohms_per_metre, Dimension::ResistancePerLength);
        fixed(ohms, decimals + usize::from(self.0.in_feet()))
    }

    /// The same by itself.
    pub fn full_ohms(self, ohms_per_metre: f64, decimals: usize) -> String {
        let unit = self.0.usual(Dimension::ResistancePerLength).name();
        format!("{} {unit}", self.ohms(ohms_per_metre, decimals))
    }

    /// How ohms and volts of a leg come about.
    pub fn both_conductors(self) -> String {
        let sum = self.sum();
        format!("Ohm is both conductors: 2 x {sum}; V lost is ohm x A.")
    }

    /// How the ohms of a core come about.
    pub fn sum(self) -> &'static str {
        match self.0.in_feet() {
            true => "feet x ohm/kft / 1000",
            false => "metres x ohm/km / 1000",
        }
    }

    /// A temperature that the plan says.
    pub fn temperature(self, celsius: f64) -> String {
        self.full(celsius, Dimension::Temperature, short)
    }

    /// One of a table, which may be of the other unit.
    pub fn tabled_temperature(self, celsius: f64) -> String {
        let tenths = |value| decimal::short(value, 1);
        self.full(celsius, Dimension::Temperature, tenths)
    }

    fn full(self, value: f64, dimension: Dimension, write: fn(f64) -> String) -> String {
        let unit = self.0.usual(dimension).name();
        format!("{} {unit}", write(self.0.number(value, dimension)))
    }
}
