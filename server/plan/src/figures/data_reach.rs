//! Which buses' data reaches which devices.

use super::Figures;
use super::sorted::with_key;
use crate::model::{BusId, DeviceId, Path, Site, Terminal};

/// The devices on whose cable the data of buses is.
pub(crate) struct DataReach(Vec<(DeviceId, BusId)>);

impl DataReach {
    /// All of a site.
    pub fn new(site: &Site, figures: &Figures) -> DataReach {
        let mut reached: Vec<_> = reached(site, figures).collect();
        reached.sort_unstable();
        reached.dedup();
        DataReach(reached)
    }

    /// The buses whose data reaches a device, in the order of the plan.
    pub fn buses_at(&self, device: DeviceId) -> impl Iterator<Item = BusId> {
        let reached = with_key(&self.0, device, |(device, _)| *device);
        reached.iter().map(|(_, bus)| *bus)
    }

    /// Whether a bus's data reaches a device.
    pub fn has(&self, device: DeviceId, bus: BusId) -> bool {
        self.0.binary_search(&(device, bus)).is_ok()
    }
}

/// Whether a bus's data reaches a device: for who asks of one device only.
pub fn has_data(site: &Site, figures: &Figures, device: DeviceId, bus: BusId) -> bool {
    reached(site, figures).any(|reached| reached == (device, bus))
}

/// Each device that a path with data names, with each bus whose data that is.
fn reached(site: &Site, figures: &Figures) -> impl Iterator<Item = (DeviceId, BusId)> {
    let paths = figures.paths.iter();
    let with_data = paths.filter(|path| !path.carries.data.is_empty());
    with_data.flat_map(|path| {
        let written = site.path(path.run, path.path);
        let named = written.into_iter().flat_map(Path::terminals);
        let devices = named.filter_map(|at| match at.value {
            Terminal::Device(device) => Some(device),
            _ => None,
        });
        devices.flat_map(|device| path.carries.data.iter().map(move |bus| (device, *bus)))
    })
}
