//! Preferred resistor values: what can be bought when a sum asks for some odd number of ohms.
//!
//! A series lists the values of one decade, and every decade repeats them. The lists themselves
//! (IEC 60063) are not here: they are part of the library of plans, like cables and batteries.

/// A series of preferred values, with the tolerance that it is made for.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    tolerance: f64,
    /// One decade, rising: each value as it is listed, and its power of ten.
    decade: Vec<(f64, i32)>,
}

impl Series {
    /// A series of the values of one decade, in any unit: 10, 12, 15 or 100, 120, 150. `tolerance`
    /// is how far a resistor may be from its value: 0.01 is 1 %. `None` unless there are values,
    /// and all of them are numbers above zero that a resistor can have.
    pub fn new(tolerance: f64, values: impl IntoIterator<Item = f64>) -> Option<Series> {
        let mut decade = Vec::new();
        for value in values {
            decade.push((value, power_of(value)?));
        }
        decade.sort_by(|a, b| leading(*a).total_cmp(&leading(*b)));
        decade.dedup_by(|a, b| leading(*a) == leading(*b));
        (!decade.is_empty()).then_some(Series { tolerance, decade })
    }

    /// How far a resistor of the series may be from its value: 0.01 is 1 %.
    pub fn tolerance(&self) -> f64 {
        self.tolerance
    }

    /// The values from `least` to `most` ohms, rising. Nothing if these are no resistances.
    pub fn values(&self, least: f64, most: f64) -> impl Iterator<Item = f64> + '_ {
        let powers = match (power_of(least), power_of(most)) {
            (Some(first), Some(last)) => first..last + 1,
            _ => 0..0,
        };
        let all = powers.flat_map(move |power| self.at(power));
        all.filter(move |value| (least..=most).contains(value))
    }

    /// The value nearest to `ohms` by ratio, since tolerances are ratios. `None` unless `ohms` is
    /// a resistance above zero.
    pub fn nearest(&self, ohms: f64) -> Option<f64> {
        let power = power_of(ohms)?;
        let distance = |value: f64| (value / ohms).ln().abs();
        let around = (power - 1..=power + 1).flat_map(|power| self.at(power));
        around.min_by(|a, b| distance(*a).total_cmp(&distance(*b)))
    }

    /// Whether the series has a value, to nine digits.
    pub fn has(&self, ohms: f64) -> bool {
        let nearest = self.nearest(ohms);
        nearest.is_some_and(|nearest| (nearest - ohms).abs() <= 1e-9 * ohms)
    }

    /// The values of one decade, rising, from `10^power` up.
    fn at(&self, power: i32) -> impl Iterator<Item = f64> + '_ {
        let decade = self.decade.iter();
        decade.map(move |(listed, own)| times_power_of_ten(*listed, power - own))
    }
}

/// The value between 1 and 10.
fn leading((listed, power): (f64, i32)) -> f64 {
    times_power_of_ten(listed, -power)
}

/// The power of ten that a resistance starts with. Beyond these no resistor is made, and the
/// powers would leave the numbers' range.
fn power_of(ohms: f64) -> Option<i32> {
    let made = (1e-9..=1e15).contains(&ohms);
    made.then(|| ohms.log10().floor() as i32)
}

/// Exact where the result is a whole number, and the nearest number otherwise: dividing rounds
/// once, multiplying by 0.1 would round twice.
fn times_power_of_ten(value: f64, power: i32) -> f64 {
    if power < 0 {
        value / 10_f64.powi(-power)
    } else {
        value * 10_f64.powi(power)
    }
}
