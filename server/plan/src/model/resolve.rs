//! From a site's statement to a typed site: every name is looked up here, once.

use std::sync::Arc;

use rustc_hash::FxHashMap;

use super::catalog::{InputsModel, LoopModel, ModelData, RuleSet, Version, owned, rule_set};
use super::read::{At, Words};
use super::scope::{Found, Scope, Space};
use super::site::*;
use crate::finding::{Code, Finding, did_you_mean};
use crate::source::{Item, Leg, Path as Way, Point, Span, Spot, Value, ValueKind};
use crate::vocabulary::{self, Dimension, Group, KINDS, kind};

/// A name, and the declaration that it stands for. A declaration stands for itself.
#[derive(Debug, Clone)]
pub struct Use {
    /// Where the name is written, in the site's item.
    pub span: Span,
    /// The name where it is declared.
    pub target: Spot,
}

/// Temperature where a site says nothing, °C: that of the tables.
const USUAL_TEMPERATURE: f64 = 20.0;

/// Resolves a site. What cannot be resolved is left out and reported.
pub fn resolve(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) -> Site {
    let mut resolver = Resolver {
        item,
        scope,
        findings,
        names: FxHashMap::default(),
        site: Site {
            item: item.clone(),
            name: None,
            label: None,
            rules: Rules::default(),
            ambient: (USUAL_TEMPERATURE, USUAL_TEMPERATURE),
            reports: Vec::new(),
            units: Vec::new(),
            devices: Vec::new(),
            zones: Vec::new(),
            joints: Vec::new(),
            runs: Vec::new(),
            accepts: Vec::new(),
            uses: Vec::new(),
        },
    };
    resolver.read(Words::root(item));
    resolver.site
}

/// The rule set of `words` with everything that it is built on. Reports a base
/// that is not there or leads back to where it started.
pub fn resolve_rules(
    words: Words,
    scope: &dyn Scope,
    findings: &mut Vec<Finding>,
    uses: &mut Vec<Use>,
) -> RuleSet {
    let mut set = rule_set(words);
    let Some(base) = set.base.clone() else {
        return set;
    };
    let mut seen: Vec<u64> = vec![words.item.id];
    let mut next = Some(base.value.clone());
    while let Some(name) = next {
        let Some(found) = scope.find(Space::Rules, &name) else {
            findings.push(unknown(
                words.item,
                base.span,
                "rule set",
                &name,
                scope,
                Space::Rules,
            ));
            break;
        };
        // A site's own rules are part of the site's item, so only top-level
        // rule sets can lead back to themselves.
        if seen.contains(&found.id) {
            findings.push(Finding::new(
                Code::Misplaced,
                base.span,
                format!("`{name}` is built on itself: base it on another rule set"),
            ));
            break;
        }
        seen.push(found.id);
        if seen.len() == 2 {
            uses.extend(declaration(&found).map(|target| Use {
                span: base.span,
                target,
            }));
        }
        let Some(rules) = found.rules() else { break };
        next = rules.base.as_ref().map(|base| base.value.clone());
        set = set.over(rules);
    }
    set
}

/// The names inside a model: outputs, buses, inputs, loops and sounds, where
/// they are declared, and the output that a bus is fed from.
pub fn resolve_model(item: &Arc<Item>, findings: &mut Vec<Finding>) -> Vec<Use> {
    let spans: Vec<Span> = match item.model().map(|model| &model.data) {
        Some(ModelData::Unit(model)) => {
            let outputs = model.outputs.iter().map(|output| output.name.span);
            let buses = model.buses.iter().map(|bus| bus.name.span);
            let inputs = model.inputs.iter().flat_map(names_of_inputs);
            outputs.chain(buses).chain(inputs).collect()
        }
        Some(ModelData::Device(model)) => {
            let sounds = model.sounds.iter().map(|sound| sound.span);
            let inputs = model.inputs.iter().flat_map(names_of_inputs);
            sounds.chain(inputs).collect()
        }
        _ => Vec::new(),
    };
    let declared = |span| Use {
        span,
        target: Spot {
            item: item.clone(),
            span,
        },
    };
    let mut uses: Vec<Use> = spans.into_iter().map(declared).collect();
    let words = Words::root(item);
    for power in words.all("bus").filter_map(|bus| bus.get("power")) {
        let Some(name) = power.name() else { continue };
        let outputs = || words.all("output").filter_map(|output| output.name());
        match outputs().find(|output| output.value == name.value) {
            Some(output) => uses.push(Use {
                span: name.span,
                target: Spot {
                    item: item.clone(),
                    span: output.span,
                },
            }),
            None => {
                let hint = did_you_mean(name.value, outputs().map(|output| output.value));
                findings.push(Finding::new(
                    Code::UnknownName,
                    name.span,
                    format!("the model has no output called `{}`.{hint}", name.value),
                ));
            }
        }
    }
    uses
}

