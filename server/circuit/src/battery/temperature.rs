//! How much larger a lead-acid battery must be for the cold.

use std::ops::RangeInclusive;

/// Degrees Fahrenheit and the factor on capacity, base 77 °F.
///
/// Source: IEEE 485, read in a third-party chart; the three coldest rows are from memory.
const TABLE: [(f64, f64); 19] = [
    (25.0, 1.52),
    (30.0, 1.43),
    (35.0, 1.35),
    (40.0, 1.30),
    (45.0, 1.25),
    (50.0, 1.19),
    (55.0, 1.15),
    (60.0, 1.11),
    (65.0, 1.08),
    (68.0, 1.056),
    (70.0, 1.04),
    (77.0, 1.00),
    (80.0, 0.98),
    (85.0, 0.96),
    (90.0, 0.94),
    (95.0, 0.93),
    (100.0, 0.91),
    (110.0, 0.88),
    (120.0, 0.86),
];

/// Where the table has values, degrees Celsius. Outside, [`temperature_factor`] goes beyond its
/// source.
pub const TABLED_CELSIUS: RangeInclusive<f64> = -35.0 / 9.0..=440.0 / 9.0;

/// The factor on capacity at a battery's temperature (IEEE 485, base 25 °C): 1.3 means that the
/// cold battery must be rated 30 % larger.
///
/// Straight between the table's rows. Colder than the table it carries on with the coldest slope,
/// which is ours and not the standard's; hotter than the table it stays.
pub fn temperature_factor(celsius: f64) -> f64 {
    let fahrenheit = celsius * 9.0 / 5.0 + 32.0;
    let [.., last] = TABLE;
    if fahrenheit >= last.0 {
        return last.1;
    }
    TABLE
        .iter()
        .zip(TABLE.iter().skip(1))
        .find(|(_, above)| fahrenheit < above.0)
        .map_or(last.1, |(below, above)| {
            below.1 + (above.1 - below.1) * (fahrenheit - below.0) / (above.0 - below.0)
        })
}
