//! Names that the site or the model around the cursor has.

use bellwire_plan::model::{At, ModelData, Terminal, UnitModel};
use bellwire_plan::vocabulary::Names;

use super::surroundings::Surroundings;
use super::{Completion, CompletionKind};
use crate::amounts::{ohms, volts};
use crate::parts::loops_of;

/// What has a name of this kind.
pub(super) fn of(plan: &Surroundings, names: Names) -> Vec<Completion> {
    let found = match names {
        Names::Partition => partitions(plan),
        Names::Detector => detectors(plan),
        Names::Loop => loops(plan),
        Names::Output => outputs(plan),
        Names::Bus => buses(plan),
        Names::Sound => sounds(plan),
        // Looked up elsewhere.
        Names::Model(_) | Names::Rules | Names::Monitoring | Names::Input | Names::Code => None,
    };
    found.unwrap_or_default()
}

fn partitions(plan: &Surroundings) -> Option<Vec<Completion>> {
    let units: Vec<_> = match plan.unit() {
        Some((_, unit)) => vec![unit],
        None => plan.site?.units.iter().collect(),
    };
    let partitions = units.into_iter().flat_map(|unit| &unit.partitions);
    let offers = partitions.map(|partition| {
        Completion::new(CompletionKind::Thing, partition.number.value.to_string())
            .detail(partition.label.clone().unwrap_or_default())
    });
    Some(offers.collect())
}

/// Devices with contacts; first those that no zone has yet.
fn detectors(plan: &Surroundings) -> Option<Vec<Completion>> {
    let site = plan.site?;
    let own = plan.zone().map(|zone| zone.span.start);
    let taken = |device| {
        let mut others = site.zones.iter();
        others.any(|zone| {
            Some(zone.span.start) != own && zone.from.iter().any(|at| at.value == device)
        })
    };
    let offers = site.devices.iter().enumerate().filter_map(|(id, device)| {
        if device
            .model()
            .is_some_and(|model| model.contacts.is_empty())
        {
            return None;
        }
        let label = device.label.as_deref().unwrap_or(device.kind.name);
        let (rank, taken) = match taken(id) {
            true => (6, ", on another zone"),
            false => (4, ""),
        };
        // A device of an unknown model may be anything.
        let rank = rank + u8::from(device.model().is_none());
        Some(
            Completion::new(CompletionKind::Thing, &device.name.value)
                .detail(format!("{label}{taken}"))
                .rank(rank),
        )
    });
    Some(offers.collect())
}

fn loops(plan: &Surroundings) -> Option<Vec<Completion>> {
    let site = plan.site?;
    let (unit, _) = plan.unit()?;
    let input = plan.zone().and_then(|zone| zone.input).map(|at| at.value);
    let loops = loops_of(site, input.unwrap_or(Terminal::PanelInput(unit, 0)))?;
    let offers = loops.into_iter().map(|model| {
        let resistor =
            |name: &str, at: Option<At<f64>>| Some(format!("{name} {}", ohms(at?.value, "open")));
        let parts = [
            resistor("end", model.end),
            resistor("contact", model.contact),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        Completion::new(CompletionKind::Choice, &model.name.value).detail(parts.join(", "))
    });
    Some(offers.collect())
}

/// The outputs of the model that the cursor is in.
fn outputs(plan: &Surroundings) -> Option<Vec<Completion>> {
    let model = plan.cursor.item.model()?;
    let ModelData::Unit(UnitModel { outputs, .. }) = &model.data else {
        return None;
    };
    let offers = outputs.iter().map(|output| {
        Completion::new(CompletionKind::Terminal, &output.name.value)
            .detail(output.volts.map(volts).unwrap_or_default())
    });
    Some(offers.collect())
}

/// The buses of the panel's model that the plan does not have yet.
fn buses(plan: &Surroundings) -> Option<Vec<Completion>> {
    let (_, unit) = plan.unit()?;
    let own = plan.bus().map(|bus| bus.index);
    let buses = unit.model()?.buses.iter().filter(|model| {
        let mut others = unit.buses.iter().enumerate();
        !others.any(|(id, bus)| Some(id) != own && bus.name.value == model.name.value)
    });
    let offers = buses.map(|bus| {
        let addresses = bus.addresses.map_or(String::new(), |range| {
            format!("addresses {} .. {}", range.value.0, range.value.1)
        });
        Completion::new(CompletionKind::Terminal, &bus.name.value).detail(addresses)
    });
    Some(offers.collect())
}

fn sounds(plan: &Surroundings) -> Option<Vec<Completion>> {
    let (_, device) = plan.device()?;
    let sounds = device.model()?.sounds.iter().enumerate();
    let offers = sounds.map(|(index, sound)| {
        let detail = if index == 0 {
            "as from the factory"
        } else {
            ""
        };
        Completion::new(CompletionKind::Choice, &sound.value).detail(detail)
    });
    Some(offers.collect())
}
