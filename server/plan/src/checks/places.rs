//! Places on a bus: every device has one, of its kind, of its own, switched on.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use crate::figures::{BusFigures, Figures, is_enabled, places_for};
use crate::finding::{Code, Finding, Mend};
use crate::model::{At, BusModel, Device, DeviceId, Place, SetBy, Site, Unit, UnitId, Version};
use crate::sentence::{a, list};
use crate::source::Span;
use crate::vocabulary::Kind;

/// Checks the places on every bus of a site.
pub(super) fn check(site: &Site, all: &Figures, findings: &mut Vec<Finding>) {
    for (id, unit) in site.units.iter().enumerate() {
        let models = unit.model().map_or(&[][..], |model| &model.buses);
        for (index, model) in models.iter().enumerate() {
            let position = unit.buses.iter().position(|bus| bus.model == Some(index));
            let figures = position.and_then(|position| all.bus(id, position));
            if let Some(figures) = figures {
                let bus = Occupancy {
                    site,
                    unit,
                    id: (id, index),
                    model,
                    figures,
                    all,
                    proposed: RefCell::default(),
                };
                bus.check(findings);
            }
        }
    }
}

/// What is on a bus, with what may be.
pub(super) struct Occupancy<'a> {
    pub site: &'a Site,
    pub unit: &'a Unit,
    pub id: (UnitId, usize),
    pub model: &'a BusModel,
    pub figures: &'a BusFigures,
    /// All of the site's.
    pub all: &'a Figures,
    proposed: RefCell<Proposed>,
}

/// What was proposed to whom: each thing another address, so that all proposals can be taken.
#[derive(Default)]
pub(super) struct Proposed {
    to: BTreeMap<Thing, u32>,
    addresses: BTreeSet<u32>,
}

/// A device, by its place in the plan, and whether as the second thing that it is.
type Thing = (Span, bool);

/// A device, or the second thing that it is, at an address.
struct Claim<'a> {
    device: &'a Device,
    kind: &'static Kind,
    second: bool,
    address: At<u32>,
}

impl Claim<'_> {
    fn called(&self) -> String {
        called(self.device, self.kind, self.second)
    }
}

fn called(device: &Device, kind: &Kind, second: bool) -> String {
    let name = &device.name.value;
    if second {
        format!("{name}'s {}", kind.name)
    } else {
        name.clone()
    }
}

/// The greatest address that a device can be set to: with switches, what they
/// count to.
fn most_settable(device: &Device) -> u64 {
    let setting = device
        .model()
        .and_then(|model| model.setting_address.as_ref());
    let switches = setting.filter(|setting| setting.by == SetBy::Switches);
    let bits = switches.and_then(|setting| setting.bits);
    let bits = bits.filter(|bits| (1..=31).contains(bits));
    bits.map_or(u64::MAX, |bits| (1 << bits) - 1)
}

impl<'a> Occupancy<'a> {
    fn check(&self, findings: &mut Vec<Finding>) {
        let claims = self.claims(findings);
        // Whoever cannot have an address is told so, and takes it from nobody.
        let mut by_address: Vec<&Claim> = Vec::new();
        for claim in &claims {
            if !self.out_of_range(claim, findings) && !self.not_settable(claim, findings) {
                self.not_enabled(claim, findings);
                by_address.push(claim);
            }
        }
        by_address.sort_by_key(|claim| claim.address.value);
        let alike = by_address.chunk_by(|a, b| a.address.value == b.address.value);
        for claims in alike.filter(|claims| claims.len() > 1) {
            self.taken(claims, findings);
        }
        self.full(findings);
    }

    pub(super) fn name(&self) -> String {
        self.site.bus_name(self.id)
    }

    pub(super) fn devices(&self) -> impl Iterator<Item = (DeviceId, &'a Device)> {
        let (site, index) = (self.site, self.id.1);
        let buses = self.unit.buses.iter();
        buses
            .filter(move |bus| bus.model == Some(index))
            .flat_map(|bus| &bus.devices)
            .filter_map(|&id| Some((id, site.devices.get(id)?)))
    }

