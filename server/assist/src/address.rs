//! Places on a bus: which are free, which are switched on, and how a device
//! is told its own.

use std::collections::BTreeSet;

use bellwire_plan::figures::{enabled_from, free_for, is_enabled};
use bellwire_plan::model::{
    BusBlock, BusModel, DeviceId, Place, SetBy, SettingAddress, Site, Unit, Version,
};
use bellwire_plan::sentence::list;
use bellwire_plan::vocabulary::Kind;

/// Who has a place: a device, or the second thing that it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Holder {
    /// The device.
    pub device: DeviceId,
    /// What else it is, if the place is that thing's.
    pub second: Option<&'static str>,
}

/// Whether the panel answers at an address.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Enabled {
    /// From the factory, at this revision.
    Factory,
    /// From the factory at a later revision only.
    Later(Version),
    /// Never before it is enabled.
    Never,
}

impl Enabled {
    /// What there is to do about it, in words.
    pub(crate) fn phrase(&self) -> String {
        match self {
            Enabled::Factory => "enabled from the factory".to_string(),
            Enabled::Later(version) => format!(
                "must be enabled in the panel's programming; enabled from the factory from revision {version} on"
            ),
            Enabled::Never => "must be enabled in the panel's programming".to_string(),
        }
    }
}

/// Who has which address on a bus, by address; several that have one in the order of the plan.
pub(crate) fn taken(site: &Site, bus: BusBlock) -> Vec<(u32, Holder)> {
    let mut taken: Vec<(u32, Holder)> = Vec::new();
    let Some((unit, bus)) = site.units.get(bus.unit).zip(site.bus(bus)) else {
        return taken;
    };
    let name = &bus.name.value;
    let same = unit.buses.iter().filter(|bus| bus.name.value == *name);
    for id in same.flat_map(|bus| bus.devices.iter().copied()) {
        let Some(device) = site.devices.get(id) else {
            continue;
        };
        let holder = |second| Holder { device: id, second };
        if let Some(address) = device.address {
            taken.push((address.value, holder(None)));
        }
        for also in &device.also {
            if let Place::Address(address) = also.place {
                taken.push((address.value, holder(Some(also.kind.name))));
            }
        }
    }
    taken.sort_by_key(|(address, _)| *address);
    taken
}

/// The addresses that a kind may have on a bus and that nobody but `own` has.
pub(crate) fn free(site: &Site, bus: BusBlock, kind: &Kind, own: Option<Holder>) -> Vec<u32> {
    let Some(model) = site.bus_model(bus) else {
        return Vec::new();
    };
    let taken: BTreeSet<u32> = taken(site, bus)
        .into_iter()
        .filter(|(_, holder)| Some(*holder) != own)
        .map(|(address, _)| address)
        .collect();
    free_for(model, kind, |address| taken.contains(&address))
}

/// Whether a panel answers at an address before anybody programs it.
pub(crate) fn enabled(model: &BusModel, unit: &Unit, address: u32) -> Enabled {
    let revision = unit.revision.as_ref().map(|own| &own.value);
    if is_enabled(model, revision, address) {
        return Enabled::Factory;
    }
    let later = enabled_from(model, address).map(|(later, _)| later);
    later.map_or(Enabled::Never, |version| Enabled::Later(version.clone()))
}

/// How a device is told its address, in words: `switches 1 and 4 on`.
pub(crate) fn setting(setting: &SettingAddress, address: u32) -> String {
    let within = setting.within.map_or(String::new(), |seconds| {
        format!(" within {seconds:.0} s of power-up")
    });
    let Some(bits) = setting.switches() else {
        return match setting.by {
            SetBy::Keys => format!("entered at its keys{within}"),
            SetBy::Switches => format!("set on its switches{within}"),
            SetBy::Panel => format!("given by the panel{within}"),
        };
    };
    if u64::from(address) >= 1 << bits {
        return format!("address {address} needs more than its {bits} switches");
    }
    let on: Vec<String> = (1..=bits)
        .filter(|number| {
            let weight = if setting.low_first {
                number - 1
            } else {
                bits - number
            };
            address >> weight & 1 == 1
        })
        .map(|number| number.to_string())
        .collect();
    match on.as_slice() {
        [] => format!("all {bits} switches off"),
        [only] => format!("switch {only} on, the others off"),
        several => format!("switches {} on, the others off", list(several)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn switches_count_from_either_end() {
        let mut block = SettingAddress {
            by: SetBy::Switches,
            within: None,
            bits: Some(4),
            low_first: true,
        };
        assert_eq!(setting(&block, 9), "switches 1 and 4 on, the others off");
        assert_eq!(setting(&block, 8), "switch 4 on, the others off");
        assert_eq!(setting(&block, 0), "all 4 switches off");
        assert_eq!(
            setting(&block, 16),
            "address 16 needs more than its 4 switches"
        );
        block.low_first = false;
        assert_eq!(setting(&block, 8), "switch 1 on, the others off");
        assert_eq!(
            setting(&block, 14),
            "switches 1, 2 and 3 on, the others off"
        );
    }
}
