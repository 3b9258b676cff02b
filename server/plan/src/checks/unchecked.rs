//! What the models of a site do not say, and what is not checked for that
//! reason. Told where the site asks to be judged, by naming its rules, and once
//! for each model.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use crate::figures::{Figures, above};
use crate::finding::{Code, Finding};
use crate::library;
use crate::model::{At, BusId, Model, ModelData, Site};
use crate::source::Item;

/// Checks that the models of a site say enough to judge it by. What is written
/// but cannot be read counts as said: that is reported where it is.
pub(super) fn check(site: &Site, figures: &Figures, findings: &mut Vec<Finding>) {
    if !site.rules.named {
        return;
    }
    loops(site, findings);
    draws(site, findings);
    chargers(site, findings);
    if !site.paths_unread {
        capacitances(site, figures, findings);
    }
}

/// The models that were told of.
type Told = FxHashSet<*const Item>;

/// Zones on inputs whose model says nothing of loops.
fn loops(site: &Site, findings: &mut Vec<Finding>) {
    let mut told = Told::default();
    for zone in site.zones.iter().filter(|zone| zone.loop_name.is_none()) {
        let loops = zone.input.and_then(|input| site.loops_of(input.value));
        if let Some((item, loops)) = loops
            && loops.is_empty()
            && !item.model().is_some_and(Model::says_loops)
            && told.insert(Arc::as_ptr(&item))
        {
            findings.push(no_loops(&zone.number, &item));
        }
    }
}

/// Units and devices whose models do not say what they draw, or from how many volts they work.
fn draws(site: &Site, findings: &mut Vec<Finding>) {
    let mut told = Told::default();
    let units = site.units.iter();
    let units = units.map(|unit| (&unit.name, unit.model_item.as_ref()));
    let devices = site.devices.iter();
    let devices = devices.map(|device| (&device.name, device.model_item.as_ref()));
    for (name, item) in units.chain(devices) {
        if let Some(item) = item.filter(|item| told.insert(Arc::as_ptr(item)))
            && let Some(silence) = item.model().and_then(|model| silence(model, &name.value))
        {
            findings.push(finding(name, item, &silence));
        }
    }
}

/// Units whose batteries the rules want full again in time, and that do not say what charges them.
fn chargers(site: &Site, findings: &mut Vec<Finding>) {
    let mut told = Told::default();
    let units = site.units.iter().filter(|unit| unit.battery.is_some());
    for unit in units.filter(|_| site.rules.set.recharge.is_some()) {
        let says = unit
            .model()
            .is_none_or(|model| model.charger.is_some() || model.charger_unread);
        let item = unit.model_item.as_ref().filter(|_| !says);
        if let Some(item) = item.filter(|item| told.insert(Arc::as_ptr(item))) {
            let silence = Silence {
                what: format!(
                    "how long the battery of {} takes to charge is not checked",
                    unit.name.value
                ),
                mend: "what its `charger` gives",
            };
            findings.push(finding(&unit.name, item, &silence));
        }
    }
}

/// Cables without capacitance on a bus that drives so much. Where those that have some are too
/// much already, that is told.
fn capacitances(site: &Site, figures: &Figures, findings: &mut Vec<Finding>) {
    let mut told = Told::default();
    let is_checked = |bus: &&BusId| {
        let most = site
            .model_bus(**bus)
            .and_then(|(_, model)| model.capacitance);
        let block = site.bus_block(**bus);
        let figures = block.and_then(|block| figures.bus(block));
        let both = most.zip(figures);
        both.is_some_and(|(most, figures)| !above(figures.farads, most.value))
    };
    for path in &figures.paths {
        let Some(run) = site.runs.get(path.run) else {
            continue;
        };
        let silent = run
            .cable()
            .is_some_and(|cable| cable.capacitance.is_none() && !cable.capacitance_unread);
        let named = run.cable_name.as_ref().zip(run.cable_item.as_ref());
        let named = named.filter(|_| silent);
        if let Some((name, item)) = named
            && let Some(bus) = path.carries.data.iter().find(is_checked)
            && told.insert(Arc::as_ptr(item))
        {
            let silence = Silence {
                what: format!("the capacitance on {} is not checked", site.bus_name(*bus)),
                mend: "its `capacitance`",
            };
            findings.push(finding(name, item, &silence));
        }
    }
}

/// What is not checked, and what is to be said.
struct Silence {
    what: String,
    mend: &'static str,
}

/// What the model of a thing of that name leaves unsaid of what it draws.
fn silence(model: &Model, name: &str) -> Option<Silence> {
    let (what, mend) = match &model.data {
        ModelData::Unit(unit) if !unit.draw_named => (
            format!("what {name} itself draws is in no battery sum"),
            "its `standby`",
        ),
        ModelData::Device(device) if !device.has_more => {
            let works = device.works.is_some() || device.works_unread;
            match (device.draw_named, works || device.has_trigger) {
                (true, false) => (
                    format!("the voltage at {name} is not checked"),
                    "what it works from, `works 10 V .. 15 V` for one",
                ),
                (false, true) => (
                    format!("what {name} draws is in no sum"),
                    "its `standby`, and its `alarm` where that is more",
                ),
                _ => return None,
            }
        }
        _ => return None,
    };
    Some(Silence { what, mend })
}

/// A zone on an input that no loop is known of.
fn no_loops(zone: &At<u32>, item: &Arc<Item>) -> Finding {
    let model = item.model();
    let message = format!(
        "what zone {} reads is not checked: say in the model {} which loops its inputs read, a `loop` for each{}.",
        zone.value,
        model.map_or("", |model| &model.name.value),
        match model.map(|model| &model.data) {
            Some(ModelData::Device(_)) => ", or `as panel`",
            _ => "",
        },
    );
    let place = model.map(|model| model.name.span);
    Finding::new(Code::Unchecked, zone.span, message).in_model(Some(item), place, "the model")
}

fn finding(name: &At<String>, item: &Arc<Item>, silence: &Silence) -> Finding {
    let model = item.model();
    let called = model.map_or("", |model| &model.name.value);
    let message = match library::file(&item.file) {
        // Nobody changes what is built in.
        Some(_) => format!(
            "{}: {called} does not give {}. Write a model of your own that does, from the product's sheet.",
            silence.what, silence.mend,
        ),
        None => format!(
            "{}: say in the model {called} {}.",
            silence.what, silence.mend
        ),
    };
    let place = model.map(|model| model.name.span);
    Finding::new(Code::Unchecked, name.span, message).in_model(Some(item), place, "the model")
}
