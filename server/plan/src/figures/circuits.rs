//! Circuits: the power of an output, the data of a bus, the loop of an input.

use crate::model::{BusId, Device, DeviceId, OutputId, Site, Terminal};

/// The bus that a device is on, if the panel's model has it.
pub fn bus_of(site: &Site, device: &Device) -> Option<BusId> {
    site.bus_id(device.bus?)
}

/// Whether an output is known to be on in alarm only.
pub fn is_in_alarm(site: &Site, output: OutputId) -> bool {
    site.output(output).is_some_and(|(_, model)| model.in_alarm)
}

/// Whether an output may be on in alarm only, for all that is known.
pub(crate) fn may_be_in_alarm(site: &Site, output: OutputId) -> bool {
    let model = site.output(output).map(|(_, model)| model);
    model.is_some_and(|model| model.in_alarm || model.in_alarm_unread)
}

/// Whether an output comes in at a device's trigger, apart from what feeds it: one that
/// is on in alarm only does. A device whose model is not known may have a trigger.
pub(crate) fn is_trigger(site: &Site, device: DeviceId, output: OutputId) -> bool {
    may_be_in_alarm(site, output) && may_be_triggered(site, device)
}

/// Whether a device has a trigger, as far as its model is known.
pub(super) fn may_be_triggered(site: &Site, device: DeviceId) -> bool {
    let device = site.devices.get(device);
    device.is_some_and(|device| {
        let model = device.model();
        model.is_none_or(|model| model.has_trigger || model.has_more)
    })
}

/// Whether a device has terminals for power, as far as its model is known. Where it has none,
/// power only goes past it, each output's on a pair of its own.
pub(super) fn may_be_fed(site: &Site, device: DeviceId) -> bool {
    let device = site.devices.get(device);
    device.is_some_and(|device| device.model().is_none_or(|model| model.is_fed()))
}

/// Whether a device takes the power of an output where that of all these reaches it: on a bus,
/// that of the bus; what draws in alarm only, that of an output which is on then only, and all
/// else that of the others (common practice). One with a trigger takes both.
pub(super) fn takes(site: &Site, device: DeviceId, output: OutputId, all: &[OutputId]) -> bool {
    let Some((device, model)) = site
        .devices
        .get(device)
        .and_then(|device| Some((device, device.model()?)))
    else {
        return true;
    };
    if model.has_trigger {
        return true;
    }
    let of_bus = bus_of(site, device).and_then(|bus| output_of(site, Terminal::Bus(bus)));
    if let Some(of_bus) = of_bus.filter(|of_bus| all.contains(of_bus)) {
        return output == of_bus;
    }
    let fits = |output: &OutputId| is_in_alarm(site, *output) == model.draws_in_alarm_only();
    fits(&output) || !all.iter().any(fits)
}

/// What a path carries.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Carried {
    /// A pair of cores for each: the output that feeds it.
    pub power: Vec<OutputId>,
    /// Two cores for each: the data of a bus, by the index of the model's bus.
    pub data: Vec<BusId>,
    /// Two cores for each: the input of the loop.
    pub loops: Vec<Terminal>,
}

impl Carried {
    /// Whether it is nothing.
    pub fn is_empty(&self) -> bool {
        self.power.is_empty() && self.data.is_empty() && self.loops.is_empty()
    }

    pub(super) fn add(&mut self, other: &Carried) {
        self.add_power(&other.power);
        self.add_signals(other);
    }

    pub(super) fn add_power(&mut self, outputs: &[OutputId]) {
        if self.power.is_empty() {
            self.power.extend_from_slice(outputs);
        } else {
            add_all(&mut self.power, outputs);
        }
    }

    pub(super) fn add_signals(&mut self, other: &Carried) {
        add_all(&mut self.data, &other.data);
        add_all(&mut self.loops, &other.loops);
    }
}

/// Adds what is not there yet.
pub(super) fn add_all<T: PartialEq + Copy>(to: &mut Vec<T>, from: &[T]) {
    for value in from {
        if !to.contains(value) {
            to.push(*value);
        }
    }
}

/// Whether a circuit ends there, where a device or a joint is a place on its way.
pub(super) fn ends_circuit(terminal: Terminal) -> bool {
    matches!(
        terminal,
        Terminal::Output(..)
            | Terminal::Bus(..)
            | Terminal::PanelInput(..)
            | Terminal::DeviceInput(..)
    )
}

/// The output whose power a terminal gives.
pub(super) fn output_of(site: &Site, terminal: Terminal) -> Option<OutputId> {
    match terminal {
        Terminal::Output(output) => site.output(output).map(|_| output),
        Terminal::Bus(bus) => Some(OutputId {
            unit: bus.unit,
            index: site.model_bus(bus)?.1.power?,
        }),
        _ => None,
    }
}
