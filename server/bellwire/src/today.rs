//! The calendar: which day it is, and whether a day that is given exists.

use bellwire_plan::day::Day;

/// The day that it is, UTC.
pub fn today() -> Day {
    let now = jiff::tz::Offset::UTC.to_datetime(jiff::Timestamp::now());
    day_of(now.date())
}

/// A day as the command line takes it.
///
/// # Errors
/// It is none, in a sentence.
pub fn parse_day(text: &str) -> Result<Day, String> {
    match text.parse::<jiff::civil::Date>() {
        Ok(date) => Ok(day_of(date)),
        Err(_) => Err("write a day of the calendar as YYYY-MM-DD, such as 2026-03-14".to_string()),
    }
}

fn day_of(date: jiff::civil::Date) -> Day {
    Day {
        year: date.year().into(),
        month: date.month().unsigned_abs(),
        day: date.day().unsigned_abs(),
    }
}
