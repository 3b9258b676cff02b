//! Devices: their models, places, partitions and sounds.

use super::{Named, Resolver, label};
use crate::finding::Code;
use crate::model::Occurrence;
use crate::model::at::At;
use crate::model::catalog::owned;
use crate::model::site::*;
use crate::model::words::Words;
use crate::sentence::code_list;
use crate::vocabulary::{Context, kind, word};

impl<'a> Resolver<'a> {
    pub(super) fn device(&mut self, words: Words<'a>, bus: Option<BusBlock>) -> Option<DeviceId> {
        let kind = kind(words.keyword())?;
        // What it is made of is used, even while it has no name.
        let model_item = self.model(words, kind.name);
        let name = words.name()?;
        let id = self.site.devices.len();
        self.name(name, Named::Device(id));
        let partitions = partitions_of(words);
        let address = words.whole_of("address");
        let mut device = Device {
            name: owned(name),
            label: label(words),
            kind,
            model_name: words.model().map(owned),
            model_item,
            bus,
            address_unread: address.is_none()
                && (words.has("address") || words.has_unread(Context::Device)),
            address,
            block_unread: words.has_unknown_word(Context::Device),
            partitions_unread: partitions.is_empty()
                && (words.has("partition") || bus.is_some() && words.has_unread(Context::Device)),
            partitions,
            also: Vec::new(),
            sounds: words
                .get("sounds")
                .and_then(|words| words.name())
                .map(owned),
            span: words.statement.span,
            head: words.statement.head,
        };
        device.also = self.also(words, &device);
        self.sound(&device);
        self.site.devices.push(device);
        Some(id)
    }

    /// The places of the other things that a device is.
    fn also(&mut self, words: Words<'a>, device: &Device) -> Vec<AlsoPlace> {
        let mut places = Vec::new();
        for words in words.body() {
            let second = word(words.keyword(), Context::Device).and_then(|word| kind(word.name));
            let Some(second) = second else { continue };
            let place = match (words.whole(), words.name()) {
                (Some(address), _) => Place::Address(address),
                (None, Some(At { value: "off", .. })) => Place::Off,
                _ => Place::Unread,
            };
            places.push(AlsoPlace {
                kind: second,
                place,
                span: words.statement.head,
            });
            let Some(model) = device.model() else {
                continue;
            };
            if !model.also_unread && !model.also.iter().any(|also| also.value.name == second.name) {
                let called = device.model_name.as_ref().map_or("", |name| &name.value);
                self.report(
                    Code::Misplaced,
                    words.statement.head,
                    format!(
                        "`{called}` is no {kind} besides: take this out, or say `also {kind}` in the model",
                        kind = second.name
                    ),
                );
            }
        }
        places
    }

    fn sound(&mut self, device: &Device) {
        let (Some(sounds), Some(model), Some(item)) =
            (&device.sounds, device.model(), &device.model_item)
        else {
            return;
        };
        match model
            .sounds
            .iter()
            .find(|sound| sound.value == sounds.value)
        {
            Some(sound) => self.note(sounds.span, item.spot(sound.span)),
            None if model.has_more => {}
            None => {
                let names: Vec<&str> = model
                    .sounds
                    .iter()
                    .map(|sound| sound.value.as_str())
                    .collect();
                let hint = match names.as_slice() {
                    [] => "its model lists no sounds".to_string(),
                    names => format!("its model has {}", code_list(names)),
                };
                let message = format!(
                    "{} cannot sound `{}`: {hint}.",
                    device.name.value, sounds.value
                );
                self.report(Code::UnknownName, sounds.span, message);
            }
        }
    }

    /// Notes what the partitions stand for that devices and zones name. Which there are is known
    /// only where there is a panel, or only one.
    pub(super) fn note_partitions(&mut self) {
        let site = &mut self.site;
        let devices = site.devices.iter().map(|device| {
            let panel = device.bus.map(|bus| bus.unit);
            (panel, &device.partitions)
        });
        let zones = site.zones.iter();
        let zones = zones.map(|zone| (Some(zone.unit), &zone.partitions));
        for (panel, numbers) in devices.chain(zones) {
            for number in numbers {
                let panels = site.units.iter().enumerate();
                let found = panels
                    .filter(|(id, unit)| panel.is_none_or(|panel| panel == *id) && unit.is_panel())
                    .flat_map(|(_, unit)| &unit.partitions)
                    .find(|partition| partition.number.value == number.value);
                site.occurrences.extend(found.map(|found| Occurrence {
                    span: number.span,
                    target: site.item.spot(found.number.span),
                }));
            }
        }
    }
}

/// The partitions that a device or a zone names, also behind a second `partition`, which is told.
pub(super) fn partitions_of(owner: Words) -> Vec<At<u32>> {
    let numbers = owner.all("partition").flat_map(|words| words.numbers());
    numbers.filter_map(At::whole).collect()
}
