//! The names inside a model.

use std::sync::Arc;

use super::elsewhere::{declaration, series_of};
use crate::finding::{Code, Finding, did_you_mean};
use crate::model::Occurrence;
use crate::model::catalog::{InputsModel, Model, ModelData};
use crate::model::scope::Scope;
use crate::model::words::Words;
use crate::sentence::code_list;
use crate::source::{Item, Span};
use crate::vocabulary::Context;

/// The names inside a model: outputs, buses, inputs, loops and sounds, where
/// they are declared, the output that a bus is fed from, and the series that
/// the resistors of loops are taken from.
pub fn resolve_model(
    item: &Arc<Item>,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
) -> Vec<Occurrence> {
    let declared = |span| Occurrence {
        span,
        target: item.spot(span),
    };
    let mut occurrences: Vec<Occurrence> = names(item).into_iter().map(declared).collect();
    feeds(item, &mut occurrences, findings);
    for model in item.model().into_iter().flat_map(Model::loops) {
        let Some(name) = &model.resistors else {
            continue;
        };
        if let Some(series) = series_of(item, name, scope, findings) {
            occurrences.extend(declaration(&series).map(|target| Occurrence {
                span: name.span,
                target,
            }));
        }
    }
    occurrences
}

/// Where a model declares names.
fn names(item: &Arc<Item>) -> Vec<Span> {
    match item.model().map(|model| &model.data) {
        Some(ModelData::Unit(model)) => {
            let outputs = model.outputs.iter().map(|output| output.name.span);
            let buses = model.buses.iter().map(|bus| bus.name.span);
            let inputs = model.inputs.iter().flat_map(names_of_inputs);
            outputs.chain(buses).chain(inputs).collect()
        }
        Some(ModelData::Device(model)) => {
            let sounds = model.sounds.iter().map(|sound| sound.span);
            let inputs = model.inputs.iter().flat_map(names_of_inputs);
            sounds.chain(inputs).collect()
        }
        _ => Vec::new(),
    }
}

/// The outputs that buses are fed from. Those that are not there are reported.
fn feeds(item: &Arc<Item>, occurrences: &mut Vec<Occurrence>, findings: &mut Vec<Finding>) {
    let words = Words::root(item);
    let outputs = || words.all("output").filter_map(|output| output.name());
    for power in words.all("bus").filter_map(|bus| bus.get("power")) {
        let Some(name) = power.name() else { continue };
        if let Some(output) = outputs().find(|output| output.value == name.value) {
            occurrences.push(Occurrence {
                span: name.span,
                target: item.spot(output.span),
            });
            continue;
        }
        // It may be called so, its name missing, or what it is misspelt, which is told there.
        if words.all("output").any(|output| output.name().is_none())
            || words.has_unknown_word(Context::UnitModel)
        {
            continue;
        }
        let names: Vec<&str> = outputs().map(|output| output.value).collect();
        let near = did_you_mean(name.value, names.iter().copied());
        let hint = match names.as_slice() {
            _ if !near.is_empty() => near,
            [] => " Add an `output`.".to_string(),
            names => format!(" It has {}.", code_list(names)),
        };
        let message = format!("the model has no output called `{}`.{hint}", name.value);
        findings.push(Finding::new(Code::UnknownName, name.span, message));
    }
}

fn names_of_inputs(inputs: &InputsModel) -> impl Iterator<Item = Span> + '_ {
    let loops = inputs.loops.iter().map(|model| model.name.span);
    inputs
        .range
        .map(|range| range.span)
        .into_iter()
        .chain(loops)
}
