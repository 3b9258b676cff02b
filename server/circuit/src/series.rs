//! Preferred resistor values: what can be bought when a sum asks for some odd number of ohms.
//!
//! Source: IEC 60063. The E12 and E24 values are the standard's own list, since they do not follow
//! the rounding rule; E96 does, so it is computed.

/// A series of preferred values, with the tolerance that it is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Series {
    /// Twelve values a decade, 10 %.
    E12,
    /// Twenty-four values a decade, 5 %.
    E24,
    /// Ninety-six values a decade, 1 %.
    E96,
}

/// Every second value is E12.
const E24: [u16; 24] = [
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
];

impl Series {
    /// How far a resistor of the series may be from its value: 0.01 is 1 %.
    pub fn tolerance(self) -> f64 {
        match self {
            Series::E12 => 0.10,
            Series::E24 => 0.05,
            Series::E96 => 0.01,
        }
    }

    /// The values of one decade in rising order, as three digits: 100 up to 976.
    pub fn decade(self) -> Vec<u16> {
        match self {
            Series::E12 => E24.iter().step_by(2).map(|value| value * 10).collect(),
            Series::E24 => E24.iter().map(|value| value * 10).collect(),
            Series::E96 => (0..96)
                .map(|n| (100.0 * 10_f64.powf(f64::from(n) / 96.0)).round() as u16)
                .collect(),
        }
    }

    /// The value nearest to `ohms` by ratio, since tolerances are ratios. `None` unless `ohms` is
    /// a finite number above zero.
    pub fn nearest(self, ohms: f64) -> Option<f64> {
        let distance = |value: f64| (value / ohms).ln().abs();
        self.around(ohms)?
            .min_by(|a, b| distance(*a).total_cmp(&distance(*b)))
    }

    /// The least value that is not below `ohms`. `None` unless `ohms` is a finite number above
    /// zero.
    pub fn at_least(self, ohms: f64) -> Option<f64> {
        // A hair of room, so that 4700 asked for as 4699.9999999999995 or its like stays 4700.
        self.around(ohms)?
            .find(|value| *value >= ohms * (1.0 - 1e-12))
    }

    /// Values from the decade below `ohms` to the one above, rising.
    fn around(self, ohms: f64) -> Option<impl Iterator<Item = f64>> {
        // Beyond these no resistor is made, and the powers of ten would leave the numbers' range.
        if !(1e-9..=1e15).contains(&ohms) {
            return None;
        }
        let power = ohms.log10().floor() as i32 - 2;
        let decade = self.decade();
        Some((power - 1..=power + 1).flat_map(move |power| {
            decade
                .clone()
                .into_iter()
                .map(move |digits| times_power_of_ten(digits, power))
        }))
    }
}

/// Exact where the result is a whole number, and the nearest number otherwise: dividing rounds
/// once, multiplying by 0.1 would round twice.
fn times_power_of_ten(digits: u16, power: i32) -> f64 {
    if power < 0 {
        f64::from(digits) / 10_f64.powi(-power)
    } else {
        f64::from(digits) * 10_f64.powi(power)
    }
}
