//! Places on a bus: every device has one, of its kind, of its own, switched on.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use super::numbers::addresses;
use crate::figures::{BusFigures, Figures, enabled_from, enabled_near, is_enabled, places_for};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, BusId, BusModel, Device, DeviceId, Place, Site, Unit, Version};
use crate::sentence::{a, list};
use crate::source::Span;
use crate::vocabulary::Kind;

/// Every bus of a site.
pub(super) fn buses<'a>(site: &'a Site, all: &'a Figures) -> impl Iterator<Item = Occupancy<'a>> {
    site.units
        .iter()
        .enumerate()
        .flat_map(move |(unit_id, unit)| {
            let models = unit.model().map_or(&[][..], |model| &model.buses);
            let buses = models.iter().enumerate();
            buses.filter_map(move |(index, model)| {
                let id = BusId {
                    unit: unit_id,
                    index,
                };
                let bus = site.bus_block(id)?;
                Some(Occupancy {
                    site,
                    unit,
                    id,
                    model,
                    figures: all.bus(bus)?,
                    all,
                    proposed: RefCell::default(),
                })
            })
        })
}

/// Checks the places on a bus.
pub(super) fn check(bus: &Occupancy, findings: &mut Vec<Finding>) {
    let holders = bus.holders(findings);
    // Whoever cannot have an address is told so, and takes it from nobody.
    let mut by_address: Vec<&Holder> = Vec::new();
    for holder in &holders {
        if !bus.out_of_range(holder, findings) && !bus.not_settable(holder, findings) {
            bus.not_enabled(holder, findings);
            by_address.push(holder);
        }
    }
    by_address.sort_by_key(|holder| holder.address.value);
    let alike = by_address.chunk_by(|a, b| a.address.value == b.address.value);
    for holders in alike.filter(|holders| holders.len() > 1) {
        bus.taken(holders, findings);
    }
}

/// What is on a bus, with what may be.
pub(super) struct Occupancy<'a> {
    pub site: &'a Site,
    pub unit: &'a Unit,
    pub id: BusId,
    pub model: &'a BusModel,
    pub figures: &'a BusFigures,
    /// All of the site's.
    pub all: &'a Figures,
    proposed: RefCell<Proposed>,
}

/// What was proposed to whom: each thing another address, so that all proposals can be taken.
#[derive(Default)]
pub(super) struct Proposed {
    /// By the device, by its place in the plan, and whether to the second thing that it is.
    to: BTreeMap<(Span, bool), u32>,
    addresses: BTreeSet<u32>,
}

/// What takes a place: a device, or the second thing that it is.
#[derive(Clone, Copy)]
struct Thing<'a> {
    device: &'a Device,
    kind: &'static Kind,
    second: bool,
}

impl Thing<'_> {
    fn called(&self) -> String {
        let name = &self.device.name.value;
        match self.second {
            true => format!("{name}'s {}", self.kind.name),
            false => name.clone(),
        }
    }
}

/// A thing at an address.
struct Holder<'a> {
    thing: Thing<'a>,
    address: At<u32>,
}

impl Holder<'_> {
    fn called(&self) -> String {
        self.thing.called()
    }
}

impl<'a> Occupancy<'a> {
    pub(super) fn name(&self) -> String {
        self.site.bus_name(self.id)
    }

    pub(super) fn devices(&self) -> impl Iterator<Item = (DeviceId, &'a Device)> {
        let (site, index) = (self.site, self.id.index);
        let buses = self.unit.buses.iter();
        buses
            .filter(move |bus| bus.model == Some(index))
            .flat_map(|bus| &bus.devices)
            .filter_map(|&id| Some((id, site.devices.get(id)?)))
    }

