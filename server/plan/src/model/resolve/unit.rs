//! Panels and supplies: batteries, partitions, buses.

use super::{Above, Named, Resolver, is_device, label};
use crate::finding::Code;
use crate::model::catalog::{ModelData, Version, owned};
use crate::model::read::Words;
use crate::model::site::*;
use crate::model::{Model, Occurrence};
use crate::sentence::code_list;
use crate::vocabulary::kind;

impl<'a> Resolver<'a> {
    /// Reads a panel or a supply. Gives its id, unless it has no name.
    pub(super) fn unit(&mut self, words: Words<'a>) -> Option<UnitId> {
        let kind = kind(words.keyword())?;
        // What it is made of is used, even while it has no name.
        let model_item = self.model(words, kind.name);
        let battery = words.get("battery").map(|words| self.battery(words));
        let Some(name) = words.name() else {
            words.all("bus").for_each(|bus| self.models_on(bus));
            return None;
        };
        let id = self.site.units.len();
        self.name(name, Named::Unit(id));
        let revision = words.get("revision").and_then(|words| words.number_text());
        self.site.units.push(Unit {
            name: owned(name),
            label: label(words),
            kind,
            model_name: words.model().map(owned),
            model_item,
            revision_unread: words.has("revision") && revision.is_none(),
            revision: revision.map(|text| text.map(Version::parse)),
            battery,
            partitions: Vec::new(),
            partitions_unread: false,
            buses: Vec::new(),
            block_unread: false,
            span: words.statement.span,
            head: words.statement.head,
            block: words.statement.block,
        });
        let partitions = self.partitions(words);
        if let Some(unit) = self.site.units.get_mut(id) {
            unit.partitions = partitions;
            let mut all = words.all("partition");
            unit.partitions_unread = all.any(|words| words.whole().is_none());
        }
        for bus in words.all("bus") {
            self.bus(bus, id);
        }
        Some(id)
    }

    fn battery(&mut self, words: Words<'a>) -> BatteryFitted {
        let count = words.whole_of("count");
        let number = |keyword| words.said_or(keyword, 1, |words| Some(words.whole()?.value.max(1)));
        BatteryFitted {
            model_name: words.model().map(owned),
            model_item: self.model(words, "battery"),
            fitted: words.get("fitted").and_then(|words| words.date()),
            count: number("count"),
            in_series: number("in-series"),
            count_at: count.map(|count| count.span),
            span: words.statement.span,
        }
    }

    fn partitions(&mut self, words: Words<'a>) -> Vec<Partition> {
        let mut partitions: Vec<Partition> = Vec::new();
        for words in words.all("partition") {
            let Some(number) = words.whole() else {
                continue;
            };
            self.declare(number.span);
            let first = partitions
                .iter()
                .find(|other| other.number.value == number.value);
            if let Some(first) = first {
                self.number_taken("partitions", number, first.number.span);
                continue;
            }
            partitions.push(Partition {
                number,
                label: label(words),
                span: words.statement.span,
                form: words.statement.form,
            });
        }
        partitions
    }

    /// What the devices of a bus are made of is used, even while it, or its panel, has no name.
    fn models_on(&mut self, bus: Words<'a>) {
        for words in bus.body() {
            if let Some(kind) = kind(words.keyword()).filter(|_| is_device(words.keyword())) {
                self.model(words, kind.name);
            }
        }
    }

    fn bus(&mut self, words: Words<'a>, unit: UnitId) {
        let Some(name) = words.name() else {
            return self.models_on(words);
        };
        let model_item = self
            .site
            .units
            .get(unit)
            .and_then(|unit| unit.model_item.clone());
        let data = match model_item.as_ref().and_then(|item| item.model()) {
            Some(Model {
                data: ModelData::Unit(model),
                ..
            }) => Some(model),
            _ => None,
        };
        let buses = data.map_or(&[][..], |model| &model.buses);
        let model = buses.iter().position(|bus| bus.name.value == name.value);
        match (model, &model_item) {
            (Some(index), Some(item)) => self.site.occurrences.push(Occurrence {
                span: name.span,
                target: item.spot(buses[index].name.span),
            }),
            // It may be called so, its name missing in the model, which is told there.
            (None, Some(_)) if data.is_some_and(|model| model.terminals_unread) => {}
            (None, Some(item)) => {
                let names: Vec<&str> = buses.iter().map(|bus| bus.name.value.as_str()).collect();
                let hint = match names.as_slice() {
                    [] => " It has no bus at all.".to_string(),
                    names => format!(" It has {}.", code_list(names)),
                };
                let called = item.name().unwrap_or("").to_string();
                self.report(
                    Code::UnknownName,
                    name.span,
                    format!("`{called}` has no bus called `{}`.{hint}", name.value),
                );
            }
            _ => {}
        }
        let Some(plan) = self.site.units.get_mut(unit) else {
            return;
        };
        let index = plan.buses.len();
        plan.buses.push(Bus {
            name: owned(name),
            model,
            devices: Vec::new(),
            span: words.statement.span,
        });
        let mut above = None;
        for words in words.body() {
            let has_block = words.statement.block.is_some();
            if has_block && words.keyword().is_empty() {
                self.block_below(above.take());
            }
            if !is_device(words.keyword()) {
                continue;
            }
            let Some(device) = self.device(words, Some(BusBlock { unit, index })) else {
                continue;
            };
            above = (!has_block).then_some(Above::Device(device));
            if let Some(bus) = self
                .site
                .units
                .get_mut(unit)
                .and_then(|unit| unit.buses.get_mut(index))
            {
                bus.devices.push(device);
            }
        }
    }
}
