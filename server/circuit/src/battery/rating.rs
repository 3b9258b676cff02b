//! A battery model's capacity at the rates that its sheet gives, and in between.

/// Peukert's exponent where a sheet gives one rate only.
///
/// Source: the upper end of 1.05 to 1.15 for absorbed glass mat, read on a battery vendor's page;
/// that it suits sealed batteries of the alarm trade is from memory.
pub const PEUKERT: f64 = 1.15;

/// The rate that capacities are named at, hours.
const NOMINAL_HOURS: f64 = 20.0;

/// One line of a battery's sheet: this much when emptied evenly over this time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// The time.
    pub hours: f64,
    /// The capacity over that time.
    pub ampere_hours: f64,
}

impl Rate {
    fn amperes(&self) -> f64 {
        self.ampere_hours / self.hours
    }
}

/// A battery model's rates, known to make sense together.
#[derive(Debug, Clone, PartialEq)]
pub struct Ratings {
    /// As given, longest time first.
    rates: Vec<Rate>,
    /// 20-hour capacity, given or derived.
    nominal: f64,
    /// ln amperes and ln ampere-hours, from the 20-hour rate on, amperes rising.
    points: Vec<(f64, f64)>,
    /// d ln ampere-hours / d ln amperes beyond the last point.
    last_slope: f64,
}

/// Why rates make no sense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BadRatings {
    /// There is no rate.
    Empty,
    /// Hours or ampere-hours are not a finite number above zero.
    NotPositive(Rate),
    /// Two lines for the same time.
    Twice(Rate, Rate),
    /// The shorter time has the larger capacity, or needs no larger current.
    OutOfOrder {
        /// The line with the longer time.
        longer: Rate,
        /// The line with the shorter time.
        shorter: Rate,
    },
}

impl Ratings {
    /// Checks and sorts the lines of a battery's sheet.
    ///
    /// # Errors
    /// See [`BadRatings`]: no line, a value that is not above zero, or lines that contradict one
    /// another.
    pub fn new(mut rates: Vec<Rate>) -> Result<Ratings, BadRatings> {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        for rate in &rates {
            if !positive(rate.hours) || !positive(rate.ampere_hours) {
                return Err(BadRatings::NotPositive(*rate));
            }
        }
        rates.sort_by(|a, b| b.hours.total_cmp(&a.hours));
        for (longer, shorter) in rates.iter().zip(rates.iter().skip(1)) {
            if longer.hours == shorter.hours {
                return Err(BadRatings::Twice(*longer, *shorter));
            }
            if shorter.ampere_hours > longer.ampere_hours || shorter.amperes() <= longer.amperes() {
                return Err(BadRatings::OutOfOrder {
                    longer: *longer,
                    shorter: *shorter,
                });
            }
        }

        let nominal = nominal(&rates).ok_or(BadRatings::Empty)?;
        let logarithms = |rate: &Rate| (rate.amperes().ln(), rate.ampere_hours.ln());
        let at_20_hours = Rate {
            hours: NOMINAL_HOURS,
            ampere_hours: nominal,
        };
        let mut points = vec![logarithms(&at_20_hours)];
        points.extend(
            rates
                .iter()
                .filter(|rate| rate.hours < NOMINAL_HOURS)
                .map(logarithms),
        );
        let last_slope = match rates.as_slice() {
            [.., a, b] => slope(logarithms(a), logarithms(b)),
            _ => 1.0 - PEUKERT,
        };
        Ok(Ratings {
            rates,
            nominal,
            points,
            last_slope,
        })
    }

    /// The lines, longest time first.
    pub fn rates(&self) -> &[Rate] {
        &self.rates
    }

    /// Whether one line only is known, so that other rates follow [`PEUKERT`].
    pub fn single(&self) -> bool {
        self.rates.len() == 1
    }

    /// Capacity at the 20-hour rate, ampere-hours: the sheet's, or derived from its other lines.
    pub fn nominal(&self) -> f64 {
        self.nominal
    }

    /// The share of its 20-hour capacity that a battery of `capacity` (ampere-hours at the 20-hour
    /// rate) gives at a current.
    ///
    /// All of it up to the 20-hour rate. Beyond, capacity over current is a straight line on
    /// logarithmic scales between the sheet's lines, and carries on with the last slope. A
    /// battery that is not of the sheet's size behaves as that one does at the same current in
    /// proportion to capacity.
    pub fn fraction(&self, amperes: f64, capacity: f64) -> f64 {
        let scaled = amperes * self.nominal / capacity;
        let x = scaled.ln();
        let (first, last) = match (self.points.first(), self.points.last()) {
            (Some(first), Some(last)) => (*first, *last),
            _ => return 1.0,
        };
        if scaled.is_nan() || x <= first.0 {
            return 1.0;
        }
        let ln_capacity = if x > last.0 {
            last.1 + self.last_slope * (x - last.0)
        } else {
            self.points
                .iter()
                .zip(self.points.iter().skip(1))
                .find(|(_, after)| x <= after.0)
                .map_or(last.1, |(before, after)| {
                    before.1 + slope(*before, *after) * (x - before.0)
                })
        };
        (ln_capacity - first.1).exp()
    }
}

/// Capacity at the 20-hour rate. On logarithmic scales capacity is taken as straight over time,
/// which is the same as straight over current.
fn nominal(rates: &[Rate]) -> Option<f64> {
    if let Some(rate) = rates.iter().find(|rate| rate.hours == NOMINAL_HOURS) {
        return Some(rate.ampere_hours);
    }
    let (from, slope_over_hours) = match rates {
        [] => return None,
        // I^k t is constant, so capacity grows as t^(1 - 1/k).
        [only] => (only, 1.0 - 1.0 / PEUKERT),
        _ => {
            // The pair around 20 hours, or the pair nearest to it.
            let after = rates
                .iter()
                .position(|rate| rate.hours < NOMINAL_HOURS)
                .unwrap_or(rates.len() - 1)
                .max(1);
            let (a, b) = (&rates[after - 1], &rates[after]);
            let logarithms = |rate: &Rate| (rate.hours.ln(), rate.ampere_hours.ln());
            (a, slope(logarithms(a), logarithms(b)))
        }
    };
    Some(from.ampere_hours * (NOMINAL_HOURS / from.hours).powf(slope_over_hours))
}

fn slope(from: (f64, f64), to: (f64, f64)) -> f64 {
    (to.1 - from.1) / (to.0 - from.0)
}