fn names_of_inputs(inputs: &InputsModel) -> impl Iterator<Item = Span> + '_ {
    let loops = inputs.loops.iter().map(|model| model.name.span);
    std::iter::once(inputs.range.span).chain(loops)
}

/// Where an item's name is declared.
fn declaration(item: &Arc<Item>) -> Option<Spot> {
    Some(Spot {
        item: item.clone(),
        span: item.declared().name?,
    })
}

fn unknown(
    item: &Arc<Item>,
    span: Span,
    what: &str,
    name: &str,
    scope: &dyn Scope,
    space: Space,
) -> Finding {
    let all = scope.all(space);
    let names = all
        .iter()
        .filter(|other| other.id != item.id)
        .filter_map(Item::name);
    let hint = did_you_mean(name, names);
    let mend = if hint.is_empty() {
        " Declare it, or `use` the file that does."
    } else {
        ""
    };
    Finding::new(
        Code::UnknownName,
        span,
        format!("no {what} is called `{name}`.{hint}{mend}"),
    )
}

struct Resolver<'a> {
    item: &'a Arc<Item>,
    scope: &'a dyn Scope,
    findings: &'a mut Vec<Finding>,
    /// What units, devices and joints are called.
    names: FxHashMap<&'a str, (Terminal, Span)>,
    site: Site,
}

/// A unit stands for itself in `names` by its first output; only references
/// with a second part are terminals.
const UNIT: usize = usize::MAX;

impl<'a> Resolver<'a> {
    fn read(&mut self, words: Words<'a>) {
        self.site.name = words.name().map(owned);
        self.site.label = label(words);
        if let Some(name) = &self.site.name {
            let span = name.span;
            self.declare(span);
        }
        if let Some(ambient) = words
            .get("ambient")
            .and_then(|words| words.span(Dimension::Temperature))
        {
            let (low, high) = ambient.value;
            let finite = |value: f64| {
                if value.is_finite() {
                    value
                } else {
                    USUAL_TEMPERATURE
                }
            };
            self.site.ambient = (finite(low), finite(high));
        }
        if let Some(rules) = words.get("rules") {
            self.rules(rules);
        }
        for report in words.all("report") {
            self.report(report);
        }
        // Names first: a path may stand before what it names.
        for words in words.body() {
            match words.keyword() {
                "panel" | "supply" => self.unit(words),
                "joint" => self.joint(words),
                keyword if is_device(keyword) => {
                    self.device(words, None);
                }
                _ => {}
            }
        }
        for (unit, words) in words
            .body()
            .filter(|words| is_unit(*words))
            .enumerate()
            .collect::<Vec<_>>()
        {
            for zone in words.all("zone") {
                self.zone(zone, unit);
            }
        }
        for run in words.all("run") {
            self.run(run);
        }
        self.accepts(words);
    }

