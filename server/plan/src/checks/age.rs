//! How old batteries are.

use super::Day;
use crate::finding::{Code, Finding};
use crate::model::{BatteryFitted, Unit};

/// A battery past the life that its model gives. Fitted in a month, it counts
/// from the month's first day.
pub(super) fn old(unit: &Unit, battery: &BatteryFitted, today: Day) -> Option<Finding> {
    let fitted = battery.fitted.as_ref()?;
    let life = battery.model()?.life?;
    let since = Day::parse(&fitted.value)?;
    let years = (today.number() - since.number()) as f64 / DAYS_A_YEAR;
    if years <= life {
        return None;
    }
    let message = format!(
        "the battery of {} was fitted {}, {years:.1} years ago, and is meant to last {} years: replace it.",
        unit.name.value,
        fitted.value,
        (life * 10.0).round() / 10.0,
    );
    Some(Finding::new(Code::BatteryOld, fitted.span, message))
}

const DAYS_A_YEAR: f64 = 365.25;

impl Day {
    /// Reads `2025-03` or `2025-03-14`.
    fn parse(text: &str) -> Option<Day> {
        let mut parts = text.split('-');
        let year = parts.next()?.parse().ok()?;
        let month = parts.next()?.parse().ok()?;
        let day = match parts.next() {
            Some(day) => day.parse().ok()?,
            None => 1,
        };
        let real = (1..=12).contains(&month) && (1..=31).contains(&day);
        (real && parts.next().is_none()).then_some(Day { year, month, day })
    }

    /// Days, counted through in the Gregorian calendar.
    fn number(self) -> i64 {
        // Years are counted from March, so that the leap day is a year's last.
        let (year, month) = match self.month {
            1 | 2 => (i64::from(self.year) - 1, i64::from(self.month) + 9),
            _ => (i64::from(self.year), i64::from(self.month) - 3),
        };
        let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        365 * year + leap_days + (153 * month + 2) / 5 + i64::from(self.day) - 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_leap_years() {
        let number = |text: &str| Day::parse(text).unwrap().number();
        assert_eq!(number("2024-03-01") - number("2024-02-28"), 2);
        assert_eq!(number("2025-03") - number("2024-03"), 365);
        assert_eq!(number("2024-03") - number("2023-03"), 366);
        assert_eq!(number("2000-12-31") - number("2000-01-01"), 365);
        assert_eq!(number("1900-12-31") - number("1900-01-01"), 364);
        assert_eq!(Day::parse("2025-13"), None);
        assert_eq!(Day::parse("2025"), None);
    }
}