    /// Who has an address. Reports who has none and should.
    fn holders(&self, findings: &mut Vec<Finding>) -> Vec<Holder<'a>> {
        let mut holders = Vec::new();
        for (_, device) in self.devices() {
            let thing = |kind, second| Thing {
                device,
                kind,
                second,
            };
            let first = thing(device.kind, false);
            match device.address {
                Some(address) => holders.push(Holder {
                    thing: first,
                    address,
                }),
                None if device.address_unread || device.block_unread => {}
                None => findings.push(self.missing(first)),
            }
            for also in &device.also {
                if let Place::Address(address) = also.place {
                    holders.push(Holder {
                        thing: thing(also.kind, true),
                        address,
                    });
                }
            }
            let model = device.model().map_or(&[][..], |model| &model.also);
            for second in model {
                let said = device
                    .also
                    .iter()
                    .any(|also| also.kind.name == second.value.name);
                if !said && !device.block_unread {
                    findings.push(self.missing(thing(second.value, true)));
                }
            }
        }
        holders
    }

    fn missing(&self, thing: Thing) -> Finding {
        let Thing {
            device,
            kind,
            second,
        } = thing;
        let who = thing.called();
        let bus = self.name();
        let off = if second {
            format!(", or switch it off: `{} off`", kind.name)
        } else {
            String::new()
        };
        let word = if second { kind.name } else { "address" };
        let (message, mend) = match self.propose(thing) {
            Some(free) => (
                format!("{who} has no address on {bus}: the next free one is {free}{off}."),
                Some(Mend {
                    title: format!("Give {who} the address {free}"),
                    edits: vec![(device.head.after(), format!(", {word} {free}"))],
                }),
            ),
            None => (
                match second {
                    true => format!(
                        "{who} has no address on {bus}, and {}: switch it off, `{} off`, or move {} to another bus or panel.",
                        self.none_left(kind),
                        kind.name,
                        device.name.value
                    ),
                    false => format!(
                        "{who} has no address on {bus}, and {}: move it to another bus or panel.",
                        self.none_left(kind)
                    ),
                },
                second.then(|| Mend {
                    title: format!("Switch {who} off"),
                    edits: vec![(device.head.after(), format!(", {word} off"))],
                }),
            ),
        };
        Finding::new(Code::AddressMissing, device.name.span, message).mended_by(mend)
    }

    /// The first address that is free and proposed to nobody else, of those
    /// that are switched on if any is.
    fn propose(&self, thing: Thing) -> Option<u32> {
        let mut proposed = self.proposed.borrow_mut();
        let key = (thing.device.name.span, thing.second);
        if let Some(known) = proposed.to.get(&key) {
            return Some(*known);
        }
        let mut free = self.figures.free.iter();
        let (_, free) = free.find(|(of, _)| of.name == thing.kind.name)?;
        let most = thing.device.most_settable();
        let left = || {
            let free = free.iter().filter(|address| u64::from(**address) <= most);
            free.filter(|address| !proposed.addresses.contains(address))
        };
        let enabled = |address: &&u32| is_enabled(self.model, self.revision(), **address);
        let found = *left().find(enabled).or_else(|| left().next())?;
        proposed.to.insert(key, found);
        proposed.addresses.insert(found);
        Some(found)
    }

    fn revision(&self) -> Option<&Version> {
        self.unit.revision.as_ref().map(|revision| &revision.value)
    }

    fn none_left(&self, kind: &Kind) -> String {
        if places_for(self.model, kind).is_empty() {
            format!("the bus has no places for {}", a(kind.name))
        } else {
            format!("no place for {} is free", a(kind.name))
        }
    }

    fn change_address(&self, holder: &Holder) -> Option<Mend> {
        let free = self.propose(holder.thing)?;
        Some(Mend {
            title: format!("Give {} the address {free}", holder.called()),
            edits: vec![(holder.address.span, free.to_string())],
        })
    }

    /// Whether the device's own switches cannot be set to the address. The place of
    /// what else a device is may be set elsewhere, which no model says.
    fn not_settable(&self, holder: &Holder, findings: &mut Vec<Finding>) -> bool {
        let (address, most) = (holder.address.value, holder.thing.device.most_settable());
        if holder.thing.second || u64::from(address) <= most {
            return false;
        }
        let mend = self.change_address(holder);
        let hint = match &mend {
            Some(mend) => format!(" {}.", mend.title),
            None => " No address that they can be set to is free.".to_string(),
        };
        let message = format!(
            "{} cannot be set to address {address}: its switches count to {most}.{hint}",
            holder.called()
        );
        let finding = Finding::new(Code::AddressOutOfRange, holder.address.span, message);
        findings.push(finding.mended_by(mend));
        true
    }

    /// Whether the address is none for the kind.
    fn out_of_range(&self, holder: &Holder, findings: &mut Vec<Finding>) -> bool {
        let ranges = places_for(self.model, holder.thing.kind);
        let address = holder.address.value;
        let unknown = self.model.places.is_empty() && self.model.addresses.is_none();
        if unknown
            || ranges
                .iter()
                .any(|(first, last)| (*first..=*last).contains(&address))
        {
            return false;
        }
        let bus = self.name();
        let kind = holder.thing.kind.name;
        let ranges: Vec<String> = ranges.iter().map(|range| addresses(*range)).collect();
        let hint = match self.propose(holder.thing) {
            Some(free) => format!(" The next free one is {free}."),
            None => String::new(),
        };
        let message = if ranges.is_empty() {
            format!(
                "{bus} has no places for {}: wire {} to another bus.",
                a(kind),
                holder.called()
            )
        } else {
            format!(
                "{} cannot have address {address}: on {bus} {} has {}.{hint}",
                holder.called(),
                a(kind),
                list(&ranges),
            )
        };
        let finding = Finding::new(Code::AddressOutOfRange, holder.address.span, message)
            .mended_by(self.change_address(holder));
        findings.push(self.with_place(finding, holder.thing.kind));
        true
    }

    /// With the line of the model that gives the kind its places.
    pub(super) fn with_place(&self, finding: Finding, kind: &Kind) -> Finding {
        let place = self.model.places.iter();
        let place = place
            .filter(|(of, _)| of.value.name == kind.name)
            .map(|(_, range)| range.span)
            .next()
            .or(self.model.addresses.map(|addresses| addresses.span));
        finding.in_model(self.unit.model_item.as_ref(), place, "the model's places")
    }

    fn taken(&self, holders: &[&Holder], findings: &mut Vec<Finding>) {
        let Some((first, others)) = holders.split_first() else {
            return;
        };
        let bus = self.name();
        let address = first.address.value;
        let free = |holder: &Holder| match self.propose(holder.thing) {
            Some(free) => format!("address {free} is free for {}", holder.called()),
            None => self.none_left(holder.thing.kind),
        };
        let names: Vec<String> = others.iter().map(|holder| holder.called()).collect();
        // Only the others are to move: were all of them moved, the address
        // would be free, and two might meet again at another.
        let message = format!(
            "{} has address {address} on {bus}, and so {} {}.",
            first.called(),
            if names.len() == 1 { "has" } else { "have" },
            list(&names),
        );
        let mut finding = Finding::new(Code::AddressTaken, first.address.span, message);
        for other in others {
            let spot = self.site.spot(other.address.span);
            finding = finding.with(spot, format!("{} has it too", other.called()));
        }
        findings.push(finding);
        for other in others {
            let message = format!(
                "address {address} on {bus} is taken by {}: {}.",
                first.called(),
                free(other)
            );
            let spot = self.site.spot(first.address.span);
            findings.push(
                Finding::new(Code::AddressTaken, other.address.span, message)
                    .with(spot, format!("{} has it", first.called()))
                    .mended_by(self.change_address(other)),
            );
        }
    }

    fn not_enabled(&self, holder: &Holder, findings: &mut Vec<Finding>) {
        let address = holder.address.value;
        let revision = self.revision();
        if self.unit.revision_unread || is_enabled(self.model, revision, address) {
            return;
        }
        let later = enabled_from(self.model, address);
        let panel = &self.unit.name.value;
        let at = match revision {
            Some(revision) => format!(" at revision {revision}"),
            None => String::new(),
        };
        let (place, note) = match later {
            Some((_, place)) => (Some(place), "which revision switches it on"),
            None => (
                enabled_near(self.model, revision, address),
                "what is switched on",
            ),
        };
        let later = match (later.map(|(later, _)| later), revision) {
            (Some(later), Some(_)) => format!(" From revision {later} on it is on."),
            (Some(later), None) => format!(
                " From revision {later} on it is on: if the panel has it, say so, `revision {later}`."
            ),
            (None, _) => String::new(),
        };
        let message = format!(
            "address {address} is switched off from the factory on {panel}{at}: enable it in the panel's programming, or {} does not answer.{later}",
            holder.called()
        );
        let finding = Finding::new(Code::AddressNotEnabled, holder.address.span, message);
        findings.push(finding.in_model(self.unit.model_item.as_ref(), place, note));
    }
}
