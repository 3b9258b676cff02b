//! Whether something switches what sounds or flashes.

use crate::figures::{DeviceFigures, Figures, OutputFigures, WhatIf, is_in_alarm, may_be_in_alarm};
use crate::finding::{Code, Finding};
use crate::model::{Device, DeviceId, OutputId, Site, Terminal};

/// Looks at the sounders and beacons of a site.
pub(super) struct Switched<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// The ways from outputs to devices; worked out when first asked for.
    ways: Option<WhatIf<'a>>,
}

impl<'a> Switched<'a> {
    pub fn new(site: &'a Site, figures: &'a Figures) -> Switched<'a> {
        Switched {
            site,
            figures,
            ways: None,
        }
    }

    /// A sounder or beacon that is on whenever it is fed, on an output that is always on. One on
    /// a bus is switched over it, and one that is fed over a relay by that.
    pub fn look(&mut self, device: &Device, fed: &DeviceFigures) -> Option<Finding> {
        let site = self.site;
        // A route that cannot be read may bring what switches it.
        if !device.is_warning() || site.paths_unread {
            return None;
        }
        let model = device.model()?;
        let is_told = device.bus.is_some() || device.address.is_some() || device.address_unread;
        if !model.draws_in_alarm_only() || model.has_trigger || is_told {
            return None;
        }
        let first = fed.fed_by.first()?;
        let in_alarm = |output: &OutputId| may_be_in_alarm(site, *output);
        if fed.fed_by.iter().any(in_alarm) || self.is_relayed(fed.device) {
            return None;
        }
        let message = format!(
            "nothing switches {}, which draws in alarm only: {} is always on. Feed it from {} (common practice).",
            device.name.value,
            site.output_name(*first),
            match self.beside(*first) {
                Some(switched) => site.output_name(switched),
                None => "an output that is on in alarm only".to_string(),
            },
        );
        Some(Finding::new(Code::NotSwitched, device.name.span, message))
    }

    /// An output that is on in alarm only, of the unit that another is of.
    pub fn beside(&self, output: OutputId) -> Option<OutputId> {
        let mut outputs = self.figures.outputs_of(output.unit).iter();
        let found = outputs.find(|other| is_in_alarm(self.site, other.id()));
        found.map(OutputFigures::id)
    }

    /// Whether the power of a device comes by a relay.
    fn is_relayed(&mut self, device: DeviceId) -> bool {
        let (site, figures) = (self.site, self.figures);
        if !site.devices.iter().any(Device::is_relay) {
            return false;
        }
        let ways = self.ways.get_or_insert_with(|| WhatIf::new(site, figures));
        ways.points_to(device).into_iter().any(|point| match point {
            Terminal::Device(id) => site.devices.get(id).is_some_and(Device::is_relay),
            _ => false,
        })
    }
}