    fn accepts(&mut self, words: Words<'a>) {
        for inner in words.body() {
            if inner.keyword() == "accept" {
                let (Some(code), Some(reason)) = (inner.name(), inner.label()) else {
                    continue;
                };
                if Code::parse(code.value).is_none() {
                    let codes = Code::ALL.iter().map(|code| code.name());
                    let hint = did_you_mean(code.value, codes);
                    self.report_at(
                        Code::UnknownName,
                        code.span,
                        format!("no finding has the code `{}`.{hint}", code.value),
                    );
                    continue;
                }
                self.site.accepts.push(Accept {
                    code: owned(code),
                    reason: reason.value.to_string(),
                    within: words.statement.span,
                });
            } else {
                self.accepts(inner);
            }
        }
    }

    fn rules(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        let set = if words.model().is_some() || words.statement.block.is_some() {
            let set = resolve_rules(words, self.scope, self.findings, &mut self.site.uses);
            self.declare(name.span);
            set
        } else {
            let Some(found) = self.find(Space::Rules, "rule set", name) else {
                return;
            };
            let mut ignored = Vec::new();
            // What is wrong inside is reported where it is declared.
            resolve_rules(
                Words::root(&found),
                self.scope,
                &mut ignored,
                &mut Vec::new(),
            )
        };
        self.site.rules = Rules {
            name: Some(owned(name)),
            set,
        };
    }

    fn report(&mut self, words: Words<'a>) {
        let Some(centre) = words.name() else { return };
        let monitoring = self.find(Space::Monitoring, "monitoring centre", centre);
        self.site.reports.push(Report {
            centre: owned(centre),
            monitoring,
            account: words.get("account").and_then(|words| words.count()),
        });
    }

    fn unit(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        let Some(kind) = kind(words.keyword()) else {
            return;
        };
        let id = self.site.units.len();
        self.name(name, Terminal::Output(id, UNIT));
        let model_item = self.model(words, kind.name);
        self.site.units.push(Unit {
            name: owned(name),
            label: label(words),
            kind,
            model_name: words.model().map(owned),
            model_item,
            revision: words
                .get("revision")
                .and_then(|words| words.number_text())
                .map(|text| At {
                    value: Version::parse(text.value),
                    span: text.span,
                }),
            battery: None,
            partitions: Vec::new(),
            buses: Vec::new(),
            span: words.statement.span,
            head: words.statement.head,
        });
        let battery = words.get("battery").map(|words| self.battery(words));
        let partitions = self.partitions(words);
        if let Some(unit) = self.site.units.get_mut(id) {
            unit.battery = battery;
            unit.partitions = partitions;
        }
        for bus in words.all("bus") {
            self.bus(bus, id);
        }
    }

    fn battery(&mut self, words: Words<'a>) -> BatteryFitted {
        BatteryFitted {
            model_name: words.model().map(owned),
            model_item: self.model(words, "battery"),
            fitted: words
                .get("fitted")
                .and_then(|words| words.date())
                .map(owned),
            count: words
                .get("count")
                .and_then(|words| words.count())
                .map_or(1, |count| count.value.max(1)),
            span: words.statement.span,
        }
    }

    fn partitions(&mut self, words: Words<'a>) -> Vec<Partition> {
        let mut partitions: Vec<Partition> = Vec::new();
        for words in words.all("partition") {
            let Some(number) = words.count() else {
                continue;
            };
            self.declare(number.span);
            let first = partitions
                .iter()
                .find(|other| other.number.value == number.value);
            if let Some(first) = first {
                let spot = self.site.spot(first.number.span);
                self.findings.push(
                    Finding::new(
                        Code::NameTaken,
                        number.span,
                        format!(
                            "there are two partitions {}: give this one another number",
                            number.value
                        ),
                    )
                    .with(spot, "the other one"),
                );
                continue;
            }
            partitions.push(Partition {
                number,
                label: label(words),
            });
        }
        partitions
    }