    /// Who asks for an address. Reports who does not and should.
    fn claims(&self, findings: &mut Vec<Finding>) -> Vec<Claim<'a>> {
        let mut claims = Vec::new();
        for (_, device) in self.devices() {
            let mut claim = |kind, second, address| {
                claims.push(Claim {
                    device,
                    kind,
                    second,
                    address,
                });
            };
            match device.address {
                Some(address) => claim(device.kind, false, address),
                None if device.address_unread => {}
                None => findings.push(self.missing(device, device.kind, false)),
            }
            for also in &device.also {
                if let Place::Address(address) = also.place {
                    claim(also.kind, true, address);
                }
            }
            let model = device.model().map_or(&[][..], |model| &model.also);
            for second in model {
                let said = device
                    .also
                    .iter()
                    .any(|also| also.kind.name == second.value.name);
                if !said {
                    findings.push(self.missing(device, second.value, true));
                }
            }
        }
        claims
    }

    fn missing(&self, device: &Device, kind: &'static Kind, second: bool) -> Finding {
        let who = called(device, kind, second);
        let bus = self.name();
        let off = if second {
            format!(", or switch it off: `{} off`", kind.name)
        } else {
            String::new()
        };
        let word = if second { kind.name } else { "address" };
        let (message, mend) = match self.propose(device, kind, second) {
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
    fn propose(&self, device: &Device, kind: &Kind, second: bool) -> Option<u32> {
        let mut proposed = self.proposed.borrow_mut();
        let thing = (device.name.span, second);
        if let Some(known) = proposed.to.get(&thing) {
            return Some(*known);
        }
        let mut free = self.figures.free.iter();
        let (_, free) = free.find(|(of, _)| of.name == kind.name)?;
        let most = most_settable(device);
        let left = || {
            let free = free.iter().filter(|address| u64::from(**address) <= most);
            free.filter(|address| !proposed.addresses.contains(address))
        };
        let enabled = |address: &&u32| is_enabled(self.model, self.revision(), **address);
        let found = *left().find(enabled).or_else(|| left().next())?;
        proposed.to.insert(thing, found);
        proposed.addresses.insert(found);
        Some(found)
    }

    fn propose_to(&self, claim: &Claim) -> Option<u32> {
        self.propose(claim.device, claim.kind, claim.second)
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

    fn change_address(&self, claim: &Claim) -> Option<Mend> {
        let free = self.propose_to(claim)?;
        Some(Mend {
            title: format!("Give {} the address {free}", claim.called()),
            edits: vec![(claim.address.span, free.to_string())],
        })
    }

    /// Whether the device's own switches cannot be set to the address. The place of
    /// what else a device is may be set elsewhere, which no model says.
    fn not_settable(&self, claim: &Claim, findings: &mut Vec<Finding>) -> bool {
        let (address, most) = (claim.address.value, most_settable(claim.device));
        if claim.second || u64::from(address) <= most {
            return false;
        }
        let mend = self.change_address(claim);
        let hint = match &mend {
            Some(mend) => format!(" {}.", mend.title),
            None => " No address that they can be set to is free.".to_string(),
        };
        let message = format!(
            "{} cannot be set to address {address}: its switches count to {most}.{hint}",
            claim.called()
        );
        let finding = Finding::new(Code::AddressOutOfRange, claim.address.span, message);
        findings.push(finding.mended_by(mend));
        true
    }

    /// Whether the address is none for the kind.
    fn out_of_range(&self, claim: &Claim, findings: &mut Vec<Finding>) -> bool {
        let ranges = places_for(self.model, claim.kind);
        let address = claim.address.value;
        let unknown = self.model.places.is_empty() && self.model.addresses.is_none();
        if unknown
            || ranges
                .iter()
                .any(|(first, last)| (*first..=*last).contains(&address))
        {
            return false;
        }
        let bus = self.name();
        let kind = claim.kind.name;
        let ranges: Vec<String> = ranges.iter().map(|range| addresses(*range)).collect();
        let hint = match self.propose_to(claim) {
            Some(free) => format!(" The next free one is {free}."),
            None => String::new(),
        };
        let message = if ranges.is_empty() {
            format!(
                "{bus} has no places for {}: wire {} to another bus.",
                a(kind),
                claim.called()
            )
        } else {
            format!(
                "{} cannot have address {address}: on {bus} {} has {}.{hint}",
                claim.called(),
                a(kind),
                list(&ranges),
            )
        };
        let finding = Finding::new(Code::AddressOutOfRange, claim.address.span, message)
            .mended_by(self.change_address(claim));
        findings.push(self.with_place(finding, claim.kind));
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

    fn taken(&self, claims: &[&Claim], findings: &mut Vec<Finding>) {
        let Some((first, others)) = claims.split_first() else {
            return;
        };
        let bus = self.name();
        let address = first.address.value;
        let free = |claim: &Claim| match self.propose_to(claim) {
            Some(free) => format!("address {free} is free for {}", claim.called()),
            None => self.none_left(claim.kind),
        };
        let names: Vec<String> = others.iter().map(|claim| claim.called()).collect();
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

    fn not_enabled(&self, claim: &Claim, findings: &mut Vec<Finding>) {
        let address = claim.address.value;
        let revision = self.revision();
        if self.unit.revision_unread || is_enabled(self.model, revision, address) {
            return;
        }
        let enabled = &self.model.enabled;
        let holds = |range: &At<(u32, u32)>| (range.value.0..=range.value.1).contains(&address);
        let later = enabled
            .iter()
            .filter(|(range, _)| holds(range))
            .filter_map(|(_, from)| from.as_ref())
            .min();
        let panel = &self.unit.name.value;
        let at = match revision {
            Some(revision) => format!(" at revision {revision}"),
            None => String::new(),
        };
        let later = match (later, revision) {
            (Some(later), Some(_)) => format!(" From revision {later} on it is on."),
            (Some(later), None) => format!(
                " From revision {later} on it is on: if the panel has it, say so, `revision {later}`."
            ),
            (None, _) => String::new(),
        };
        let message = format!(
            "address {address} is switched off from the factory on {panel}{at}: enable it in the panel's programming, or {} does not answer.{later}",
            claim.called()
        );
        let finding = Finding::new(Code::AddressNotEnabled, claim.address.span, message);
        let on = enabled.first().map(|(range, _)| range.span);
        findings.push(finding.in_model(self.unit.model_item.as_ref(), on, "what is switched on"));
    }
}

/// A range in words: `addresses 1 to 8`.
pub(super) fn addresses((first, last): (u32, u32)) -> String {
    if first == last {
        format!("address {first}")
    } else {
        format!("addresses {first} to {last}")
    }
}
