//! Standby batteries: how much one must hold, how long the fitted one lasts, how long it charges.
//!
//! Lead-acid throughout, a 12 V block of six cells. A battery gives less of its capacity the
//! faster it is emptied, so a demand cannot be summed without knowing the battery's rates: the
//! capacity asked for is the fixed point of a sum that it stands in itself.
//!
//! Batteries can deliver hundreds of amperes into a short circuit; the figures here size them and
//! say nothing of how they are to be handled.

mod rating;
mod temperature;

pub use rating::{BadRatings, PEUKERT, Rate, Ratings};
pub use temperature::{TABLED_CELSIUS, temperature_factor};

/// Ampere-hours that must be put in for each that was taken out.
///
/// Source: IEEE 946, from memory.
pub const CHARGE_FACTOR: f64 = 1.1;

/// Volts of a 12 V block at which it counts as empty: 1.75 V a cell.
///
/// *Common practice*, from memory: capacities of lead-acid batteries are named down to this.
pub const END_OF_DISCHARGE: f64 = 10.5;

/// Volts of a full 12 V block that is off charge, at the start of a discharge.
///
/// From memory: typical.
pub const FULL: f64 = 12.7;

/// What a battery is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Current in standby, amperes.
    pub standby_amperes: f64,
    /// How long in standby, hours.
    pub standby_hours: f64,
    /// Current in alarm, amperes.
    pub alarm_amperes: f64,
    /// How long in alarm after that, hours.
    pub alarm_hours: f64,
    /// Capacity kept in hand for the battery's last year; 1.25 is 25 % more. The usual 1.25 is
    /// IEEE 485's, from memory.
    pub ageing: f64,
    /// Capacity kept in hand for the cold: see [`temperature_factor`].
    pub temperature_factor: f64,
}

impl Demand {
    /// Ampere-hours at the 20-hour rate that the demand takes out of a battery of `capacity`.
    fn taken(&self, ratings: &Ratings, capacity: f64) -> f64 {
        let part = |amperes: f64, hours: f64| {
            let ampere_hours = amperes * hours;
            if ampere_hours <= 0.0 {
                0.0
            } else {
                ampere_hours / ratings.fraction(amperes, capacity)
            }
        };
        self.ageing
            * self.temperature_factor
            * (part(self.standby_amperes, self.standby_hours)
                + part(self.alarm_amperes, self.alarm_hours))
    }
}

/// The least capacity that meets the demand, ampere-hours at the 20-hour rate, for a battery that
/// behaves like the rated one.
///
/// `C = a k (I_s T_s / f(I_s) + I_a T_a / f(I_a))`, where `f` depends on `C`. A larger battery is
/// asked for less in proportion, so the right side falls as `C` rises and there is exactly one
/// such `C`. `f64::INFINITY` if the demand itself is not a finite number.
pub fn needed(ratings: &Ratings, demand: &Demand) -> f64 {
    let enough = |capacity: f64| demand.taken(ratings, capacity) <= capacity;
    let mut high = demand.taken(ratings, f64::INFINITY);
    if high == 0.0 {
        return 0.0;
    }
    let mut low = 0.0;
    while !enough(high) {
        if !high.is_finite() {
            return f64::INFINITY;
        }
        low = high;
        high *= 2.0;
    }
    // Halving the interval ends when no number is left between its ends.
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return high;
        }
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
}

/// How long the fitted battery carries standby and still has what the alarm then takes, hours.
///
/// The demand's own `standby_hours` is not looked at. Nothing if the battery does not even carry
/// the alarm; `f64::INFINITY` if standby draws nothing.
pub fn standby_hours(ratings: &Ratings, fitted_ah: f64, demand: &Demand) -> f64 {
    let alarm_only = Demand {
        standby_amperes: 0.0,
        ..*demand
    };
    let left = fitted_ah - alarm_only.taken(ratings, fitted_ah);
    if left < 0.0 {
        0.0
    } else if demand.standby_amperes == 0.0 {
        f64::INFINITY
    } else {
        let kept = demand.ageing * demand.temperature_factor;
        let hours = left / kept * ratings.fraction(demand.standby_amperes, fitted_ah)
            / demand.standby_amperes;
        // Also makes 0 of NaN.
        hours.max(0.0)
    }
}

