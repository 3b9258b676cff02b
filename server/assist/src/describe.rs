//! Short words for models and rule sets, shared by the features.

use bellwire_circuit::Draw;
use bellwire_plan::figures::{capacity_ah, ohms_per_metre};
use bellwire_plan::model::{Model, ModelData, RuleSet};
use bellwire_plan::vocabulary::{Dimension, Measures};

use crate::amounts::{ampere_hours, amperes, draw, hours, share, volts};

/// The temperature at which cable tables are given, °C.
pub(crate) const TABLE_TEMPERATURE: f64 = 20.0;

/// A model's data in few words, for lists in a plan that is measured so.
pub(crate) fn model(model: &Model, measures: Measures) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let draws = |standby: Option<Draw>, alarm: Option<Draw>| -> Vec<String> {
        let one = |name: &str, value: Option<Draw>| Some(format!("{name} {}", draw(value?)));
        [one("standby", standby), one("alarm", alarm)]
            .into_iter()
            .flatten()
            .collect()
    };
    match &model.data {
        ModelData::Unit(unit) => {
            parts.extend(draws(unit.standby, unit.alarm));
            for output in &unit.outputs {
                let limit = output
                    .limit
                    .map_or(String::new(), |limit| format!(" {}", amperes(limit.value)));
                parts.push(format!("{}{limit}", output.name.value));
            }
        }
        ModelData::Device(device) => {
            let is_quiet = device.standby == Some(Draw::Amperes(0.0)) && device.alarm.is_some();
            parts.extend(draws(device.standby.filter(|_| !is_quiet), device.alarm));
            parts.extend(
                device
                    .trigger
                    .map(|trigger| format!("trigger {}", draw(trigger))),
            );
            for also in &device.also {
                parts.push(format!("also {}", also.value.name));
            }
            for range in device.inputs.iter().filter_map(|inputs| inputs.range) {
                let (first, last) = range.value;
                parts.push(format!("inputs {first} .. {last}"));
            }
            if parts.is_empty() && !device.is_fed() {
                parts.push("draws nothing".to_string());
            }
        }
        ModelData::Cable(cable) => {
            parts.extend(cable.cores.map(|cores| format!("{cores} cores")));
            if let Some(ohms) = ohms_per_metre(cable, Some(TABLE_TEMPERATURE)) {
                parts.push(measures.in_usual_unit(ohms, Dimension::ResistancePerLength));
            }
        }
        ModelData::Battery(battery) => {
            if let Some(capacity) = capacity_ah(battery) {
                parts.push(ampere_hours(capacity));
            }
            parts.extend(battery.volts.map(volts));
        }
        ModelData::Series(series) => {
            if let Some(series) = series {
                let count = series.values(1.0, 9.999_999).count();
                parts.push(format!("{count} values a decade"));
                parts.push(share(series.tolerance()));
            }
        }
    }
    parts
}

/// How long a rule set has the battery hold, in few words, for lists.
pub(crate) fn holding(rules: &RuleSet) -> Vec<String> {
    let parts = [time("standby", rules.standby), time("alarm", rules.alarm)];
    parts.into_iter().flatten().collect()
}

/// What a rule set asks for, in few words.
pub(crate) fn rules(rules: &RuleSet) -> Vec<String> {
    let mut parts = holding(rules);
    parts.extend(rules.recharge.and_then(|recharge| {
        let time = time("recharge", Some(recharge.hours))?;
        Some(format!("{time} to {}", share(recharge.share)))
    }));
    let headroom = rules.headroom;
    parts.extend(headroom.map(|headroom| format!("headroom {}", share(headroom))));
    parts
}

fn time(name: &str, time: Option<f64>) -> Option<String> {
    Some(format!("{name} {}", hours(time?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use bellwire_plan::source::{File, FilePath};

    #[test]
    fn a_battery_is_called_by_what_it_gives_over_20_h() {
        let said = |capacity: &str| {
            let text = format!("model battery b {{\n  {capacity}\n}}\n");
            let file = File::new(FilePath::new("b.bell"), &text);
            let (_, item) = file.items().next().expect("an item");
            model(item.model().expect("a model"), item.measures()).join(", ")
        };
        assert_eq!(said("capacity 7 Ah"), "7 Ah, 12 V");
        // 7 Ah (20 h / 100 h)^(1 - 1 / 1.15).
        assert_eq!(said("capacity 7 Ah, over 100 h"), "5.67 Ah, 12 V");
    }
}
