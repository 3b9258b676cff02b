//! Panels and supplies: batteries, partitions, buses.

use super::below::Above;
use super::{Named, Resolver, is_device, label};
use crate::finding::{Code, Finding, Mend};
use crate::model::at::At;
use crate::model::catalog::{Version, owned};
use crate::model::site::*;
use crate::model::words::Words;
use crate::sentence::code_list;
use crate::vocabulary::{self, Context, kind};

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
            // One with the number of another is meant to have one that is not known.
            unit.partitions_unread = partitions.len() < words.all("partition").count();
            unit.partitions = partitions;
        }
        for bus in words.all("bus") {
            self.bus(bus, id);
        }
        let inner = vocabulary::word(words.keyword(), Context::Site).and_then(|word| word.opens);
        if inner.is_some_and(|inner| words.has_unknown_word(inner)) {
            self.has_more(Some(Above::Unit(id)));
        }
        Some(id)
    }

    fn battery(&mut self, words: Words<'a>) -> BatteryFitted {
        let count = words.whole_of("count");
        let some = |words: Words| words.whole().map(|at| at.value).filter(|count| *count > 0);
        // A word that means nothing may be meant for what is missing.
        let usual = (!words.has_unknown_word(Context::Battery)).then_some(1);
        let number = |keyword| words.said_or(keyword, usual, some);
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
        let model = self.bus_of_model(name, unit);
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
        self.each(words.body(), |resolver, words| {
            if !is_device(words.keyword()) {
                return None;
            }
            let device = resolver.device(words, Some(BusBlock { unit, index }))?;
            let bus = resolver.site.units.get_mut(unit)?.buses.get_mut(index)?;
            bus.devices.push(device);
            Some(Above::Device(device))
        });
    }

    /// The bus of that name in a unit's model, by its index. What is not there is reported.
    fn bus_of_model(&mut self, name: At<&str>, unit: UnitId) -> Option<usize> {
        let unit = self.site.units.get(unit)?;
        let (model, item) = (unit.model()?, unit.model_item.clone()?);
        let mut buses = model.buses.iter();
        if let Some(index) = buses.position(|bus| bus.name.value == name.value) {
            self.note(name.span, item.spot(model.buses[index].name.span));
            return Some(index);
        }
        // It may be called so, its name missing in the model, which is told there.
        if model.terminals_unread {
            return None;
        }
        let buses = model.buses.iter();
        let names: Vec<&str> = buses.map(|bus| bus.name.value.as_str()).collect();
        let hint = match names.as_slice() {
            [] => "It has no bus at all.".to_string(),
            names => format!("It has {}.", code_list(names)),
        };
        let called = item.name().unwrap_or_default();
        let message = format!("`{called}` has no bus called `{}`. {hint}", name.value);
        let mend = match names.as_slice() {
            &[only] => Some(Mend {
                title: format!("Change `{}` to `{only}`", name.value),
                edits: vec![(name.span, only.to_string())],
            }),
            _ => None,
        };
        let finding = Finding::new(Code::UnknownName, name.span, message);
        self.findings.push(finding.mended_by(mend));
        None
    }
}
