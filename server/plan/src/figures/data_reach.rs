//! Which buses' data reaches which devices.

use super::sorted::with_key;
use super::{Figures, PathFigures};
use crate::model::{BusId, DeviceId, Path, Site, Terminal};

/// The devices on whose cable the data of buses is.
pub(crate) struct DataReach(Vec<(DeviceId, BusId)>);

impl DataReach {
    /// All of a site.
    pub fn new(site: &Site, figures: &Figures) -> DataReach {
        let mut reached = Vec::new();
        for path in &figures.paths {
            if path.carries.data.is_empty() {
                continue;
            }
            let written = site.path(path.run, path.path);
            for terminal in written.into_iter().flat_map(Path::terminals) {
                if let Terminal::Device(device) = terminal.value {
                    reached.extend(path.carries.data.iter().map(|bus| (device, *bus)));
                }
            }
        }
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
    let device = Terminal::Device(device);
    let of_bus = |path: &&PathFigures| path.carries.data.contains(&bus);
    figures.paths.iter().filter(of_bus).any(|path| {
        let written = site.path(path.run, path.path);
        let mut named = written.into_iter().flat_map(Path::terminals);
        named.any(|at| at.value == device)
    })
}
