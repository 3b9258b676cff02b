//! How old batteries are.

use super::Day;
use crate::figures::replace_by;
use crate::finding::{Code, Finding};
use crate::model::{BatteryFitted, Unit};

/// A battery past the life that its model gives, by the calendar. Fitted in a
/// month, it counts from the month's first day.
pub(super) fn old(unit: &Unit, battery: &BatteryFitted, today: Day) -> Option<Finding> {
    let fitted = battery.fitted.as_ref()?;
    let life = battery.model()?.life?;
    let over = replace_by(battery)?;
    if today <= Day::parse(&over)? {
        return None;
    }
    let message = format!(
        "the battery of {} was fitted {} and is meant to last {} years, to {over}: replace it.",
        unit.name.value,
        fitted.value,
        (life * 10.0).round() / 10.0,
    );
    Some(Finding::new(Code::BatteryOld, fitted.span, message))
}

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
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_read_and_follow_each_other() {
        let day = |text: &str| Day::parse(text).unwrap();
        assert!(day("2024-03-01") > day("2024-02-29"));
        assert!(day("2025-01") > day("2024-12-31"));
        assert_eq!(day("2025-03"), day("2025-03-01"));
        assert_eq!(Day::parse("2025-13"), None);
        assert_eq!(Day::parse("2025"), None);
    }
}