/// How long it takes to bring the battery from empty to `share` (0 to 1) of its capacity with the
/// current that the charger has to spare, hours. `f64::INFINITY` if it has none.
///
/// Takes the charger to give its current throughout, as usual for sizing; see [`CHARGE_FACTOR`].
pub fn recharge_hours(fitted_ah: f64, share: f64, charger_amperes_spare: f64) -> f64 {
    if charger_amperes_spare > 0.0 {
        CHARGE_FACTOR * fitted_ah * share / charger_amperes_spare
    } else {
        f64::INFINITY
    }
}

/// One point of a discharge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Since the mains failed, hours.
    pub hours: f64,
    /// At the battery's terminals.
    pub volts: f64,
    /// What is left of the capacity that is there at this current: 1 full, 0 empty.
    pub share: f64,
}

/// Share and volts at which a typical discharge begins to fall fast. From memory.
const KNEE: (f64, f64) = (0.2, 11.8);

/// A 12 V block's volts with `share` of its capacity left.
///
/// A model of the typical shape, from memory, not a maker's curve: straight from [`FULL`] down to
/// 11.8 V with a fifth left, then straight to [`END_OF_DISCHARGE`].
pub fn typical_volts(share: f64) -> f64 {
    let share = share.clamp(0.0, 1.0);
    if share >= KNEE.0 {
        KNEE.1 + (FULL - KNEE.1) * (share - KNEE.0) / (1.0 - KNEE.0)
    } else {
        END_OF_DISCHARGE + (KNEE.1 - END_OF_DISCHARGE) * share / KNEE.0
    }
}

/// What is left of the capacity at a 12 V block's volts: the inverse of [`typical_volts`].
pub fn typical_share(volts: f64) -> f64 {
    let share = if volts >= KNEE.1 {
        KNEE.0 + (1.0 - KNEE.0) * (volts - KNEE.1) / (FULL - KNEE.1)
    } else {
        KNEE.0 * (volts - END_OF_DISCHARGE) / (KNEE.1 - END_OF_DISCHARGE)
    };
    share.clamp(0.0, 1.0)
}

/// The course of a discharge from full to empty, in `steps` equal parts of the capacity.
///
/// `load` gives the amperes that are drawn at a battery voltage, so a network can be solved again
/// at each step (regulators draw more as the volts fall). The course ends early, with the points
/// so far, if it gives `None` (cannot be fed at that voltage) or no current above zero (the
/// battery then never empties). Volts follow [`typical_volts`]: a typical course, for a drawing,
/// and no promise of a time; sizing is [`needed`]'s business. `left` is the share of its
/// capacity that ageing and cold leave, the same at any current, as [`needed`] takes it.
pub fn discharge(
    ratings: &Ratings,
    fitted_ah: f64,
    left: f64,
    steps: usize,
    mut load: impl FnMut(f64) -> Option<f64>,
) -> Vec<Point> {
    let mut hours = 0.0;
    let mut points = vec![Point {
        hours,
        volts: typical_volts(1.0),
        share: 1.0,
    }];
    for step in 1..=steps {
        let share_at = |step: f64| 1.0 - step / steps as f64;
        let middle = typical_volts(share_at(step as f64 - 0.5));
        let Some(amperes) = load(middle).filter(|amperes| *amperes > 0.0) else {
            break;
        };
        hours += left * fitted_ah * ratings.fraction(amperes, fitted_ah) / amperes / steps as f64;
        let share = share_at(step as f64);
        points.push(Point {
            hours,
            volts: typical_volts(share),
            share,
        });
    }
    points
}
