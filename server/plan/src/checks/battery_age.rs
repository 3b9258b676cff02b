//! How old batteries are: past their life, or not fitted yet.

use crate::day::Day;
use crate::figures::replace_by;
use crate::finding::{Code, Finding};
use crate::model::{BatteryFitted, Unit};

/// A battery past the life that its model gives, by the calendar. Fitted in a
/// month, it counts from the month's first day.
pub(super) fn old(unit: &Unit, battery: &BatteryFitted, today: Day) -> Option<Finding> {
    let fitted = battery.fitted?;
    if fitted.value.begins() > today {
        let message = format!(
            "the battery of {} was fitted {}, and that day is yet to come: is the date right? How old the battery is cannot be told by it.",
            unit.name.value, fitted.value,
        );
        return Some(Finding::new(Code::BatteryDate, fitted.span, message));
    }
    let life = battery.model()?.life?;
    let over = replace_by(battery)?;
    if today <= over.begins() {
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
