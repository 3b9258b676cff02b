//! Days of the calendar, and the dates that plans write.

use std::fmt;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Day {
    /// Year.
    pub year: i32,
    /// Month, from 1.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

/// A date as plans write it: a month, `2025-03`, or a day, `2025-03-14`. There is
/// such a month or day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Date {
    year: i32,
    month: u8,
    day: Option<u8>,
}

impl Date {
    /// Reads a date; `None` if the calendar has no such month or day.
    pub fn parse(text: &str) -> Option<Date> {
        let mut parts = text.split('-');
        let year = parts.next()?.parse().ok()?;
        let month = parts.next()?.parse().ok()?;
        let day = parts.next().map(str::parse).transpose().ok()?;
        let last = days_in(year, month)?;
        let is_real = day.is_none_or(|day| (1..=last).contains(&day));
        (is_real && parts.next().is_none()).then_some(Date { year, month, day })
    }

    /// The month in which a day lies.
    pub fn month_of(day: Day) -> Date {
        Date {
            year: day.year,
            month: day.month,
            day: None,
        }
    }

    /// The day on which it begins: a month with its first.
    pub fn begins(self) -> Day {
        Day {
            year: self.year,
            month: self.month,
            day: self.day.unwrap_or(1),
        }
    }

    /// As many months later: the same day of the month, or the last if that one
    /// has fewer. `None` beyond the years that can be counted.
    pub fn months_later(self, months: u32) -> Option<Date> {
        let counted = i64::from(self.year) * 12 + i64::from(self.month) - 1 + i64::from(months);
        let year = i32::try_from(counted.div_euclid(12)).ok()?;
        let month = u8::try_from(counted.rem_euclid(12) + 1).ok()?;
        let last = days_in(year, month)?;
        Some(Date {
            year,
            month,
            day: self.day.map(|day| day.min(last)),
        })
    }
}

impl From<Day> for Date {
    fn from(day: Day) -> Date {
        Date {
            year: day.year,
            month: day.month,
            day: Some(day.day),
        }
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)?;
        match self.day {
            Some(day) => write!(f, "-{day:02}"),
            None => Ok(()),
        }
    }
}

/// How many days a month has; `None` if there is no such month.
fn days_in(year: i32, month: u8) -> Option<u8> {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 if leap => Some(29),
        2 => Some(28),
        4 | 6 | 9 | 11 => Some(30),
        1..=12 => Some(31),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_as_they_are_written() {
        for text in ["2025-03", "2025-03-14", "2024-02-29", "2000-02-29"] {
            assert_eq!(Date::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn what_the_calendar_does_not_have_is_no_date() {
        for text in [
            "2025-13",
            "2025-00",
            "2025",
            "2025-02-31",
            "2025-02-29",
            "1900-02-29",
            "2025-04-31",
            "2025-01-00",
            "2025-01-02-03",
        ] {
            assert_eq!(Date::parse(text), None, "{text}");
        }
    }

    #[test]
    fn days_follow_each_other() {
        let day = |text: &str| Date::parse(text).unwrap().begins();
        assert!(day("2024-03-01") > day("2024-02-29"));
        assert!(day("2025-01") > day("2024-12-31"));
        assert_eq!(day("2025-03"), day("2025-03-01"));
    }

    #[test]
    fn months_are_counted_on_to_the_end_of_short_ones() {
        let later = |text: &str, months| {
            let date = Date::parse(text).unwrap().months_later(months);
            date.unwrap().to_string()
        };
        assert_eq!(later("2025-11", 2), "2026-01");
        assert_eq!(later("2024-08-31", 18), "2026-02-28");
        assert_eq!(later("2024-02-29", 48), "2028-02-29");
    }
}
