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
    let mut known: FxHashSet<*const Item> = FxHashSet::default();
    let units = site.units.iter();
    let units = units.map(|unit| (&unit.name, unit.model_item.as_ref(), of_unit as Of));
    let devices = site.devices.iter();
    let devices = devices.map(|device| (&device.name, device.model_item.as_ref(), of_device as Of));
    let mut loopless: FxHashSet<*const Item> = FxHashSet::default();
    for zone in site.zones.iter().filter(|zone| zone.loop_name.is_none()) {
        let loops = zone.input.and_then(|input| site.loops_of(input.value));
        if let Some((item, loops)) = loops
            && loops.is_empty()
            && !item.model().is_some_and(Model::says_loops)
            && loopless.insert(Arc::as_ptr(&item))
        {
            findings.push(unread(&zone.number, &item));
        }
    }
    for (name, item, of) in units.chain(devices) {
        if let Some(item) = item.filter(|item| known.insert(Arc::as_ptr(item)))
            && let Some(silence) = item.model().and_then(|model| of(model, &name.value))
        {
            findings.push(finding(name, item, &silence));
        }
    }
    chargers(site, findings);
    if !site.paths_unread {
        capacitances(site, figures, findings);
    }
}

/// Units whose batteries the rules want full again in time, and that do not say what charges them.
fn chargers(site: &Site, findings: &mut Vec<Finding>) {
    let mut told: FxHashSet<*const Item> = FxHashSet::default();
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
    let mut told: FxHashSet<*const Item> = FxHashSet::default();
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

/// What the model of a thing of that name leaves unsaid.
type Of = fn(&Model, &str) -> Option<Silence>;

/// What is not checked, and what is to be said.
struct Silence {
    what: String,
    mend: &'static str,
}

fn of_unit(model: &Model, name: &str) -> Option<Silence> {
    let ModelData::Unit(unit) = &model.data else {
        return None;
    };
    (!unit.draw_named).then(|| Silence {
        what: format!("what {name} itself draws is in no battery sum"),
        mend: "its `standby`",
    })
}

fn of_device(model: &Model, name: &str) -> Option<Silence> {
    let ModelData::Device(device) = &model.data else {
        return None;
    };
    let works = device.works.is_some() || device.works_unread;
    match (device.draw_named, works || device.has_trigger) {
        (true, false) => Some(Silence {
            what: format!("the voltage at {name} is not checked"),
            mend: "what it works from, `works 10 V .. 15 V` for one",
        }),
        (false, true) => Some(Silence {
            what: format!("what {name} draws is in no sum"),
            mend: "its `standby`, and its `alarm` where that is more",
        }),
        _ => None,
    }
}

/// A zone on an input that no loop is known of.
fn unread(zone: &At<u32>, item: &Arc<Item>) -> Finding {
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
