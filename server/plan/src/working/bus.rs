//! A bus: its cable, what it drives, and where its resistors go.

use super::along::Along;
use super::{Part, Working, fixed, known, short};
use crate::figures::{BusFigures, Figures};
use crate::model::{Bus, BusBlock, BusModel, Site};
use crate::vocabulary::{Dimension, in_usual_unit};

pub(super) fn working(site: &Site, figures: &Figures, block: BusBlock) -> Option<Working> {
    let own = figures.bus(block)?;
    let model = site.bus_model(block)?;
    let mut parts = vec![
        fullness(site, site.bus(block)?, model, own),
        places(site, own)?,
    ];
    parts.extend(resistors(site, model, own));
    Some(Working {
        title: site.block_name(block),
        parts,
    })
}

/// What is on it, against what may be.
fn fullness(site: &Site, bus: &Bus, model: &BusModel, own: &BusFigures) -> Part {
    let mut part = Part::new("What is on it", &["", " has", " may have"]);
    let mut row = |what: &str, has: String, most: Option<String>| {
        part.row([what.to_string(), has, most.unwrap_or("-".to_string())]);
    };
    let along = Along::of(site);
    let length = |metres: f64| along.full_length(metres);
    let at_least = |has: String| match own.whole {
        true => has,
        false => format!("at least {has}"),
    };
    let capacitance = |farads: f64| in_usual_unit(farads, Dimension::Capacitance);
    row(
        "devices",
        bus.devices.len().to_string(),
        model.devices.map(|most| most.value.to_string()),
    );
    row(
        "cable in all",
        at_least(length(own.metres)),
        model.length.map(|most| length(most.value)),
    );
    row(
        "farthest device",
        at_least(length(own.longest)),
        model.longest.map(|most| length(most.value)),
    );
    row(
        "capacitance",
        at_least(capacitance(own.farads)),
        model.capacitance.map(|most| capacitance(most.value)),
    );
    if let Some(most) = model.unit_loads {
        row(
            "unit loads",
            known(own.unit_loads, |loads| fixed(loads, 3)),
            Some(short(most.value)),
        );
        part.note("Unit loads are those of TIA-485-A; the panel's own is not counted.");
    }
    part
}

/// Its addresses, and whose they are.
fn places(site: &Site, own: &BusFigures) -> Option<Part> {
    let mut places = Part::new("Places", &[" address", "taken by"]);
    for (address, holders) in own.taken.iter() {
        for device in holders {
            let device = site.devices.get(*device)?;
            places.row([address.to_string(), device.name.value.clone()]);
        }
    }
    Some(places)
}

/// The resistors at its ends, if it wants any.
fn resistors(site: &Site, model: &BusModel, own: &BusFigures) -> Option<Part> {
    let ohms = model.terminated?;
    let mut part = Part::sum("Resistors at its ends");
    for end in own.ends.iter() {
        part.line(
            "across the data pair at",
            site.terminal_name(*end),
            in_usual_unit(ohms, Dimension::Resistance),
        );
    }
    if own.ends.len() != 2 {
        part.note(format!(
                "The cable has {} ends; a bus with a resistor at both ends is one line from one end to the other.",
                own.ends.len()
            ));
    }
    part.note("At both ends of the cable and nowhere else (TIA-485-A). A panel at one end may have its resistor built in: the maker's instructions say.");
    Some(part)
}