    fn bus(&mut self, words: Words<'a>, unit: UnitId) {
        let Some(name) = words.name() else { return };
        let model_item = self
            .site
            .units
            .get(unit)
            .and_then(|unit| unit.model_item.clone());
        let buses = match model_item.as_ref().and_then(|item| item.model()) {
            Some(super::Model {
                data: ModelData::Unit(model),
                ..
            }) => model.buses.as_slice(),
            _ => &[],
        };
        let model = buses.iter().position(|bus| bus.name.value == name.value);
        match (model, &model_item) {
            (Some(index), Some(item)) => self.site.uses.push(Use {
                span: name.span,
                target: Spot {
                    item: item.clone(),
                    span: buses[index].name.span,
                },
            }),
            (None, Some(item)) => {
                let names: Vec<&str> = buses.iter().map(|bus| bus.name.value.as_str()).collect();
                let hint = match names.as_slice() {
                    [] => " It has no bus at all.".to_string(),
                    names => format!(" It has {}.", list(names)),
                };
                let called = item.name().unwrap_or("").to_string();
                self.report_at(
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
        for device in words.body().filter(|words| is_device(words.keyword())) {
            let Some(device) = self.device(device, Some((unit, index))) else {
                continue;
            };
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

    fn device(&mut self, words: Words<'a>, bus: Option<(UnitId, usize)>) -> Option<DeviceId> {
        let name = words.name()?;
        let kind = kind(words.keyword())?;
        let id = self.site.devices.len();
        self.name(name, Terminal::Device(id));
        let model_item = self.model(words, kind.name);
        let panel = bus.map(|(unit, _)| unit);
        let partitions = words
            .get("partition")
            .map(|words| self.partitions_of(words, panel))
            .unwrap_or_default();
        let mut device = Device {
            name: owned(name),
            label: label(words),
            kind,
            model_name: words.model().map(owned),
            model_item,
            bus,
            address: words.get("address").and_then(|words| words.count()),
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
            let second = vocabulary::word(words.keyword(), vocabulary::Context::Device)
                .and_then(|word| kind(word.name));
            let Some(second) = second else { continue };
            let place = match (words.count(), words.name()) {
                (Some(address), _) => Place::Address(address),
                (None, Some(At { value: "off", .. })) => Place::Off,
                _ => continue,
            };
            places.push(AlsoPlace {
                kind: second,
                place,
                span: words.statement.head,
            });
            let Some(model) = device.model() else {
                continue;
            };
            if !model.also.iter().any(|also| also.value.name == second.name) {
                let called = device.model_name.as_ref().map_or("", |name| &name.value);
                self.report_at(
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
            Some(sound) => self.site.uses.push(Use {
                span: sounds.span,
                target: Spot {
                    item: item.clone(),
                    span: sound.span,
                },
            }),
            None => {
                let names: Vec<&str> = model
                    .sounds
                    .iter()
                    .map(|sound| sound.value.as_str())
                    .collect();
                let hint = match names.as_slice() {
                    [] => "its model lists no sounds".to_string(),
                    names => format!("its model has {}", list(names)),
                };
                let message = format!(
                    "{} cannot sound `{}`: {hint}.",
                    device.name.value, sounds.value
                );
                self.findings
                    .push(Finding::new(Code::UnknownName, sounds.span, message));
            }
        }
    }

    /// The partitions that a device or a zone names. Which there are is known
    /// only where there is a panel, or only one.
    fn partitions_of(&mut self, words: Words<'a>, panel: Option<UnitId>) -> Vec<At<u32>> {
        let mut numbers = Vec::new();
        for value in &words.statement.arguments {
            let ValueKind::Quantity(quantity) = value.kind else {
                continue;
            };
            let Some(number) = super::read::whole(quantity.number.value) else {
                continue;
            };
            let span = quantity.number.span;
            numbers.push(At {
                value: number,
                span,
            });
            let panels = self.site.units.iter().enumerate();
            let found = panels
                .filter(|(id, unit)| {
                    panel.is_none_or(|panel| panel == *id) && unit.kind.name == "panel"
                })
                .flat_map(|(_, unit)| &unit.partitions)
                .find(|partition| partition.number.value == number);
            if let Some(found) = found {
                let target = self.site.spot(found.number.span);
                self.site.uses.push(Use { span, target });
            }
        }
        numbers
    }

    fn zone(&mut self, words: Words<'a>, unit: UnitId) {
        let Some(number) = words.count() else { return };
        self.declare(number.span);
        let first = self
            .site
            .zones
            .iter()
            .find(|zone| zone.unit == unit && zone.number.value == number.value);
        if let Some(first) = first {
            let spot = self.site.spot(first.number.span);
            self.findings.push(
                Finding::new(
                    Code::NameTaken,
                    number.span,
                    format!(
                        "there are two zones {}: give this one another number",
                        number.value
                    ),
                )
                .with(spot, "the other one"),
            );
        }
        let input = words.get("input").and_then(|words| self.input(words, unit));
        let from = words
            .get("from")
            .map(|words| self.detectors(words))
            .unwrap_or_default();
        let loop_name = words.get("loop").and_then(|words| words.name());
        let loop_model = self.loop_of(input, loop_name);
        let partitions = words
            .get("partition")
            .map(|words| self.partitions_of(words, Some(unit)))
            .unwrap_or_default();
        let seconds = |keyword| {
            words
                .get(keyword)
                .and_then(|words| words.amount(Dimension::Time))
                .map(|time| time.value)
        };
        self.site.zones.push(Zone {
            number,
            label: label(words),
            unit,
            input,
            from,
            partitions,
            loop_name: loop_name.map(owned),
            loop_model,
            entry: seconds("entry"),
            exit: seconds("exit"),
            span: words.statement.span,
            head: words.statement.head,
        });
    }

    /// An input: a number of the panel's own, or a reference.
    fn input(&mut self, words: Words<'a>, unit: UnitId) -> Option<At<Terminal>> {
        if let Some(number) = words.count() {
            self.use_input(number.span, Terminal::PanelInput(unit, number.value));
            return Some(At {
                value: Terminal::PanelInput(unit, number.value),
                span: number.span,
            });
        }
        let value = words.names().next()?;
        let terminal = self.terminal(value);
        match terminal {
            Terminal::PanelInput(..) | Terminal::DeviceInput(..) => Some(At {
                value: terminal,
                span: value.span,
            }),
            Terminal::Unknown => None,
            _ => {
                let text = words.text(value.span);
                self.report_at(
                    Code::WrongKind,
                    value.span,
                    format!("`{text}` is no input: write the number of one, or `{text}.1` for one of an expander"),
                );
                None
            }
        }
    }

    fn detectors(&mut self, words: Words<'a>) -> Vec<At<DeviceId>> {
        let mut detectors = Vec::new();
        for value in words.names() {
            match self.terminal(value) {
                Terminal::Device(device) => detectors.push(At {
                    value: device,
                    span: value.span,
                }),
                Terminal::Unknown => {}
                _ => {
                    let text = words.text(value.span);
                    self.report_at(
                        Code::WrongKind,
                        value.span,
                        format!("`{text}` is no device: name the detector on the loop"),
                    );
                }
            }
        }
        detectors
    }

    /// The loop that a zone names, or the only one that its input can read.
    fn loop_of(
        &mut self,
        input: Option<At<Terminal>>,
        name: Option<At<&str>>,
    ) -> Option<LoopModel> {
        let (item, block) = self.inputs(input?.value)?;
        let model = match name {
            Some(name) => block.iter().find(|model| model.name.value == name.value),
            None if block.len() == 1 => block.first(),
            None => None,
        };
        let model = model.cloned();
        let Some(name) = name else {
            return model;
        };
        match &model {
            Some(model) => {
                let target = Spot {
                    item,
                    span: model.name.span,
                };
                self.site.uses.push(Use {
                    span: name.span,
                    target,
                });
            }
            None => {
                let names: Vec<&str> = block
                    .iter()
                    .map(|model| model.name.value.as_str())
                    .collect();
                let hint = match names.as_slice() {
                    [] => "it knows none".to_string(),
                    names => format!("it knows {}", list(names)),
                };
                let message = format!("the input cannot read a loop `{}`: {hint}.", name.value);
                self.findings
                    .push(Finding::new(Code::UnknownName, name.span, message));
            }
        }
        model
    }

    /// The loops that an input can read, and the model that lists them.
    fn inputs(&self, input: Terminal) -> Option<(Arc<Item>, Vec<LoopModel>)> {
        let find = |blocks: &[InputsModel], number: u32| {
            blocks
                .iter()
                .find(|block| (block.range.value.0..=block.range.value.1).contains(&number))
                .map(|block| (block.as_panel, block.loops.clone()))
        };
        let of_unit = |unit: UnitId, number: Option<u32>| {
            let unit = self.site.units.get(unit)?;
            let model = unit.model()?;
            let loops = match number {
                Some(number) => find(&model.inputs, number)?.1,
                None => model
                    .inputs
                    .iter()
                    .flat_map(|block| block.loops.clone())
                    .collect(),
            };
            Some((unit.model_item.clone()?, loops))
        };
        match input {
            Terminal::PanelInput(unit, number) => of_unit(unit, Some(number)),
            Terminal::DeviceInput(device, number) => {
                let device = self.site.devices.get(device)?;
                let (as_panel, loops) = find(&device.model()?.inputs, number)?;
                match device.bus {
                    Some((unit, _)) if as_panel => of_unit(unit, None),
                    _ => Some((device.model_item.clone()?, loops)),
                }
            }
            _ => None,
        }
    }

    fn joint(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        let id = self.site.joints.len();
        self.name(name, Terminal::Joint(id));
        let ohms = words
            .get("resistance")
            .and_then(|words| words.amount(Dimension::Resistance))
            .map_or(0.0, |ohms| ohms.value.max(0.0));
        self.site.joints.push(Joint {
            name: owned(name),
            label: label(words),
            ohms,
            span: words.statement.span,
        });
    }

    fn run(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        self.declare(name.span);
        let first = self
            .site
            .runs
            .iter()
            .find(|run| run.name.value == name.value);
        if let Some(first) = first {
            let spot = self.site.spot(first.name.span);
            self.taken(name, spot);
        }
        let cable_item = self.model(words, "cable");
        let mut paths = Vec::new();
        for inner in words.body() {
            if let Some(way) = &inner.statement.path {
                let path = self.path(way, inner.statement.span);
                paths.push(path);
            }
        }
        self.site.runs.push(Run {
            name: owned(name),
            label: label(words),
            cable_name: words.model().map(owned),
            cable_item,
            doubled: words.get("doubled").map(|words| words.statement.head),
            data_only: words.has("carries"),
            paths,
            span: words.statement.span,
            head: words.statement.head,
        });
    }

    fn path(&mut self, way: &'a Way, span: Span) -> Path {
        let points = way.points.iter().map(|point| self.point(point)).collect();
        let legs = way.legs.iter().map(|leg| self.leg(leg)).collect();
        Path { points, legs, span }
    }

    fn point(&mut self, point: &'a Point) -> At<Vec<At<Terminal>>> {
        let terminals = point
            .references
            .iter()
            .map(|value| At {
                value: self.terminal(value),
                span: value.span,
            })
            .collect();
        At {
            value: terminals,
            span: point.span,
        }
    }

    fn leg(&mut self, leg: &'a Leg) -> At<Option<f64>> {
        let metres = leg.length.as_ref().and_then(|length| {
            let unit = vocabulary::unit(self.item.text(length.unit?))?;
            (unit.dimension == Dimension::Length).then(|| unit.to_si(length.number.value))
        });
        At {
            value: metres.filter(|metres| *metres >= 0.0),
            span: leg.span,
        }
    }

    /// What a reference in a path or an `input` stands for.
    fn terminal(&mut self, value: &'a Value) -> Terminal {
        let ValueKind::Name(parts) = &value.kind else {
            return Terminal::Unknown;
        };
        let item = self.item;
        let Some((first, rest)) = parts.split_first() else {
            return Terminal::Unknown;
        };
        let name = item.text(*first);
        let Some(&(found, declared)) = self.names.get(name) else {
            let hint = did_you_mean(name, self.names.keys().copied());
            let hint = match hint.as_str() {
                "" => " Declare it, or mend the name.",
                hint => hint,
            };
            let message = format!("nothing in this site is called `{name}`.{hint}");
            self.report_at(Code::UnknownName, *first, message);
            return Terminal::Unknown;
        };
        let target = self.site.spot(declared);
        self.site.uses.push(Use {
            span: *first,
            target,
        });
        match (found, rest) {
            (Terminal::Output(unit, _), [part]) => self.unit_terminal(unit, name, *part),
            (Terminal::Output(unit, _), []) => {
                let hint = self.terminals_of(unit);
                self.report_at(
                    Code::WrongKind,
                    value.span,
                    format!("which terminals of `{name}`? {hint}"),
                );
                Terminal::Unknown
            }
            (Terminal::Device(device), [part]) => self.device_input(device, name, *part),
            (found, []) => found,
            (found, [.., last]) => {
                let whole = item.text(value.span);
                let short = match found {
                    Terminal::Joint(_) => name,
                    _ => whole.rsplit_once('.').map_or(name, |(short, _)| short),
                };
                let part = item.text(*last);
                self.report_at(
                    Code::UnknownName,
                    *last,
                    format!("`{short}` has nothing called `{part}`: write `{short}` alone."),
                );
                Terminal::Unknown
            }
        }
    }

    fn unit_terminal(&mut self, unit: UnitId, name: &str, part: Span) -> Terminal {
        let text = self.item.text(part);
        let Some(plan) = self.site.units.get(unit) else {
            return Terminal::Unknown;
        };
        let (Some(model), Some(item)) = (plan.model(), plan.model_item.clone()) else {
            // The model is not known, which is reported there.
            return Terminal::Unknown;
        };
        let named = |span| Use {
            span: part,
            target: Spot {
                item: item.clone(),
                span,
            },
        };
        let output = model
            .outputs
            .iter()
            .position(|output| output.name.value == text);
        if let Some(output) = output {
            let used = named(model.outputs[output].name.span);
            self.site.uses.push(used);
            return Terminal::Output(unit, output);
        }
        if let Some(bus) = model.buses.iter().position(|bus| bus.name.value == text) {
            let used = named(model.buses[bus].name.span);
            self.site.uses.push(used);
            return Terminal::Bus(unit, bus);
        }
        if let Ok(number) = text.parse::<u32>() {
            let terminal = Terminal::PanelInput(unit, number);
            self.use_input(part, terminal);
            return terminal;
        }
        let hint = self.terminals_of(unit);
        let (message, span) = if text.is_empty() {
            (format!("which terminals of `{name}`? {hint}"), part)
        } else {
            (
                format!("`{name}` has no terminals called `{text}`. {hint}"),
                part,
            )
        };
        self.report_at(Code::UnknownName, span, message);
        Terminal::Unknown
    }

    fn terminals_of(&self, unit: UnitId) -> String {
        let Some(plan) = self.site.units.get(unit) else {
            return String::new();
        };
        let Some(model) = plan.model() else {
            return String::new();
        };
        let name = &plan.name.value;
        let mut all: Vec<String> = model
            .outputs
            .iter()
            .map(|output| format!("{name}.{}", output.name.value))
            .chain(
                model
                    .buses
                    .iter()
                    .map(|bus| format!("{name}.{}", bus.name.value)),
            )
            .collect();
        if let Some(inputs) = model.inputs.first() {
            all.push(format!("{name}.{}", inputs.range.value.0));
        }
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        match all.as_slice() {
            [] => "It has none.".to_string(),
            all => format!("It has {}.", list(all)),
        }
    }

    fn device_input(&mut self, device: DeviceId, name: &str, part: Span) -> Terminal {
        let text = self.item.text(part);
        if let Ok(number) = text.parse::<u32>() {
            let terminal = Terminal::DeviceInput(device, number);
            self.use_input(part, terminal);
            return terminal;
        }
        let message = if text.is_empty() {
            format!("which input of `{name}`? Write its number, as in `{name}.1`.")
        } else {
            format!(
                "`{name}` has no terminals called `{text}`: write `{name}` alone, or the number of an input."
            )
        };
        self.report_at(Code::UnknownName, part, message);
        Terminal::Unknown
    }

    /// Notes that `span` names an input, if the model has it.
    fn use_input(&mut self, span: Span, terminal: Terminal) {
        let found = match terminal {
            Terminal::PanelInput(unit, number) => self.site.units.get(unit).and_then(|unit| {
                let range = block_of(&unit.model()?.inputs, number)?;
                Some((unit.model_item.clone()?, range))
            }),
            Terminal::DeviceInput(device, number) => {
                self.site.devices.get(device).and_then(|device| {
                    let range = block_of(&device.model()?.inputs, number)?;
                    Some((device.model_item.clone()?, range))
                })
            }
            _ => None,
        };
        if let Some((item, range)) = found {
            self.site.uses.push(Use {
                span,
                target: Spot { item, span: range },
            });
        }
    }

    /// The model behind a statement's colon, of the kind that the statement needs.
    fn model(&mut self, words: Words<'a>, kind: &str) -> Option<Arc<Item>> {
        let name = words.model()?;
        let found = self.find(Space::Model, &format!("{kind} model"), name)?;
        let model = found.model()?;
        if model.kind.name != kind {
            let spot = declaration(&found);
            let article = |word: &str| {
                if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
                    "an"
                } else {
                    "a"
                }
            };
            let mut finding = Finding::new(
                Code::WrongKind,
                name.span,
                format!(
                    "`{}` is {} {}, but {} {kind} is needed here: name another model",
                    name.value,
                    article(model.kind.name),
                    model.kind.name,
                    article(kind),
                ),
            );
            if let Some(spot) = spot {
                finding = finding.with(spot, "it is declared here");
            }
            self.findings.push(finding);
            return None;
        }
        Some(found)
    }

    fn find(&mut self, space: Space, what: &str, name: At<&str>) -> Option<Found> {
        match self.scope.find(space, name.value) {
            Some(found) => {
                self.site.uses.extend(declaration(&found).map(|target| Use {
                    span: name.span,
                    target,
                }));
                Some(found)
            }
            None => {
                let finding = unknown(self.item, name.span, what, name.value, self.scope, space);
                self.findings.push(finding);
                None
            }
        }
    }

    /// Gives a name to a unit, device or joint. The first to have it keeps it.
    fn name(&mut self, name: At<&'a str>, terminal: Terminal) {
        self.declare(name.span);
        if let Some(&(_, first)) = self.names.get(name.value) {
            let spot = self.site.spot(first);
            self.taken(name, spot);
            return;
        }
        self.names.insert(name.value, (terminal, name.span));
    }

    fn taken(&mut self, name: At<&str>, first: Spot) {
        self.findings.push(
            Finding::new(
                Code::NameTaken,
                name.span,
                format!(
                    "two things are called `{}`: give this one another name",
                    name.value
                ),
            )
            .with(first, "the other one"),
        );
    }

    fn declare(&mut self, span: Span) {
        let target = self.site.spot(span);
        self.site.uses.push(Use { span, target });
    }

    fn report_at(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.findings.push(Finding::new(code, span, message));
    }
}

fn is_unit(words: Words) -> bool {
    matches!(words.keyword(), "panel" | "supply") && words.name().is_some()
}

fn is_device(keyword: &str) -> bool {
    KINDS
        .iter()
        .any(|kind| kind.group == Group::Device && kind.name == keyword)
}

fn label(words: Words) -> Option<String> {
    words.label().map(|label| label.value.to_string())
}

fn block_of(blocks: &[InputsModel], number: u32) -> Option<Span> {
    blocks
        .iter()
        .find(|block| (block.range.value.0..=block.range.value.1).contains(&number))
        .map(|block| block.range.span)
}

/// `a`, `b` and `c`, each in code marks.
pub(crate) fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => format!("`{only}`"),
        [init @ .., last] => {
            let init: Vec<_> = init.iter().map(|name| format!("`{name}`")).collect();
            format!("{} and `{last}`", init.join(", "))
        }
    }
}
