//! Short words for models and rule sets, shared by the features.

use bellwire_circuit::Draw;
use bellwire_plan::figures::{capacity_ah, ohms_per_metre};
use bellwire_plan::model::{CableModel, DeviceModel, Model, ModelData, RuleSet, UnitModel};
use bellwire_plan::vocabulary::{Dimension, Measures};

use crate::amounts::{ampere_hours, amperes, draw, hours, share, volts};

/// The temperature at which cable tables are given, °C.
pub(crate) const TABLE_TEMPERATURE: f64 = 20.0;

/// A model's data in few words, for lists in a plan that is measured so.
pub(crate) fn model(model: &Model, measures: Measures) -> Vec<String> {
    match &model.data {
        ModelData::Unit(model) => unit(model),
        ModelData::Device(model) => device(model),
        ModelData::Cable(model) => cable(model, measures),
        ModelData::Battery(model) => {
            let capacity = capacity_ah(model).map(ampere_hours);
            capacity.into_iter().chain(model.volts.map(volts)).collect()
        }
        ModelData::Series(Some(series)) => {
            let count = series.values(1.0, 9.999_999).count();
            let decade = format!("{count} values a decade");
            vec![decade, share(series.tolerance())]
        }
        ModelData::Series(None) => Vec::new(),
    }
}

fn unit(model: &UnitModel) -> Vec<String> {
    let outputs = model.outputs.iter().map(|output| {
        let limit = output
            .limit
            .map(|limit| format!(" {}", amperes(limit.value)));
        format!("{}{}", output.name.value, limit.unwrap_or_default())
    });
    draws(model.standby, model.alarm).chain(outputs).collect()
}

fn device(model: &DeviceModel) -> Vec<String> {
    let is_quiet = model.standby == Some(Draw::Amperes(0.0)) && model.alarm.is_some();
    let trigger = model
        .trigger
        .map(|trigger| format!("trigger {}", draw(trigger)));
    let also = model.also.iter();
    let also = also.map(|also| format!("also {}", also.value.name));
    let inputs = model.inputs.iter().filter_map(|inputs| inputs.range);
    let inputs = inputs.map(|range| format!("inputs {} .. {}", range.value.0, range.value.1));
    let mut parts: Vec<String> = draws(model.standby.filter(|_| !is_quiet), model.alarm)
        .chain(trigger)
        .chain(also)
        .chain(inputs)
        .collect();
    if parts.is_empty() && !model.is_fed() {
        parts.push("draws nothing".to_string());
    }
    parts
}

fn cable(model: &CableModel, measures: Measures) -> Vec<String> {
    let cores = model.cores.map(|cores| format!("{cores} cores"));
    let ohms = ohms_per_metre(model, Some(TABLE_TEMPERATURE));
    let ohms = ohms.map(|ohms| measures.in_usual_unit(ohms, Dimension::ResistancePerLength));
    cores.into_iter().chain(ohms).collect()
}

fn draws(standby: Option<Draw>, alarm: Option<Draw>) -> impl Iterator<Item = String> {
    let both = [("standby", standby), ("alarm", alarm)].into_iter();
    both.filter_map(|(name, value)| Some(format!("{name} {}", draw(value?))))
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
